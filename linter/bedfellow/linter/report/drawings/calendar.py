"""The year of each plant: when it flowers, colours, fruits and stands, how far dates move, and which months have nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import grid
from bedfellow.linter.report.drawings.grid import LEFT, WIDTH, Line, across, table, x_of
from bedfellow.linter.report.drawings.plan import border_of, strip_of
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    GREY,
    INK,
    PAPER,
    SMALL,
    TEXT,
    THIN,
    CannotDraw,
    Drawing,
    Pen,
    circle,
    element,
    line,
    rect,
    text,
)
from bedfellow.linter.report.drawings.shown import paint
from bedfellow.linter.report.drawings.signs import LEAF, hatched
from bedfellow.linter.report.drawings.typeface import Span, botanical, width
from bedfellow.linter.report.page import CAUTION
from bedfellow.rules.border.interest import ORGANS, PART_OF_MONTH, of_interest
from bedfellow.rules.border.phenology import ALL_YEAR, early_and_late
from bedfellow.rules.words import listed, months
from bedfellow.schema.values import FIRST_DAYS, YEAR
from bedfellow.schema.values import layer_of as by_height

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.values import Window

BAR, STEP = 2.9, 3.5  # mm
LAYERS = ("top", "middle", "ground", "bulbs", "climbers", "of unknown size")
WORDS = {
    "flower": "flower", "foliage_interest": "leaves", "autumn_colour": "autumn colour", "fruit": "fruit", "bark": "stems",
    "seedhead": "seedheads", "winter_outline": "winter outline", "evergreen": "evergreen",
}  # fmt: skip
HATCH = {
    "foliage_interest": "leaves",
    "autumn_colour": "turning",
    "fruit": "berries",
    "bark": "stems",
    "seedhead": "seeds",
}


def drawn(result: Result, asked: Asked) -> Drawing:
    """The calendar of interest. Raises CannotDraw."""
    border = border_of(result)
    if not border.plantings:
        raise CannotDraw("no plant in the plan is known, so there is no year to show")
    layers: dict[str, list[Planting]] = {layer: [] for layer in LAYERS}
    for planting in border.of_the_bed:
        layers[layer_of(border, planting, asked.season)].append(planting)
    held = of_interest(border, PART_OF_MONTH)
    empty = [number for number, plants in held.items() if not plants]
    lines = []
    for layer, plants in layers.items():
        if plants:
            words = (f"{layer.capitalize()} layer") if layer in LAYERS[:3] else layer.capitalize()
            lines.append(Line(6.4, text(LEFT, 4.6, words, TEXT + 0.4, bold=True) + across(6.4)))
            lines += [_row(border, planting) for planting in sorted(plants, key=lambda p: _first(border, p))]
    lines.append(_holding(border, held, asked.season))
    return table(
        "calendar", strip_of(result, "Calendar of interest", (("heights in season", str(asked.season)),)), lines,
        list(_foot(border, empty)), _patterns(),
    )  # fmt: skip


def layer_of(border: Border, planting: Planting, season: int) -> str:
    """The layer of a planting, by its leaves in a season; bulbs and climbers are layers of their own."""
    if planting.life_form == "bulb":
        return "bulbs"
    if planting.life_form == "climber" or planting.supported:
        return "climbers"
    crown = border.crown(planting, season)
    if crown is None:
        return "of unknown size"
    return by_height(crown.top)


def _first(border: Border, planting: Planting) -> tuple[float, str]:
    """By the day on which it first shows something, from January."""
    windows = [window for organ in ORGANS if (window := border.window(planting, organ))]
    return min(((window.start.typical - 1) % YEAR for window in windows), default=YEAR), planting.key


def _windows(border: Border, planting: Planting) -> Iterator[tuple[str, Window | None]]:
    for organ in ORGANS:
        if window := border.window(planting, organ):
            yield organ, window
    if planting.evergreen:
        yield "evergreen", None


def _row(border: Border, planting: Planting) -> Line:
    bars = list(_windows(border, planting))
    height = max(5.0, STEP * len(bars) + 1.4)
    parts = [
        grid.name(
            (Span(f"{planting.key}  ", "bold"), *botanical(planting.traits.name)), 0.4, most=1 if height < 7.4 else 2
        )
    ]
    for index, (organ, window) in enumerate(bars):
        y = 0.8 + STEP * index
        if window is None:
            parts.append(line(x_of(1), y + BAR / 2, x_of(YEAR + 1), y + BAR / 2, Pen(0.5, LEAF)))
            words, size = WORDS[organ], SMALL - 0.2
            parts.append(rect(x_of(1) + 1, y, width(words, size) + 1.4, BAR, Pen(0, fill=PAPER)))
            parts.append(text(x_of(1) + 1.7, y + BAR - 0.75, words, size))
        else:
            parts += _bar(border, organ, window, y)
    if not bars:
        parts.append(text(x_of(1) + 1, 3.4, "no dates are known", SMALL, colour=GREY))
    return Line(height, "".join(parts) + across(height))


def _bar(border: Border, organ: str, window: Window, y: float) -> Iterator[str]:
    """A bar from the usual start to the usual end; a thin line as far as dates move in nine years of ten."""
    start, end = window.start.typical, window.end.typical
    whole = end - start >= ALL_YEAR
    (earliest, _), (_, latest) = early_and_late(border.varying(window))
    if not whole:
        for first, last in grid.turns(earliest, latest):
            yield line(x_of(first), y + BAR / 2, x_of(last), y + BAR / 2, Pen(FINE, INK), class_="range")
    thick = BAR if window.strength > 1 else BAR * 0.6
    top = y + (BAR - thick) / 2
    longest = (0.0, 0.0)
    for first, last in grid.turns(start, start + YEAR if whole else end):
        left, wide = x_of(first), x_of(last) - x_of(first)
        dashes = (1.6, 0.9) if organ == "winter_outline" else ()
        colours = [paint(colour) for colour in window.colours[:3]] or [PAPER]
        for part, colour in enumerate(colours):
            yield rect(left, top + thick * part / len(colours), wide, thick / len(colours), Pen(0, fill=colour))
        if organ in HATCH:
            yield rect(left, top, wide, thick, Pen(0, fill=f"url(#{HATCH[organ]})"))
        yield rect(left, top, wide, thick, Pen(THIN, INK, dashes), class_=organ)
        longest = max(longest, (wide, left))
    wide, left = longest
    words, size = WORDS[organ], SMALL - 0.2
    long = width(words, size) + 1.4
    if long + 8 <= wide:
        yield rect(left + 1, y + 0.25, long, BAR - 0.5, Pen(0, fill=PAPER)) + text(
            left + 1.7, y + BAR - 0.75, words, size
        )
    elif latest <= YEAR and x_of(latest) + long < LEFT + WIDTH:
        yield text(x_of(latest) + 1, y + BAR - 0.75, words, size, halo=True)
    else:
        yield text(x_of(max(1.0, earliest)) - 1, y + BAR - 0.75, words, size, "end", halo=True)


def _holding(border: Border, held: dict[int, list[Planting]], season: int) -> Line:
    """The share of the frontage that has something in each month; a month with nothing is crossed out."""
    parts = [text(LEFT, 4.4, "Frontage with something to look at", SMALL + 0.2, bold=True)]
    for number, plants in held.items():
        left, right = x_of(FIRST_DAYS[number - 1]), x_of(FIRST_DAYS[number])
        if not plants:
            parts.append(rect(left, 0, right - left, 6.6, Pen(THIN, INK, fill="url(#empty)"), class_="empty"))
        share = border.share_of_frontage(plants, season) if border.plan.borders else None
        words = "nothing" if not plants else f"{share:.0%}" if share is not None else str(len(plants))
        parts.append(text((left + right) / 2, 4.4, words, TEXT, "middle", bold=True, halo=True))
    return Line(6.6, "".join(parts))


def _foot(border: Border, empty: list[int]) -> Iterator[Line]:
    said = f"Nothing is to be looked at in {months(empty)}." if empty else "Every month has something to look at."
    if border.unknown_names:
        said += f" Not known, and left out: {listed([planting.name for planting in border.unknown_names])}."
    yield from _paragraph(said, "bold")
    yield from _paragraph(
        "Bars from the usual beginning to the usual end, thin lines as early and as late as nine years in ten; a thin bar is a "
        f"slight interest. A month counts from {PART_OF_MONTH:.0%} of it on. Bars have the colour of the organ where it is known.",
        "regular",
    )
    yield from _paragraph(CAUTION, "italic")


def _paragraph(words: str, style: str) -> Iterator[Line]:
    from bedfellow.linter.report.drawings.typeface import wrapped

    for part in wrapped((Span(words, style),), SMALL + 0.2, WIDTH):
        yield Line(3.6, text(LEFT, 2.6, part, SMALL + 0.2))
    yield Line(1.2, "")


def _patterns() -> list[str]:
    def pattern(name: str, size: float, inside: str) -> str:
        return element("pattern", inside, id=name, width=size, height=size, patternUnits="userSpaceOnUse")

    thin = Pen(FAINT, INK)
    return [
        hatched("leaves", 0.85, thin, 45),
        hatched("turning", 1.0, thin, 0),
        pattern("berries", 1.4, circle(0.7, 0.7, 0.28, Pen(0, fill=INK))),
        hatched("stems", 0.9, thin, 90),
        pattern("seeds", 1.4, line(0, 0, 1.4, 1.4, thin) + line(0, 1.4, 1.4, 0, thin)),
        pattern("empty", 3.0, line(0, 0, 3, 3, Pen(FINE, "#777777")) + line(0, 3, 3, 0, Pen(FINE, "#777777"))),
    ]
