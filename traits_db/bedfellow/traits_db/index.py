"""What a store is searched by: each value in use as rows of (low, high, word).

measure     its typical figure          window   first and last day of the year, a row a colour; two where it crosses New Year
tolerance   both limits                 choice   a row a word
class       its step                    hazards  severity, and "dogs eaten"; "none" where none are known
yes-no      1 or 0                      listings a row a jurisdiction; "none" where it was looked for and is on none

and under `layer`, which no record states, the layer of the border that a plant takes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from typing import NamedTuple

from bedfellow.schema.values import GROUND, TOP, YEAR, Hazard, Listing, Measure, Tolerance, Value, Window
from bedfellow.traits_db.facts import Fact

LAYER = "layer"
LAYERS = ("ground", "middle", "top", "climbers", "bulbs")


class Entry(NamedTuple):
    """One row of the index."""

    low: float
    high: float
    word: str = ""


class Condition(NamedTuple):
    """A trait whose value overlaps lower to upper, in the trait's unit, and has one of the words, where any are given.

    lower above upper: from lower across New Year to upper. refused: the value is known, and is not so.
    """

    trait: str
    lower: float = -inf
    upper: float = inf
    words: tuple[str, ...] = ()
    refused: bool = False


def entries(value: Value) -> Iterator[Entry]:
    """The rows of one value."""
    match value:
        case Measure():
            yield Entry(value.typical, value.typical)
        case Tolerance(lower, upper):
            yield Entry(lower, upper)
        case Window():
            for first, last in _spans(value):
                for colour in value.colours or ("",):
                    yield Entry(first, last, colour)
        case bool() | int():
            yield Entry(float(value), float(value))
        case str():
            yield Entry(0, 0, value)
        case ():
            yield Entry(0, 0, "none")
        case _:
            for entry in value:
                if isinstance(entry, Hazard):
                    yield Entry(entry.severity, entry.severity, f"{entry.who} {entry.how}")
                else:
                    yield Entry(0, 0, entry.jurisdiction if isinstance(entry, Listing) else entry)


def layer(facts: Mapping[str, Fact]) -> str:
    """One of LAYERS for the values in use of a plant; empty where its size is not known."""
    form = facts["life_form"].value if "life_form" in facts else ""
    if form in ("climber", "bulb"):
        return f"{form}s"
    height, foliage = (
        fact.value.typical if (fact := facts.get(trait)) and isinstance(fact.value, Measure) else None
        for trait in ("height", "foliage_height")
    )
    if height is None:
        return ""
    if height >= TOP:
        return "top"
    return "ground" if (height if foliage is None else foliage) <= GROUND else "middle"


def _spans(window: Window) -> Iterator[tuple[float, float]]:
    start, end = window.start.typical, window.end.typical
    if end - start >= YEAR - 1:
        yield 1, YEAR
    elif end > YEAR:
        yield start, YEAR
        yield 1, end - YEAR
    else:
        yield start, end
