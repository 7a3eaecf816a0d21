"""A table that fits the terminal."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from textwrap import wrap

from bedfellow.linter.report.plain import plain

INDENT = "  "  # of what a row is about, where it goes on below: it tells it from a row of its own
NARROWEST, LONGEST_WORD = 6, 20  # columns; what is longer than that is broken as if it were none


def table(headings: Sequence[str], rows: Sequence[Sequence[object]], width: int | None = None) -> str:
    """Rows under headings; numbers stand to the right, and the longest texts go on below where the width ends.

    Nothing is cut: the key stands at the end of a plant's title. width: columns; by default those of the terminal, or
    100 where there is none.
    """
    width = width or shutil.get_terminal_size((100, 24)).columns
    lines = [list(headings), *([_shown(value) for value in row] for row in rows)]
    columns = list(zip(*lines, strict=True))
    least = [min(LONGEST_WORD, max(_longest_word(cell, n == 0) for cell in cells)) for n, cells in enumerate(columns)]
    gap = 2 if sum(least) + 2 * (len(least) - 1) <= width else 1
    widths = _fitted([max(map(len, cells)) for cells in columns], least, width - gap * (len(columns) - 1))
    right = [bool(rows) and all(_is_figure(row[n]) for row in rows) for n in range(len(headings))]
    return "".join(text for line in lines for text in _row(line, widths, right, " " * gap))


def _fitted(widths: list[int], least: Sequence[int], room: int) -> list[int]:
    """Narrower columns: the widest first, as far as their words stay whole; only then are words broken."""
    while sum(widths) > room:
        loose = [n for n, size in enumerate(widths) if size > least[n]]
        if loose:  # what a row is about gives way later than the rest
            widest = max(loose, key=lambda n: widths[n] / 2 if n == 0 else widths[n])
        elif max(widths) > NARROWEST:
            widest = widths.index(max(widths))
        else:
            break
        widths[widest] -= 1
    return widths


def _longest_word(cell: str, indented: bool) -> int:
    return max((len(word) + len(INDENT) * (indented and n > 0) for n, word in enumerate(cell.split())), default=0)


def share(part: float) -> str:
    """A share of 1 as a percentage."""
    return f"{part:.0%}"


def _is_figure(value: object) -> bool:
    return isinstance(value, int | float) or (isinstance(value, str) and value.endswith("%"))


def _shown(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else plain("" if value is None else value)


def _row(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool], gap: str) -> Iterator[str]:
    broken = (
        [cell] if len(cell) <= size else wrap(cell, size, subsequent_indent="" if n else INDENT, break_on_hyphens=False)
        for n, (cell, size) in enumerate(zip(cells, widths, strict=True))
    )
    for parts in zip_longest(*broken, fillvalue=""):
        placed = (f"{p:>{w}}" if r else f"{p:<{w}}" for p, w, r in zip(parts, widths, right, strict=True))
        yield gap.join(placed).rstrip() + "\n"
