"""A list through the year, by the dates in the records: what there is to look at, in flower together, and when to plant."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from bedfellow.rules.border.interest import ORGANS, PART_OF_MONTH
from bedfellow.rules.border.phenology import probability_together, share_of_month
from bedfellow.schema.colours import difference, lab
from bedfellow.schema.values import FIRST_DAYS, YEAR, Window
from bedfellow.traits_db.facts import TaxonTraits

WINTER = (12, 1, 2)
TOGETHER = 7.0  # days
WEEKS = 52


class Overlap(NamedTuple):
    """Two plants and how probably they flower together for a week; apart: of their colours, CIEDE2000 of the nearest two."""

    first: str
    second: str
    chance: float
    colours: tuple[tuple[str, ...], tuple[str, ...]]
    apart: float | None


class Delivery(NamedTuple):
    """The week (1 to 52) in which most can be planted, who cannot then, and of whom no window is known."""

    week: int
    left_out: tuple[str, ...]
    unknown: tuple[str, ...]


def span(window: Window) -> tuple[float, float]:
    return window.start.typical, window.end.typical


def to_look_at(traits: TaxonTraits, month: int) -> bool:
    """Something besides evergreen leaves for a third of a month."""
    windows = (traits.window(organ) for organ in ORGANS)
    return any(window and share_of_month(span(window), month) >= PART_OF_MONTH for window in windows)


def interest(plants: Sequence[TaxonTraits]) -> dict[int, list[str]]:
    """Month to the plants with something to look at."""
    return {month: [traits.name for traits in plants if to_look_at(traits, month)] for month in range(1, 13)}


def evergreen_share(plants: Sequence[TaxonTraits]) -> float:
    """Share of those whose foliage is known that keep it."""
    known = [word for traits in plants if (word := traits.word("foliage"))]
    return sum(word == "evergreen" for word in known) / len(known) if known else 0.0


def overlaps(plants: Sequence[TaxonTraits]) -> Iterator[Overlap]:
    """Pairs that may well flower together."""
    flowering = [(traits.name, window) for traits in plants if (window := traits.window("flower"))]
    for (first, one), (second, other) in combinations(flowering, 2):
        chance = round(probability_together(span(one), span(other), TOGETHER), 2)
        if chance > 0:
            distances = [difference(lab(a), lab(b)) for a in one.colours for b in other.colours]
            apart = round(min(distances), 1) if distances else None
            yield Overlap(first, second, chance, (one.colours, other.colours), apart)


def delivery(plants: Sequence[TaxonTraits]) -> Delivery | None:
    """One week for all; None where no window is known."""
    windows = {traits.name: window for traits in plants if (window := traits.window("planting_window"))}
    if not windows:
        return None
    out = {
        week: tuple(name for name, window in windows.items() if not during(window, 7 * week - 3))
        for week in range(1, WEEKS + 1)
    }
    week = min(out, key=lambda number: (len(out[number]), number))
    return Delivery(week, out[week], tuple(traits.name for traits in plants if traits.name not in windows))


def during(window: Window, day: float) -> bool:
    """A day of the year lies in a window, which may cross New Year."""
    start, end = span(window)
    return any(start <= day + turn <= end for turn in (0, YEAR))


def date(day: float) -> tuple[int, int]:
    """(month, day of it) of a day of the year."""
    day = (round(day) - 1) % YEAR + 1
    month = next(number for number in range(1, 13) if day < FIRST_DAYS[number])
    return month, day - FIRST_DAYS[month - 1] + 1
