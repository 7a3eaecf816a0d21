"""A table with the months of a year across, for pictures that follow it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from bedfellow.linter.report.drawings.columns import Strip, inner, sheet
from bedfellow.linter.report.drawings.frame import EDGE, PAPERS, STRIP
from bedfellow.linter.report.drawings.sheet import FAINT, GREY, SMALL, TEXT, THIN, Drawing, Pen, line, moved, text
from bedfellow.linter.report.drawings.typeface import Words, wrapped
from bedfellow.schema.values import FIRST_DAYS, MONTHS, YEAR

NAMES = 74.0  # mm, of the column at the left
LEFT, TOP = EDGE + 4, EDGE + 4
WIDTH = inner(PAPERS["A3"])[0]


class Line(NamedTuple):
    """A row of the table: its height in mm, and its SVG with y from its upper edge."""

    height: float
    svg: str


def x_of(day: float) -> float:
    """mm of a day of the year (1 to 366) on the sheet."""
    return LEFT + NAMES + (day - 1) / YEAR * (WIDTH - NAMES)


def turns(start: float, end: float) -> Iterator[tuple[float, float]]:
    """A run of days as pieces within one year; it may begin before New Year or run past it."""
    if end - start >= YEAR:
        yield 1.0, YEAR + 1.0
        return
    first = (start - 1) % YEAR + 1
    last = first + end - start
    yield first, min(last, YEAR + 1.0)
    if last > YEAR + 1:
        yield 1.0, last - YEAR


def months(y: float, size: float = TEXT) -> Iterator[str]:
    """Names of the months in the middles of their columns, on a line at y."""
    for number, name in enumerate(MONTHS, 1):
        yield text((x_of(FIRST_DAYS[number - 1]) + x_of(FIRST_DAYS[number])) / 2, y, name, size, "middle", bold=True)


def rules(top: float, bottom: float) -> Iterator[str]:
    """The lines between the months."""
    for day in FIRST_DAYS:
        yield line(x_of(day), top, x_of(day), bottom, Pen(FAINT, "#9a9a9a"))


def across(y: float, weight: float = FAINT) -> str:
    return line(LEFT, y, LEFT + WIDTH, y, Pen(weight, GREY))


def name(words: Words, y: float, size: float = SMALL + 0.2, most: int = 2) -> str:
    """The name at the left of a row, in at most so many lines."""
    lines = wrapped(words, size, NAMES - 3)[:most]
    return "".join(
        text(LEFT, y + 0.95 * size * (index + 1) + 0.3 * size * index, part, size) for index, part in enumerate(lines)
    )


def table(name_: str, strip: Strip, lines: list[Line], foot: list[Line], patterns: list[str]) -> Drawing:
    """A sheet with the rows below a head of months; A3, or as much longer as the rows need.

    foot: rows that stand below the table, without the lines of the months.
    """
    parts: list[str] = [*months(TOP + 4.4)]
    y = start = TOP + 7.0
    for row in lines:
        parts.append(moved(row.svg, 0, y))
        y += row.height
    parts = [*rules(TOP, y), across(start, THIN), *parts, across(y, THIN)]
    y += 3.0
    for row in foot:
        parts.append(moved(row.svg, 0, y))
        y += row.height
    wide, high = PAPERS["A3"]
    return sheet(name_, strip, (wide, max(high, y + STRIP + EDGE + 4)), parts, patterns)
