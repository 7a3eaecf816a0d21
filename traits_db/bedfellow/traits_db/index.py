"""What a store is searched by: each value in use as rows of (low, high, word).

measure     its typical figure          window   first and last day of the year, a row a colour; two where it crosses New Year
tolerance   both limits                 choice   a row a word
class       its step                    hazards  severity, and "dogs eaten"; "none" where none are known
yes-no      1 or 0                      listings a row a jurisdiction; "none" where it was looked for and is on none
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from bedfellow.schema.values import YEAR, Hazard, Listing, Measure, Tolerance, Value, Window


class Entry(NamedTuple):
    """One row of the index."""

    low: float
    high: float
    word: str = ""


class Condition(NamedTuple):
    """A trait whose value overlaps lower to upper, in the trait's unit, and has the word, where one is given."""

    trait: str
    lower: float = -inf
    upper: float = inf
    word: str = ""


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


def _spans(window: Window) -> Iterator[tuple[float, float]]:
    start, end = window.start.typical, window.end.typical
    if end - start >= YEAR - 1:
        yield 1, YEAR
    elif end > YEAR:
        yield start, YEAR
        yield 1, end - YEAR
    else:
        yield start, end
