"""LAYER-01: a plant that nobody sees when it is at its best."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.crown import crown_of
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import month
from bedfellow.schema.values import YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
LOW = 0.35
MOST_MEMBERS = 9


def hidden(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """In the middle of its flowering less than a third of a plant is seen from the place that sees it best."""
    if not border.plan.borders:
        return
    for planting in border.plantings:
        window = planting.traits.window("flower")
        if (
            window is None
            or planting.life_form in ("bulb", "climber", "tree")
            or planting.supported
            or not planting.points
        ):
            continue
        # What the plan puts beneath others is meant to run there, and a slight flower is not why a plant is there.
        if planting.line.under or window.strength < 2:
            continue
        day = round((window.start.typical + window.end.typical) / 2 - 1) % YEAR + 1
        for season in SEASONS:
            crown = border.crown(planting, season)
            if crown is None or crown.top <= LOW or _gone(planting, season):
                continue
            seen = round(_seen(border, planting, season, day), 2)
            if seen >= limits["seen"]:
                continue
            when = month(month_of(day))
            yield Finding(
                "LAYER-01", "warning", (planting.key,),
                f"{planting.title} flowers in {when} behind taller plants: by year {season} {seen:.0%} of it is seen from the best "
                f"place along the front.",
                planting.path, (), {"seen": seen, "limit": limits["seen"], "day_of_year": day, "season": season},
                mend=f"Move {planting.key} forward, or change places with what stands before it.",
            )  # fmt: skip
            break


def _gone(planting: Planting, season: int) -> bool:
    """A short-lived plant is not there any more."""
    life = planting.traits.measure("lifespan")
    return planting.temporary or (life is not None and life.typical < season)


def _seen(border: Border, planting: Planting, season: int, day: int) -> float:
    """Share of a planting in flower that is seen from the best of the five places before it."""
    size, leafy = border.size(planting, season), border.crown(planting, season)
    assert size is not None and leafy is not None
    # In flower the whole height counts, not the leaves alone.
    height = max(size.height.typical, leafy.top)
    shape = crown_of(planting.traits.word("habit") or "clump", height, 2 * leafy.greatest_radius, leafy.base)
    seen, weights = border.seen_from_front(planting, shape, season, day, MOST_MEMBERS)
    return float((seen * weights[:, None]).sum(axis=0).max() / weights.sum())
