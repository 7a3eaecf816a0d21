"""A picture on paper as SVG: everything in millimetres, x to the right and y down, with line weights of drawing practice."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape
from typing import NamedTuple

from bedfellow.linter.report.drawings.typeface import FAMILY, Span, Words, spans
from bedfellow.linter.report.plain import plain

# Line weights in mm: ISO 128-20, the widths of its series.
FAINT, FINE, THIN, MEDIUM, STRONG, HEAVY = 0.13, 0.18, 0.25, 0.35, 0.5, 0.7
# Sizes of letters in mm, from the baseline of one em.
SMALL, TEXT, LARGE = 2.3, 2.8, 3.8
INK, GREY, PAPER = "#1a1a1a", "#5f5f5f", "#ffffff"


class Drawing(NamedTuple):
    """A picture: its name and title, a complete SVG, and its width and height in mm."""

    name: str
    title: str
    svg: str
    width: float
    height: float


class CannotDraw(ValueError):
    """Why there is nothing to draw, in words for the person who asked."""


def number(value: float) -> str:
    """Millimetres to the micrometre, without idle zeros."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def element(name: str, inside: str = "", /, **attributes: str | float | None) -> str:
    """An element of SVG. Attributes with a hyphen are written with an underscore; None is left out; inside: finished SVG."""
    said = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{number(value) if isinstance(value, int | float) else escape(plain(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{said}>{inside}</{name}>" if inside else f"<{name}{said}/>"


class Pen(NamedTuple):
    """How something is drawn: weight in mm (0 for no line), its colour, dashes in mm, and what fills it."""

    weight: float = THIN
    colour: str = INK
    dash: tuple[float, ...] = ()
    fill: str = "none"
    opacity: float | None = None  # of the fill

    @property
    def attributes(self) -> dict[str, str | float | None]:
        line: dict[str, str | float | None] = {"fill": self.fill, "fill_opacity": self.opacity}
        if not self.weight:
            return line
        dashes = " ".join(number(part) for part in self.dash) or None
        return {**line, "stroke": self.colour, "stroke_width": self.weight, "stroke_dasharray": dashes}


def titled(words: str) -> str:
    """What a browser tells of a sign that is pointed at."""
    return f"<title>{escape(plain(words))}</title>" if words else ""


def circle(x: float, y: float, radius: float, pen: Pen, told: str = "", **more: str) -> str:
    return element("circle", titled(told), cx=x, cy=y, r=radius, **pen.attributes, **more)


def line(x1: float, y1: float, x2: float, y2: float, pen: Pen, **more: str) -> str:
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **pen.attributes, **more)


def rect(x: float, y: float, width: float, height: float, pen: Pen, told: str = "", **more: str) -> str:
    return element("rect", titled(told), x=x, y=y, width=width, height=height, **pen.attributes, **more)


def shape(points: Iterable[tuple[float, float]], pen: Pen, closed: bool = True, told: str = "", **more: str) -> str:
    """A polygon, or an open line."""
    places = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return element("polygon" if closed else "polyline", titled(told), points=places, **pen.attributes, **more)


def path(drawn: str, pen: Pen, told: str = "", **more: str) -> str:
    return element("path", titled(told), d=drawn, **pen.attributes, **more)


def text(
    x: float, y: float, words: Words, size: float = TEXT, anchor: str = "start", bold: bool = False,
    colour: str = INK, halo: bool = False, **more: str | float,
) -> str:  # fmt: skip
    """Words with their baseline at y; anchor: start, middle or end; halo: a white edge about the letters."""
    parts = spans(words)
    styles = {"italic": {"font_style": "italic"}, "bold": {"font_weight": "bold"}}
    inside = (
        escape(parts[0].words)
        if len(parts) == 1 and parts[0].style == "regular"
        else "".join(_tspan(part, styles.get(part.style, {})) for part in parts)
    )
    edge: dict[str, str | float | None] = (
        {"stroke": PAPER, "stroke_width": 0.28 * size, "paint_order": "stroke", "stroke_linejoin": "round"}
        if halo
        else {}
    )
    return element(
        "text", inside, x=x, y=y, font_size=size, text_anchor=None if anchor == "start" else anchor,
        font_weight="bold" if bold else None, fill=colour, **edge, **more,
    )  # fmt: skip


def _tspan(part: Span, style: dict[str, str]) -> str:
    return element("tspan", escape(part.words), **style) if style else escape(part.words)


def group(inside: Iterable[str], **attributes: str | float | None) -> str:
    return element("g", "\n".join(inside), **attributes)


def moved(inside: str, x: float, y: float) -> str:
    """A finished piece with its origin at a place."""
    return f'<g transform="translate({number(x)} {number(y)})">{inside}</g>'


def drawing(
    name: str, title: str, width: float, height: float, parts: Sequence[str], patterns: Sequence[str] = ()
) -> Drawing:
    """The whole sheet; patterns: definitions that its parts fill with."""
    defined = f"<defs>{''.join(patterns)}</defs>\n" if patterns else ""
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(width)}mm" height="{number(height)}mm" '
        f'viewBox="0 0 {number(width)} {number(height)}" font-family="{FAMILY}" stroke-linejoin="round" role="img">\n'
        f"{titled(title)}\n{defined}{rect(0, 0, width, height, Pen(0, fill=PAPER))}\n" + "\n".join(parts) + "\n</svg>\n"
    )
    # Several drawings may stand in one page, where names of patterns are shared. Text cannot hold these signs: it is escaped.
    svg = re.sub(r'( id="| href="#|="url\(#)', rf"\g<1>{name}-", svg)
    return Drawing(name, title, svg, width, height)
