"""A table that fits the terminal."""

from __future__ import annotations

import shutil
from collections.abc import Sequence

from bedfellow.linter.report.plain import plain

GAP = 2
NARROWEST, SHORT = 6, 14  # columns


def table(headings: Sequence[str], rows: Sequence[Sequence[object]], width: int | None = None) -> str:
    """Rows under headings; numbers stand to the right, and the longest texts are cut where the width ends.

    width: columns; by default those of the terminal, or 100 where there is none.
    """
    width = width or shutil.get_terminal_size((100, 24)).columns
    lines = [list(headings), *([_shown(value) for value in row] for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(headings))]
    while sum(widths) + GAP * (len(widths) - 1) > width:
        # What a row is about gives way later than the rest, and a date or a figure, of which a part says nothing, last.
        widest = max(range(len(widths)), key=lambda n: (widths[n] > SHORT, widths[n] / 2 if n == 0 else widths[n]))
        if widths[widest] <= NARROWEST:
            break
        widths[widest] -= 1
    right = [bool(rows) and all(_is_figure(row[n]) for row in rows) for n in range(len(headings))]
    return "".join(_line(line, widths, right) for line in lines)


def share(part: float) -> str:
    """A share of 1 as a percentage."""
    return f"{part:.0%}"


def _is_figure(value: object) -> bool:
    return isinstance(value, int | float) or (isinstance(value, str) and value.endswith("%"))


def _shown(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else plain("" if value is None else value)


def _line(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> str:
    fitted = (cell if len(cell) <= size else cell[: size - 1] + "…" for cell, size in zip(cells, widths, strict=True))
    placed = (f"{c:>{w}}" if r else f"{c:<{w}}" for c, w, r in zip(fitted, widths, right, strict=True))
    return (" " * GAP).join(placed).rstrip() + "\n"
