"""The signs of the plan drawing, each with its words in the legend. Weight, dash and hatch carry the meaning; colour helps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from math import dist
from typing import NamedTuple

from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    HEAVY,
    INK,
    MEDIUM,
    PAPER,
    SMALL,
    STRONG,
    THIN,
    Pen,
    circle,
    element,
    line,
    path,
    rect,
    shape,
    text,
)  # fmt: skip

Points = Sequence[tuple[float, float]]  # mm on the sheet
LEAF, WOOD, BLUE, EARTH, RED = "#2c6e3f", "#6d5420", "#1c4e80", "#8a5a2b", "#a3261b"


class Mark(NamedTuple):
    """A sign that was drawn: its name in the legend, and its SVG."""

    sign: str
    svg: str


class Look(NamedTuple):
    """How something along a line looks: its pen, what stands on it, and every how many mm."""

    pen: Pen
    mark: str = ""  # tick, cross, dot, ring, square, comb or a letter
    every: float = 6.0


STRUCTURES: Mapping[str, Look] = {
    "wall": Look(Pen(1.0)),
    "retaining wall": Look(Pen(1.0), "comb", 4.0),
    "building": Look(Pen(HEAVY, fill="url(#building)")),
    "fence": Look(Pen(STRONG), "tick", 6.0),
    "railing": Look(Pen(MEDIUM), "tick", 2.5),
    "screen": Look(Pen(STRONG, dash=(3.0, 1.0)), "tick", 8.0),
    "hedge": Look(Pen(MEDIUM, LEAF), "ring", 3.0),
    "trellis": Look(Pen(THIN), "cross", 3.0),
    "wires": Look(Pen(FINE), "dot", 5.0),
    "pergola": Look(Pen(MEDIUM, dash=(4.0, 1.2)), "square", 10.0),
    "arch": Look(Pen(MEDIUM, dash=(1.5, 1.0)), "square", 1000.0),
    "root barrier": Look(Pen(HEAVY, dash=(5.0, 1.2, 1.0, 1.2))),
    "post": Look(Pen(MEDIUM, fill=INK), "post"),
    "obelisk": Look(Pen(MEDIUM), "obelisk"),
}
SERVICES: Mapping[str, str] = {
    "drain": "D", "sewer": "S", "gas": "G", "water": "W", "electricity": "E", "telephone": "T", "irrigation": "I",
    "chamber": "C", "soakaway": "So", "oil tank": "O",
}  # fmt: skip
SERVICE, BOUNDARY = Pen(MEDIUM, BLUE, (6.0, 2.5)), Pen(HEAVY, dash=(9.0, 1.8, 0.9, 1.8, 0.9, 1.8))
GROUNDS: Mapping[str, str] = {
    "lawn": "grass", "meadow": "grass", "paddock": "grass", "wild land": "grass", "mowing strip": "grass",
    "path": "paved", "paving": "paved", "drive": "paved", "road": "paved", "foothold": "paved",
    "gravel": "gravel", "water": "water", "seat": "boards", "deck": "boards", "play area": "gravel",
}  # fmt: skip
GROUND = Pen(FINE, "#4a4a4a")
WORKED = Pen(THIN, EARTH, (3.0, 1.0, 0.8, 1.0))  # level changes, excavation, cultivation
SOIL = Pen(THIN, EARTH, (0.3, 1.1))
BED = Pen(HEAVY, fill="#faf8f3")
DRIFT = Pen(THIN, INK, (2.2, 0.9))
EVERGREEN = Pen(MEDIUM, LEAF, fill="url(#evergreen)")
DECIDUOUS = Pen(MEDIUM, WOOD, fill="#e9dfc4", opacity=0.35)
HERBACEOUS = Pen(FAINT, "#3f3f3f", fill="#d9e6cf", opacity=0.4)
HERBACEOUS_EVERGREEN = Pen(FAINT, LEAF, fill="url(#evergreen)")
TEMPORARY = Pen(THIN, "#3f3f3f", (1.4, 0.9))
BULB, BULB_LEAVES = Pen(FINE, fill=PAPER), Pen(FAINT, "#3f3f3f", (0.4, 0.6))
UNKNOWN = Pen(MEDIUM, INK, (0.35, 1.0))
KEPT = Pen(STRONG, WOOD)
LEAVING = Pen(MEDIUM, WOOD, (1.2, 1.2))
ROOTS = Pen(MEDIUM, RED, (6.0, 1.5))
LINK = Pen(FAINT, INK)
CLIMBS = Pen(MEDIUM, LEAF, (1.0, 0.7))


def _pattern(name: str, wide: float, high: float, inside: str) -> str:
    return element("pattern", inside, id=name, width=wide, height=high, patternUnits="userSpaceOnUse")


def slanted(size: float, pen: Pen, falling: bool = False) -> str:
    """Lines at 45° across a tile of a pattern, without a gap where tiles meet."""
    part = size / 4
    drawn = f"M0,{size:g}L{size:g},0M{-part:g},{part:g}L{part:g},{-part:g}M{size - part:g},{size + part:g}L{size + part:g},{size - part:g}"
    if falling:
        drawn = f"M0,0L{size:g},{size:g}M{-part:g},{size - part:g}L{part:g},{size + part:g}M{size - part:g},{-part:g}L{size + part:g},{part:g}"
    return path(drawn, pen)


_HATCH = Pen(FAINT, "#8d8d8d")
PATTERNS: Mapping[str, str] = {
    "building": _pattern("building", 2.0, 2.0, slanted(2.0, Pen(FINE, "#777777"))),
    "evergreen": _pattern("evergreen", 1.3, 1.3, rect(0, 0, 1.3, 1.3, Pen(0, fill="#dcebd9", opacity=0.6)) + slanted(1.3, Pen(FAINT, LEAF), True)),
    "grass": _pattern("grass", 4.0, 4.0, line(1, 1, 1, 1.7, _HATCH) + line(3, 3, 3, 3.7, _HATCH)),
    "paved": _pattern("paved", 3.0, 3.0, line(0, 0, 3, 0, _HATCH) + line(0, 0, 0, 3, _HATCH)),
    "gravel": _pattern("gravel", 2.0, 2.0, circle(0.5, 0.5, 0.14, Pen(0, fill="#777777")) + circle(1.5, 1.4, 0.14, Pen(0, fill="#777777"))),
    "water": _pattern("water", 6.0, 2.0, line(0, 1, 4.5, 1, Pen(FAINT, BLUE))),
    "boards": _pattern("boards", 1.2, 1.2, line(0, 0, 0, 1.2, _HATCH)),
}  # fmt: skip


def patterns(parts: Iterable[str]) -> list[str]:
    """The definitions that these parts fill with."""
    drawn = "".join(parts)
    return [pattern for name, pattern in PATTERNS.items() if f"url(#{name})" in drawn]


def along(look: Look, points: Points, closed: bool, told: str = "") -> str:
    """Something that runs along a line, or stands at a place."""
    if len(points) == 1:
        return _standing(look, points[0], told)
    ends = [*points, points[0]] if closed else list(points)
    return shape(points, look.pen, closed and len(points) > 2, told) + "".join(_marks(look, ends))


def _marks(look: Look, ends: Points) -> Iterator[str]:
    if not look.mark:
        return
    thin = Pen(look.pen.weight, look.pen.colour)
    for (x0, y0), (x1, y1) in pairwise(ends):
        long = dist((x0, y0), (x1, y1))
        if long == 0:
            continue
        dx, dy = (x1 - x0) / long, (y1 - y0) / long
        count = min(2000, max(1, round(long / look.every)))
        for index in range(count + (look.mark in ("square", "tick"))):
            at = long * (index if look.mark in ("square", "tick") else index + 0.5) / count
            x, y = x0 + dx * at, y0 + dy * at
            yield _mark(look.mark, x, y, dx, dy, thin)


def _mark(mark: str, x: float, y: float, dx: float, dy: float, pen: Pen) -> str:
    if mark == "tick":
        return line(x - 0.9 * dy, y + 0.9 * dx, x + 0.9 * dy, y - 0.9 * dx, pen)
    if mark == "comb":
        return line(x, y, x - 1.6 * dy, y + 1.6 * dx, pen._replace(weight=MEDIUM))
    if mark == "cross":
        return line(x - 0.7, y - 0.7, x + 0.7, y + 0.7, pen) + line(x - 0.7, y + 0.7, x + 0.7, y - 0.7, pen)
    if mark == "dot":
        return circle(x, y, 0.45, Pen(0, fill=pen.colour))
    if mark == "ring":
        return circle(x, y, 1.0, pen._replace(weight=FINE, fill=PAPER))
    if mark == "square":
        return rect(x - 0.8, y - 0.8, 1.6, 1.6, Pen(THIN, fill=PAPER))
    return text(x, y + 0.8, mark, SMALL, "middle", bold=True, colour=pen.colour, halo=True)


def _standing(look: Look, point: tuple[float, float], told: str) -> str:
    x, y = point
    if look.mark == "obelisk":
        cross = line(x - 1.3, y - 1.3, x + 1.3, y + 1.3, Pen(FINE)) + line(
            x - 1.3, y + 1.3, x + 1.3, y - 1.3, Pen(FINE)
        )
        return rect(x - 1.3, y - 1.3, 2.6, 2.6, Pen(MEDIUM, fill=PAPER), told) + cross
    fill = INK if look.mark == "post" else PAPER
    return rect(x - 0.7, y - 0.7, 1.4, 1.4, Pen(MEDIUM, look.pen.colour, fill=fill), told)


def service(kind: str, points: Points, told: str = "") -> str:
    """A line with the letter of the service, or the letter in a square at a place."""
    letter = SERVICES.get(kind, "?")
    if len(points) == 1:
        x, y = points[0]
        return rect(x - 2, y - 2, 4, 4, Pen(MEDIUM, BLUE, fill=PAPER), told) + text(
            x, y + 0.85, letter, SMALL, "middle", bold=True, colour=BLUE
        )
    return along(Look(SERVICE, letter, 30.0), points, False, told)


def crosses(places: Iterable[tuple[float, float]], arm: float = 1.0) -> str:
    """The middles of plants."""
    drawn = (f"M{x - arm:.2f},{y:.2f}h{2 * arm:.2f}M{x:.2f},{y - arm:.2f}v{2 * arm:.2f}" for x, y in places)
    return path("".join(drawn), Pen(FINE), class_="middle")


def root(x: float, y: float, told: str = "") -> str:
    """Where a climber is rooted."""
    return shape([(x - 1.1, y + 0.9), (x + 1.1, y + 0.9), (x, y - 1.1)], Pen(FINE, fill=LEAF), told=told)


def eye(x: float, y: float) -> str:
    """A viewing place."""
    return circle(x, y, 1.6, Pen(THIN, fill=PAPER)) + circle(x, y, 0.6, Pen(0, fill=INK))
