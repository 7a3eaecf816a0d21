"""North point and scale bar."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings.sheet import (
    FINE,
    INK,
    PAPER,
    SMALL,
    TEXT,
    THIN,
    Pen,
    circle,
    line,
    rect,
    shape,
    text,
)

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border


def north(border: Border, x: float, y: float, size: float = 6.0) -> Iterator[str]:
    """A needle to true north about a place on the sheet; a word where the plan does not say where north is."""
    site = border.plan.site
    if site.faces is None and site.north is None:
        yield text(x, y, "north not stated", SMALL, "middle")
        return
    turn = radians(-border.bearing((0.0, 0.0), (0.0, 1.0)))

    def at(angle: float, length: float) -> tuple[float, float]:
        return x + length * sin(turn + radians(angle)), y - length * cos(turn + radians(angle))

    yield circle(x, y, size, Pen(FINE))
    yield shape([at(0, size), at(150, size * 0.55), (x, y)], Pen(FINE, fill=INK), class_="north")
    yield shape([at(0, size), at(210, size * 0.55), (x, y)], Pen(FINE, fill=PAPER))
    ahead = at(0, size + 2.6)
    yield text(ahead[0], ahead[1] + 1.2, "N", TEXT + 0.6, "middle", bold=True)


def scale_bar(scale: float, x: float, y: float, most: float = 100.0) -> Iterator[str]:
    """A bar of whole metres, half of it filled, with the scale in words; x, y: its left end and its lower edge."""
    whole = next((n for n in (5000, 2000, 1000, 500, 200, 100, 50, 20, 10, 5, 4, 2, 1) if n * 1000 / scale <= most), 1)
    parts = whole if whole <= 5 else 5
    part = whole * 1000 / scale / parts
    for index in range(parts):
        yield rect(x + index * part, y - 1.6, part, 1.6, Pen(THIN, fill=INK if index % 2 == 0 else PAPER), class_="bar")
    for index in range(parts + 1):
        told = f"{whole * index // parts}" + (" m" if index == parts else "")
        yield text(x + index * part, y - 2.6, told, SMALL, "middle")
    yield line(x, y - 1.6, x, y, Pen(THIN))
    yield text(x + parts * part + 7, y, f"1:{scale:,.0f}", TEXT, bold=True)
