"""VIGOUR-01 and VIGOUR-02: plants that do not stay where they were put."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist, inf
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.growth import edge
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed
from bedfellow.schema.geometry import Point, cuts, distance_to

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.place import Path

OPEN_GROUND = ("gravel", "paving", "path")
WELCOME = ("allowed", "tolerated")
SIZE_SEASON = 3
DIVIDERS = ("root barrier",)


def seeds_about(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Free self-seeders near gravel, paving, a path or a neighbour, their seedheads left on: one finding an edge."""
    grounds = _grounds(border)
    if not grounds:
        return
    seeders = []
    for planting in border.plantings:
        seeding = planting.traits.step("self_seeding")
        if seeding is None:
            yield Unjudged(planting.key, ("self_seeding",), planting.path)
        elif seeding >= limits["seeding"] and not planting.traits.yes("sterile") and not _tended(border, planting):
            seeders.append(planting)
    for number, (name, path, line, closed) in enumerate(grounds):
        near = []
        for planting in seeders:
            reach = limits["wind_reach"] if planting.traits.word("dispersal") == "wind" else limits["reach"]
            distance = min((distance_to(point, line, closed=closed) for point in planting.points), default=inf)
            if round(distance, 2) < reach:
                near.append((round(distance, 2), planting))
        if not near:
            continue
        yield Finding(
            "warning", tuple(sorted(planting.key for _, planting in near)), path,
            {"plants": listed([planting.title for _, planting in near]), "ground": name, "distance": min(d for d, _ in near),
             "keys": listed([planting.key for _, planting in near])},
            tuple((planting.path, planting.key) for _, planting in near), apart=(f"{name} {number + 1}",),
            case="one" if len(near) == 1 else "several",
        )  # fmt: skip


def _grounds(border: Border) -> list[tuple[str, Path, tuple[Point, ...], bool]]:
    """(name, path, line, whether the line is closed) of each place where seedlings are not wanted."""
    found = [
        (s.kind, s.path, s.outline or s.points, bool(s.outline))
        for s in border.plan.surfaces
        if s.kind in OPEN_GROUND and s.self_sown not in WELCOME
    ]
    found += [
        ("the neighbour's ground", b.path, b.ends, False)
        for b in border.plan.boundaries
        if b.beyond == "neighbour" or (b.beyond is None and b.owner in ("neighbour", "shared"))
    ]
    return found


def _tended(border: Border, planting: Planting) -> bool:
    """Its seedlings are welcome, or its seedheads are taken off."""
    line = planting.line
    return bool(
        line.status in WELCOME
        or line.deadheaded
        or any("deadhead" in task.task.lower() and line.key in task.plants for task in border.plan.tasks)
    )


def thug(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A fast spreader whose edge reaches slow neighbours within five years: one finding a spreader."""
    spreaders = []
    for planting in border.plantings:
        rate = planting.traits.step("spread_rate")
        if rate is None:
            yield Unjudged(planting.key, ("spread_rate",), planting.path)
        elif rate >= limits["fast"] and not planting.temporary:
            spreaders.append((planting, rate))
    for strong, rate in spreaders:
        reach = _reach(border, strong, rate, limits["years"])
        if reach is None:
            continue
        weak = [
            (gap, other)
            for other in border.plantings
            if (gap := _gap(border, strong, rate, other, limits)) is not None
            and gap < reach
            and not _divided(border, strong, other)
        ]
        if not weak:
            continue
        weak.sort(key=lambda found: (found[0], found[1].number))
        yield Finding(
            "warning", tuple(sorted([strong.key, *(other.key for _, other in weak)])), strong.path,
            {"strong": strong.title, "weak": listed([other.title for _, other in weak]), "strong_key": strong.key, "class": rate,
             "advance": edge(rate, 1).high, "years": limits["years"], "gap": weak[0][0]},
            tuple((other.path, f"{other.key} stays where it is") for _, other in weak), case="one" if len(weak) == 1 else "several",
        )  # fmt: skip


def _gap(border: Border, strong: Planting, rate: int, weak: Planting, limits: Mapping[str, Any]) -> float | None:
    """Metres from the spreader's nearest plant to the edge of one that it would overrun; None where it would not."""
    other = weak.traits.step("spread_rate")
    if weak.number == strong.number or other is None or rate - other < limits["classes"]:
        return None
    size = border.size(weak, SIZE_SEASON)
    if size is None or _holds_its_own(border, weak, limits["woody_height"]):
        return None
    over, under = border.foliage_height(strong, SIZE_SEASON), border.foliage_height(weak, SIZE_SEASON)
    if over is None or under is None or over < limits["height"] * under:
        return None
    return round(strong.distance_to(weak) - size.spread.typical / 2, 2)


def _holds_its_own(border: Border, weak: Planting, woody_height: float) -> bool:
    """Tall woody plants, bulbs and what leaves again are no victims."""
    size = border.size(weak, 10)
    tall = weak.woody and size is not None and size.height.typical > woody_height
    return tall or weak.life_form in ("bulb", "tree", "annual") or weak.temporary


def _divided(border: Border, strong: Planting, weak: Planting) -> bool:
    """A barrier in the ground stands between the nearest members."""
    pairs = ((here, there) for here in strong.points for there in weak.points)
    way = min(pairs, key=lambda pair: dist(*pair), default=None)
    barriers = [s.points for s in border.plan.structures if s.kind in DIVIDERS and len(s.points) == 2]
    return way is not None and any(cuts((line[0], line[1]), way) for line in barriers)


def _reach(border: Border, strong: Planting, rate: int, years: float) -> float | None:
    size = border.size(strong, SIZE_SEASON)
    # Only what it gains beyond its own grown clump: crowding by the clump itself is for SPACE-01.
    return None if size is None else size.spread.typical / 2 + edge(rate, years - SIZE_SEASON).high
