"""What is told beside a picture, row by row, in columns that fill the sheet; and the strip with its title."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from bedfellow.linter.report.drawings.frame import EDGE, PAPERS, STRIP
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    GREY,
    HEAVY,
    LARGE,
    SMALL,
    TEXT,
    THIN,
    Drawing,
    Pen,
    drawing,
    line,
    moved,
    rect,
    text,
)
from bedfellow.linter.report.drawings.typeface import LINE, Span, Words, shortened, width, wrapped

COLUMN, GAP = 88.0, 7.0  # mm


class Row(NamedTuple):
    """A piece of a column: its height in mm, its SVG with the upper left corner at the origin, and whether the next stays with it."""

    height: float
    svg: str
    keep: bool = False


def heading(words: str) -> Row:
    return Row(8.0, text(0, 5.6, words, LARGE, bold=True), True)


def paragraph(
    words: Words, size: float = TEXT, indent: float = 0.0, sign: str = "", most: float = COLUMN
) -> Iterator[Row]:
    """Words in lines; sign: SVG that stands before the first, about (0, 0) in the middle of the indent."""
    step = size * LINE
    lines = wrapped(words, size, most - indent)
    for index, parts in enumerate(lines):
        first = moved(sign, indent / 2, step / 2 + 0.1) if sign and not index else ""
        # A short paragraph stays whole; of a long one no line stands alone.
        whole = len(lines) <= 8 or index == 0 or index + 2 == len(lines)
        yield Row(step, first + text(indent, step * 0.76, parts, size), whole and index + 1 < len(lines))
    yield Row(max(1.2, 5.2 - step * len(lines)) if sign else 1.2, "")


def entry(key: str, words: Words, figure: str, indent: float, size: float = TEXT) -> Iterator[Row]:
    """A row of a table: key, words and a figure at the right."""
    step = size * LINE
    edge = COLUMN - max(width(figure, size), 6.0) - 2
    lines = wrapped(words, size, edge - indent)
    for index, parts in enumerate(lines):
        first = ""
        if not index:
            first = text(0, step * 0.76, shortened(key, size, indent - 1.5), size, bold=True) + text(
                COLUMN, step * 0.76, figure, size, "end"
            )
        rule = line(0, step + 0.4, COLUMN, step + 0.4, Pen(FAINT, GREY)) if index + 1 == len(lines) else ""
        yield Row(
            step + (0.8 if rule else 0), first + text(indent, step * 0.76, parts, size) + rule, index + 1 < len(lines)
        )


class Slot(NamedTuple):
    """Room for a column: its upper left corner and its height in mm."""

    x: float
    y: float
    height: float


def slots(paper: tuple[float, float], wide: float, high: float, beside: int, room: float | None = None) -> list[Slot]:
    """Room for columns on a sheet: so many to the right of a picture in its upper left corner, and then below it.

    room: height in mm below the picture; all that there is if not said.
    """
    across, down = inner(paper)
    left, top = EDGE + 4, EDGE + 4
    found = [Slot(left + wide + GAP + n * (COLUMN + GAP), top, down) for n in range(beside)]
    under = across - beside * (COLUMN + GAP)
    below = down - high - 6 if room is None else room
    return found + [
        Slot(left + n * (COLUMN + GAP), top + high + 6, below) for n in range(int((under + GAP) // (COLUMN + GAP)))
    ]


Block = tuple[float, list[Row]]  # rows that stay together, and their height in mm


def _blocks(rows: Sequence[Row]) -> list[Block]:
    """Rows that stay together."""
    blocks: list[list[Row]] = [[]]
    for row in rows:
        blocks[-1].append(row)
        if not row.keep:
            blocks.append([])
    return [(sum(row.height for row in block), block) for block in blocks if block]


def _places(blocks: Sequence[Block], into: Sequence[Slot]) -> list[tuple[float, float]] | None:
    """Where each block comes to stand, from slot to slot; None where they do not fit."""
    found = []
    left = iter(into)
    slot, y = next(left, None), 0.0
    for height, _ in blocks:
        while slot is not None and y + height > slot.height:
            slot, y = next(left, None), 0.0
        if slot is None:
            return None
        found.append((slot.x, slot.y + y))
        y += height
    return found


def _written(blocks: Sequence[Block], places: Sequence[tuple[float, float]]) -> list[str]:
    parts = []
    for (_, rows), (x, y) in zip(blocks, places, strict=True):
        for row in rows:
            if row.svg:
                parts.append(moved(row.svg, x, y))
            y += row.height
    return parts


class Layout(NamedTuple):
    """A sheet for a picture and what is told beside it: its size in mm, the room for the picture, and the rows in place."""

    paper: tuple[float, float]
    width: float
    height: float
    rows: list[str]


def laid_out(wide: float, high: float, rows: Sequence[Row], fills: bool = False) -> Layout:
    """The smallest sheet that takes a picture of so many mm with its rows.

    ISO sheets up to three sizes larger than the picture needs; a longer one where the rows need more. fills: the picture
    takes what room the sheet leaves.
    """
    blocks = _blocks(rows)
    fitting = [paper for paper in PAPERS.values() if wide <= inner(paper)[0] and high <= inner(paper)[1]][:3]
    for paper in fitting:
        layout = _on(paper, wide, high, blocks, fills)
        if layout is not None:
            return layout
    width, height = fitting[-1] if fitting else (max(wide + 2 * EDGE + 8, PAPERS["A4"][0]), high + 2 * EDGE + STRIP + 8)
    while True:
        height += 20
        layout = _on((width, height), wide, high, blocks, fills)
        if layout is not None:
            return layout


def _on(paper: tuple[float, float], wide: float, high: float, blocks: Sequence[Block], fills: bool) -> Layout | None:
    """The layout on a sheet with as few columns beside the picture as take the rows, else with columns below too."""
    across, down = inner(paper)
    most = int((across - wide) // (COLUMN + GAP))
    for beside in range(1, most + 1):
        wider = across - beside * (COLUMN + GAP) if fills else wide
        placed = _places(blocks, slots(paper, wider, down, beside)[:beside])
        if placed is not None:
            return Layout(paper, wider, down if fills else high, _written(blocks, placed))
    for beside in range(most + 1):
        wider = across - beside * (COLUMN + GAP) if fills else wide
        if _places(blocks, slots(paper, wider, high, beside)) is None:
            continue
        # Below the picture the columns end together.
        room = 20.0
        while (placed := _places(blocks, slots(paper, wider, high, beside, room))) is None:
            room += 4
        return Layout(paper, wider, high, _written(blocks, placed))
    return None


def inner(paper: tuple[float, float]) -> tuple[float, float]:
    """Width and height in mm within the frame of a sheet, above its title strip."""
    return paper[0] - 2 * EDGE - 8, paper[1] - 2 * EDGE - STRIP - 8


class Strip(NamedTuple):
    """What the title strip says: the plan's title, the picture's, and further words from left to right."""

    plan: str
    picture: str
    further: tuple[tuple[str, str], ...]  # what it is, and what it says


def framed(strip: Strip, paper: tuple[float, float]) -> Iterator[str]:
    """The frame of a sheet and its title strip."""
    wide, high = paper
    left, top, right, bottom = EDGE, EDGE, wide - EDGE, high - EDGE
    yield rect(left, top, right - left, bottom - top, Pen(HEAVY))
    yield line(left, bottom - STRIP, right, bottom - STRIP, Pen(THIN))
    x = right
    for what, says in reversed(strip.further):
        size = TEXT
        cell = max(width(what, SMALL), width((Span(says, "bold"),), size)) + 6
        x -= cell
        yield line(x, bottom - STRIP, x, bottom, Pen(THIN))
        yield text(x + 3, bottom - STRIP + 5, what, SMALL, colour=GREY)
        yield text(x + 3, bottom - 4.2, (Span(says, "bold"),), size)
    least = left + 4
    yield text(least, bottom - STRIP + 6.4, shortened(strip.plan, LARGE + 0.6, x - least - 4), LARGE + 0.6, bold=True)
    yield text(least, bottom - 3.6, shortened(strip.picture, TEXT + 0.4, x - least - 4), TEXT + 0.4)


def sheet(
    name: str, strip: Strip, paper: tuple[float, float], parts: Sequence[str], patterns: Sequence[str] = ()
) -> Drawing:
    """A finished sheet."""
    return drawing(name, f"{strip.plan}: {strip.picture}", *paper, [*framed(strip, paper), *parts], patterns)
