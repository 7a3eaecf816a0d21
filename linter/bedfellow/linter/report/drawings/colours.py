"""Colours by month: what of leaves, flowers and fruit is seen together, each as wide as its share of the crowns."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.drawings.columns import COLUMN, GAP, Row, heading, inner, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.frame import EDGE, PAPERS
from bedfellow.linter.report.drawings.plan import border_of, strip_of
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    GREY,
    INK,
    SMALL,
    TEXT,
    CannotDraw,
    Drawing,
    Pen,
    circle,
    element,
    line,
    moved,
    rect,
    text,
)
from bedfellow.linter.report.drawings.shown import paint, shown
from bedfellow.linter.report.drawings.typeface import Span, width
from bedfellow.linter.report.page import CAUTION
from bedfellow.rules.border.interest import PART_OF_MONTH
from bedfellow.rules.words import listed
from bedfellow.schema.values import MONTHS, middle_of

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border

WIDE, HIGH, NAMES = inner(PAPERS["A3"])[0] - COLUMN - GAP, 20.5, 24.0  # mm
LEAVES = ("leaf", "autumn colour")
SHARES = {1: 0.25, 2: 0.5, 3: 0.8}
"""Share of its crown that a flower, fruit or coloured stem covers, by strength: common practice, for the picture alone."""


class Patch(NamedTuple):
    """A colour in a month: what wears it, its ISCC-NBS name, and m² of crowns seen from above."""

    key: str
    organ: str
    colour: str
    area: float


def drawn(result: Result, asked: Asked) -> Drawing:
    """Colours by month. Raises CannotDraw."""
    border = border_of(result)
    if not border.plantings:
        raise CannotDraw("no plant in the plan is known, so there are no colours to show")
    months = {number: list(patches(border, asked.season, number)) for number in range(1, 13)}
    most = max((sum(patch.area for patch in found) for found in months.values()), default=0.0)
    if most <= 0:
        raise CannotDraw("no plant of known size has a place in the plan, so there are no colours to show")
    rows = [*_legend(border), *_named(months)]
    layout = laid_out(WIDE, HIGH * 12 + 4, rows)
    left, top = EDGE + 4, EDGE + 4
    parts = []
    for number, found in months.items():
        parts.append(moved("".join(_month(number, found, most)), left, top + HIGH * (number - 1)))
    strip = strip_of(result, "Colours by month", (("season", str(asked.season)),))
    return sheet("colours", strip, layout.paper, [*parts, *layout.rows], _patterns())


def patches(border: Border, season: int, month: int) -> Iterator[Patch]:
    """The colours of a month: leaves as wide as the crowns, and of them what flowers, fruit and stems cover."""
    day = middle_of(month)
    for planting in border.of_the_bed:
        if not border.present(planting, season):
            continue
        here = shown(border, planting, month)
        crown = border.crown_on(planting, season, day) or (border.crown(planting, season) if here.standing else None)
        if crown is None:
            continue
        left = len(planting.points) * pi * crown.greatest_radius**2
        for organ in ("flower", "fruit", "bark"):
            colours = here.organs.get(organ, ())
            window = border.window(planting, organ)
            if colours and window:
                taken = left * SHARES[window.strength]
                left -= taken
                yield from (Patch(planting.key, organ, colour, taken / len(colours)) for colour in colours)
        if here.leaf:
            yield Patch(
                planting.key,
                "autumn colour" if "autumn_colour" in here.organs else "leaf",
                here.leaf if here.known else "",
                left,
            )


def _month(number: int, found: list[Patch], most: float) -> Iterator[str]:
    """A strip of patches, leaves first, as long as the crowns are large."""
    yield text(0, 6.0, MONTHS[number - 1], TEXT + 0.4, bold=True)
    whole = sum(patch.area for patch in found)
    yield text(0, 10.4, f"{whole:.1f} m²", SMALL, colour=GREY)
    x, room = NAMES, WIDE - NAMES
    for patch in sorted(found, key=lambda patch: (patch.organ not in LEAVES, -patch.area, patch.key)):
        wide = room * patch.area / most
        fill = paint(patch.colour) if patch.colour else "url(#unknown)"
        told = f"{patch.key}, {patch.organ}: {patch.colour or 'colour not known'}, {patch.area:.2f} m²"
        yield rect(x, 1.0, wide, HIGH - 5.4, Pen(FAINT, INK, fill=fill), told, class_="patch")
        # What is no leaf is told from leaves without colour too.
        if patch.organ not in LEAVES:
            yield circle(x + wide / 2, HIGH - 6.4, 0.6, Pen(FINE, INK, fill="#ffffff")) if wide > 1.4 else ""
        if width(patch.key, SMALL) + 0.8 <= wide:
            yield text(x + wide / 2, HIGH - 1.8, patch.key, SMALL, "middle")
        x += wide
    yield line(0, HIGH - 0.4, WIDE, HIGH - 0.4, Pen(FAINT, GREY))


def _legend(border: Border) -> Iterator[Row]:
    yield heading("How to read it")
    yield from paragraph(
        "Each strip is as long as the crowns that are up in the middle of the month are large; each patch is a colour, named by "
        f"ISCC-NBS, with the key of its plant; what takes up less than {PART_OF_MONTH:.0%} of the month is left out. A ring marks what is no leaf: flowers, fruit, stems. How much of a crown a flower "
        f"covers is common practice: {SHARES[1]:.0%}, {SHARES[2]:.0%} or {SHARES[3]:.0%} by its strength."
    )
    yield Row(
        5.6,
        moved(rect(0, -1.8, 10, 3.6, Pen(FAINT, INK, fill="url(#unknown)")), 1, 2.8)
        + text(17, 3.8, "leaves whose colour is not known", TEXT),
    )
    if border.unknown_names:
        yield from paragraph(f"Not known, and left out: {listed([one.name for one in border.unknown_names])}.")
    yield from paragraph((Span(CAUTION, "italic"),))


def _named(months: dict[int, list[Patch]]) -> Iterator[Row]:
    """The colours by name, and who wears them."""
    worn: dict[str, dict[str, None]] = {}
    for found in months.values():
        for patch in found:
            if patch.colour:
                worn.setdefault(patch.colour, {}).setdefault(f"{patch.key} ({patch.organ})")
    yield heading("Colours")
    for colour, who in sorted(worn.items()):
        swatch = rect(-3, -1.5, 6, 3, Pen(FAINT, INK, fill=paint(colour)))
        yield from paragraph(f"{colour}: {', '.join(who)}", SMALL + 0.2, indent=9.0, sign=swatch)


def _patterns() -> list[str]:
    inside = rect(0, 0, 1.6, 1.6, Pen(0, fill="#eef1ea")) + line(0, 1.6, 1.6, 0, Pen(FAINT, "#9a9a9a"))
    return [element("pattern", inside, id="unknown", width=1.6, height=1.6, patternUnits="userSpaceOnUse")]
