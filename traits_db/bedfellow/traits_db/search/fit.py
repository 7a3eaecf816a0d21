"""How well a plant meets what is asked: a share of 1 for each trait, with the value that it rests on."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from bedfellow.schema.values import YEAR, Hazard, Listing, Measure, Tolerance, Value, Window
from bedfellow.traits_db.facts import Fact, TaxonTraits
from bedfellow.traits_db.search.asked import Asked, nearness

HALF_A_BAND = 5.0  # K: a plant this much more tender than was asked for is no fit at all


class Fit(NamedTuple):
    """What was asked, how far the plant meets it (0 to 1), and the value in use; None where it is not known."""

    asked: Asked
    share: float
    fact: Fact | None


def fit(traits: TaxonTraits, wanted: Asked) -> Fit:
    """A measure: the part of what it may be that lies in what was asked. A window: the part of the days asked for that it
    fills, less for another colour and for less strength. A tolerance: the part of what was asked that it bears. A class:
    less with every step away. All else: yes or no."""
    fact = traits.fact(wanted.trait.name)
    if fact is None:
        return Fit(wanted, 0.0, None)
    share = _share(fact.value, wanted)
    return Fit(wanted, round(1.0 - (share > 0) if wanted.refused else share, 3), fact)


def _share(value: Value, wanted: Asked) -> float:
    match value:
        case Measure(low, typical, high):
            inside = float(wanted.lower <= typical <= wanted.upper)
            return _part(low, high, wanted.lower, wanted.upper) if low < high else inside
        case Tolerance(lower, upper) if wanted.trait.bands:
            return min(1.0, max(0.0, 1 - (lower - wanted.upper) / HALF_A_BAND))
        case Tolerance(lower, upper):
            if wanted.lower == wanted.upper:
                return float(lower <= wanted.lower <= upper)
            return _part(wanted.lower, wanted.upper, lower, upper)
        case Window():
            colour = nearness(wanted.colours, value.colours, wanted.within) if wanted.colours else 1.0
            return _days(value, wanted) * colour * min(1.0, value.strength / wanted.strength)
        case bool() | int():
            beyond = max(wanted.lower - value, value - wanted.upper, 0)
            return max(0.0, 1 - beyond / max(1, len(wanted.trait.scale) - 1)) if beyond < inf else 0.0
        case str():
            return float(value in wanted.words)
        case ():
            return float("none" in wanted.words)
        case _:
            return _of_words([_word(entry) for entry in value], wanted)


def _of_words(words: list[str], wanted: Asked) -> float:
    if wanted.colours:
        return nearness(wanted.colours, tuple(words), wanted.within)
    return float(any(word in wanted.words for word in words))


def _word(entry: str | Hazard | Listing) -> str:
    if isinstance(entry, Hazard):
        return f"{entry.who} {entry.how}"
    return entry.jurisdiction if isinstance(entry, Listing) else entry


def _days(window: Window, wanted: Asked) -> float:
    """Share of the days asked for that lie in a window, either of which may cross New Year."""
    start, end = window.start.typical, window.end.typical
    if end - start >= YEAR - 1:
        return 1.0
    if wanted.lower == wanted.upper:
        return float(any(start <= wanted.lower + turn <= end for turn in (-YEAR, 0, YEAR)))
    return min(1.0, sum(_part(wanted.lower, wanted.upper, start + turn, end + turn) for turn in (-YEAR, 0, YEAR)))


def _part(first: float, last: float, lower: float, upper: float) -> float:
    """Share of first to last that lies in lower to upper."""
    return max(0.0, min(last, upper) - max(first, lower)) / (last - first)
