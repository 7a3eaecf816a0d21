"""VIGOUR-01 and VIGOUR-02: plants that do not stay where they were put."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import metres

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

OPEN_GROUND = ("gravel", "paving", "path")
# Metres a year that the edge of a clump advances, by class of the table of traits (upper end of each class but the last).
ADVANCE = (0.02, 0.05, 0.15, 0.40, 0.60)
SIZE_SEASON = 3


def seeds_about(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A free self-seeder near gravel, paving or a path, its seedheads left on."""
    grounds = [s for s in border.plan.surfaces if s.kind in OPEN_GROUND]
    for planting in border.plantings:
        seeding = planting.traits.step("self_seeding")
        if seeding is None:
            if grounds:
                yield Unjudged("VIGOUR-01", planting.key, ("self_seeding",), planting.path)
            continue
        tended = planting.line.status in ("allowed", "tolerated") or planting.line.deadheaded
        if seeding < limits["seeding"] or planting.traits.yes("sterile") or tended:
            continue
        reach = limits["wind_reach"] if planting.traits.word("dispersal") == "wind" else limits["reach"]
        for ground in grounds:
            near = round(min(map(ground.distance_to, planting.points), default=inf), 2)
            if near >= reach:
                continue
            yield Finding(
                "VIGOUR-01", "warning", (planting.key,),
                f"{planting.title} seeds itself {'everywhere' if seeding == 3 else 'freely'} and stands {metres(near)} from {ground.kind}, "
                f"where seedlings will come up.",
                planting.path, ((ground.path, ground.kind),), {"self_seeding": seeding, "distance": near, "limit": reach},
                apart=(ground.kind,), mend=f"Take the seedheads off {planting.key} and state deadheaded: yes, or choose a sterile cultivar.",
            )  # fmt: skip
            break


def thug(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A spreader whose edge reaches a slow neighbour within five years."""
    spreaders = [
        p for p in border.plantings if (p.traits.step("spread_rate") or 0) >= limits["classes"] and not p.temporary
    ]
    for strong in spreaders:
        rate = strong.traits.step("spread_rate") or 0
        for weak in border.plantings:
            other = weak.traits.step("spread_rate")
            if weak.number == strong.number or other is None or rate - other < limits["classes"]:
                continue
            size = border.size(weak, SIZE_SEASON)
            if size is None or _holds_its_own(weak, size.height.typical, limits["woody_height"]):
                continue
            reach = _reach(border, strong, rate, limits["years"])
            gap = round(strong.distance_to(weak) - size.spread.typical / 2, 2)
            if reach is None or gap >= reach:
                continue
            yield Finding(
                "VIGOUR-02", "warning", tuple(sorted((strong.key, weak.key))),
                f"{strong.title} spreads at the root by about {metres(ADVANCE[rate])} a year and will be among {weak.title}, which stays "
                f"where it is, within {limits['years']} years.",
                weak.path, ((strong.path, "the spreader"),), {"classes": [rate, other], "years": limits["years"]},
                mend=f"Set them further apart, put an edge between them, or choose a clump-former in place of {strong.key}.",
            )  # fmt: skip


def _holds_its_own(weak: Planting, height: float, woody_height: float) -> bool:
    """Tall woody plants, bulbs and what leaves again are no victims; neither is ground cover under a shrub's skirt."""
    return (weak.woody and height > woody_height) or weak.life_form in ("bulb", "tree", "annual") or weak.temporary


def _reach(border: Border, strong: Planting, rate: int, years: float) -> float | None:
    size = border.size(strong, SIZE_SEASON)
    # Only what it gains beyond its own grown clump: crowding by the clump itself is for SPACE-01.
    return None if size is None else size.spread.typical / 2 + ADVANCE[rate] * max(0.0, years - SIZE_SEASON)
