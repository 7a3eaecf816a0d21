"""What will look empty, and when: months with little to look at, bare soil, and places that plants leave."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import times
from bedfellow.rules.border.interest import PART_OF_MONTH, of_interest
from bedfellow.rules.words import listed, month
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = range(1, 11)
SUMMER, WINTER, GROWING = 7, 2, (3, 9)  # months in the north
GROWN = 3
SHORT = 10.0  # years: what lives no longer is told
WIDE = 0.25  # m²: a smaller place that bulbs leave is soon closed; common practice


@dataclass(frozen=True, slots=True)
class Bare:
    """Share of the ground under no leaves in a season, at midsummer and in late winter."""

    season: int
    summer: float
    winter: float


def bare(border: Border) -> tuple[Bare, ...]:
    """Seasons 1 to 10; nothing where the plan has no bed."""
    if not border.plan.borders:
        return ()

    def open_in(season: int, number: int) -> float:
        day = middle_of(border.month_here(number))
        return round(1 - border.cover_by_layer(season, day)["any"], 2)

    return tuple(Bare(season, open_in(season, SUMMER), open_in(season, WINTER)) for season in SEASONS)


@dataclass(frozen=True, slots=True)
class Held:
    """A month: share of the frontage that has something to look at in season 3, and how many plants that is."""

    month: int
    frontage: float
    plants: int


def frontage(border: Border) -> tuple[Held, ...]:
    """January to December."""
    holding = of_interest(border, PART_OF_MONTH)
    return tuple(
        Held(
            number,
            round(border.share_of_frontage(holding[number], GROWN), 2),
            sum(border.present(p, GROWN) for p in holding[number]),
        )
        for number in range(1, 13)
    )


def leaving(border: Border) -> tuple[str, ...]:
    """Places that plants leave, in words: what dies down in the growing season, fillers, and what does not live long.

    The same of several lines of a plant is said once.
    """
    found: dict[tuple[str, str], list[str]] = {}
    for planting, said in (*_dying(border), *_passing(border), *_short_lived(border)):
        found.setdefault((planting.traits.name, said), []).append(planting.key)
    return tuple(f"{name} ({listed(keys)}): {said}" for (name, said), keys in found.items())


def _dying(border: Border) -> Iterator[tuple[Planting, str]]:
    for planting in border.plantings:
        gone, ground = border.window(planting, "die_back"), border.ground_taken(planting, GROWN)
        if gone is None or planting.temporary or ground < WIDE or not border.in_months(gone.end.typical, *GROWING):
            continue
        when = month(times.month_at(gone.end.typical))
        yield (
            planting,
            f"its leaves are gone by the end of {when} and leave {ground:.1f} m² to its neighbours until they come again.",
        )


def _passing(border: Border) -> Iterator[tuple[Planting, str]]:
    for planting in border.plantings:
        if not planting.temporary:
            continue
        last = max((season for season in SEASONS if border.present(planting, season)), default=1)
        when = times.told(planting.line.until) if planting.line.until else f"after season {last}"
        fills = f" {listed(planting.line.fills)} should have grown over it by then." if planting.line.fills else ""
        yield planting, f"goes {when} and leaves {border.ground_taken(planting, 1):.1f} m².{fills}"


def _short_lived(border: Border) -> Iterator[tuple[Planting, str]]:
    for planting in border.plantings:
        life = planting.traits.measure("lifespan")
        if life and life.typical <= SHORT and not planting.temporary and planting.life_form != "bulb":
            years = f"{life.typical:g} years ({life.low:g} to {life.high:g})"
            yield planting, f"lives about {years}; plan its renewal ({border.source(planting, 'lifespan')})."
