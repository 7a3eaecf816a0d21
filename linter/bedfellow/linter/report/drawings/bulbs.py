"""Bulbs week by week: how high their leaves are, when they die back, and how much of them the neighbours hide."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

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
    THIN,
    CannotDraw,
    Drawing,
    Pen,
    line,
    rect,
    text,
)
from bedfellow.linter.report.drawings.shown import paint
from bedfellow.linter.report.drawings.signs import LEAF, hatched
from bedfellow.linter.report.drawings.typeface import Span, botanical, wrapped
from bedfellow.linter.report.parts import in_order
from bedfellow.rules.border.crown import crown_of
from bedfellow.rules.bulb.masking import MASKS, Dying, hidden_by_week, weeks_of
from bedfellow.rules.words import listed, metres
from bedfellow.schema.values import YEAR

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

METRE, HEAD, FOOT = 60.0, 5.0, 6.0  # mm: of a metre of leaves, above and below them
NEAR = 1.0  # m: how far off a plant may hide leaves
WEEK = 7


class Year(NamedTuple):
    """A drift of bulbs. leafy: (day, height in m) of weeks with green leaves; dying: (day, share hidden) of weeks in decline."""

    planting: Planting
    leafy: list[tuple[float, float]]
    height: float  # m, of the leaves in decline
    dying: list[tuple[float, float]]
    maskers: list[tuple[str, float]]  # title and height in m of what stands near and high enough by then


def drawn(result: Result, asked: Asked) -> Drawing:
    """The bulbs' weeks. Raises CannotDraw."""
    border = border_of(result)
    bulbs = [
        planting
        for planting in border.plantings
        if planting.life_form == "bulb" and border.present(planting, asked.season)
    ]
    if not bulbs:
        raise CannotDraw(f"there are no bulbs in the plan in season {asked.season}")
    years, silent = years_of(border, bulbs, asked.season)
    if not years:
        raise CannotDraw(
            f"of none of the bulbs it is known when and how high its leaves die back: {listed([p.title for p in silent])}"
        )
    lines = [_row(border, year) for year in sorted(years, key=lambda year: in_order(year.planting.key))]
    strip = strip_of(result, "Bulbs week by week", (("season", str(asked.season)),))
    return table("bulbs", strip, lines, list(_foot(silent)), _patterns())


def years_of(border: Border, bulbs: list[Planting], season: int) -> tuple[list[Year], list[Planting]]:
    """(the weeks of those bulbs of which enough is known, the others)."""
    dying, silent = [], []
    for planting in bulbs:
        decline, leaf = border.window(planting, "die_back"), planting.traits.measure("leaf_height_in_decline")
        if decline is None or leaf is None or not planting.points:
            silent.append(planting)
            continue
        spread = planting.traits.measure("leaf_spread_in_decline") or planting.traits.measure("spread")
        leaves = crown_of("clump", leaf.typical, spread.typical if spread else leaf.typical, 0.0)
        dying.append(Dying(planting, leaves, weeks_of(decline.start.typical, decline.end.typical)))
    hidden = hidden_by_week(border, dying, season)
    years = []
    for entry in dying:
        decline = border.window(entry.planting, "die_back")
        first = decline.start.typical if decline else 0.0
        by_week = list(zip(map(float, entry.weeks), hidden[entry.planting.number], strict=True))
        years.append(
            Year(
                entry.planting,
                list(_leafy(border, entry.planting, season, first)),
                entry.leaves.top,
                by_week,
                _maskers(border, entry, season),
            )
        )
    return years, silent


def _leafy(border: Border, planting: Planting, season: int, until: float) -> Iterator[tuple[float, float]]:
    """Weeks with green leaves before they decline, and how high they are."""
    for week in range(53):
        day = until - WEEK * week - WEEK / 2
        on = (day - 1) % YEAR + 1
        crown = border.crown_on(planting, season, on) if border.in_leaf(planting, on) else None
        if crown is None:
            return
        yield on, crown.top


def _maskers(border: Border, dying: Dying, season: int) -> list[tuple[str, float]]:
    """What stands near and is nearly as high as the dying leaves, in the middle of their decline."""
    day = float(dying.weeks[len(dying.weeks) // 2])
    found = []
    for other in border.standing:
        if (
            other.number == dying.planting.number
            or other.life_form == "bulb"
            or other.supported
            or not border.present(other, season)
        ):
            continue
        crown = border.crown_on(other, season, day) if border.in_leaf(other, day) else None
        if (
            crown
            and crown.base < dying.leaves.top <= crown.top / MASKS
            and dying.planting.distance_to(other) <= NEAR + crown.greatest_radius
        ):
            found.append((other.title, crown.top))
    return found


def _row(border: Border, year: Year) -> Line:
    planting = year.planting
    highest = max([year.height, *(high for _, high in year.leafy)])
    masked = ", ".join(f"{title} {metres(high)}" for title, high in year.maskers)
    said = f"Near and high enough by then: {masked}." if masked else "Nothing near is high enough by then."
    words = wrapped((Span(said),), SMALL, grid.NAMES - 3)
    base = max(HEAD + METRE * highest, 10.0 + len(words) * SMALL * 1.3)
    height = base + FOOT
    parts = [grid.name((Span(f"{planting.key}  ", "bold"), *botanical(planting.traits.name)), 0.6)]
    parts += [text(LEFT, 10.6 + index * SMALL * 1.3, part, SMALL, colour=GREY) for index, part in enumerate(words)]
    parts.append(line(x_of(1), base, LEFT + WIDTH, base, Pen(THIN)))
    wide = x_of(1 + WEEK) - x_of(1)
    for day, high in year.leafy:
        parts += _column(day, high, base, wide, Pen(FAINT, INK, fill="#b9d3ae"), "leaf")
    for day, share in year.dying:
        parts += _column(day, year.height, base, wide, Pen(FINE, INK, fill="#e6cf9c"), "dying")
        parts += _column(day, year.height * share, base, wide, Pen(FINE, INK, fill="url(#hidden)"), "hidden")
        parts.append(text(x_of(day), base + 2.8, f"{share:.0%}".rstrip("%"), SMALL - 0.5, "middle"))
    flower = border.window(planting, "flower")
    if flower:
        for first, last in grid.turns(flower.start.typical, flower.end.typical):
            fill = paint(flower.colours[0]) if flower.colours else PAPER
            parts.append(
                rect(x_of(first), base + 3.6, x_of(last) - x_of(first), 1.6, Pen(FAINT, INK, fill=fill), "flower")
            )
    parts.append(
        text(
            x_of(year.dying[0][0]) - wide / 2 - 1,
            base - METRE * year.height + 2.0,
            metres(year.height),
            SMALL,
            "end",
            halo=True,
        )
    )
    return Line(height, "".join(parts) + across(height))


def _column(day: float, high: float, base: float, wide: float, pen: Pen, kind: str) -> Iterator[str]:
    left = max(x_of(1), x_of(day) - wide / 2)
    right = min(LEFT + WIDTH, x_of(day) + wide / 2)
    if high > 0 and right > left:
        yield rect(left, base - METRE * high, right - left, METRE * high, pen, class_=kind)


def _foot(silent: list[Planting]) -> Iterator[Line]:
    from bedfellow.linter.report.page import CAUTION

    signs = (
        ("#b9d3ae", "green leaves, as high as they stand"), ("#e6cf9c", "dying leaves in view"), ("url(#hidden)", "dying leaves that nobody sees"),
    )  # fmt: skip
    x, parts = LEFT, []
    for fill, words in signs:
        parts.append(rect(x, 0.6, 8, 3.2, Pen(FINE, INK, fill=fill)) + text(x + 10, 3.2, words, SMALL + 0.2))
        x += 78
    parts.append(rect(x, 1.4, 8, 1.6, Pen(FAINT, INK)) + text(x + 10, 3.2, "in flower", SMALL + 0.2))
    yield Line(6.0, "".join(parts))
    told = [
        "The numbers say how much of the dying leaves is hidden, in per cent, from the place that sees most of them: the mean over "
        "somebody who walks along. Neighbours hide as much as they have grown by that week. Leaves feed the bulb until they yellow: do not cut or tie them before.",
        f"Nobody has said when or how high they die back: {listed([p.title for p in silent])}." if silent else "",
        CAUTION,
    ]  # fmt: skip
    for words in filter(None, told):
        for part in wrapped((Span(words, "italic" if words is CAUTION else "regular"),), SMALL + 0.2, WIDTH):
            yield Line(3.6, text(LEFT, 2.6, part, SMALL + 0.2))
        yield Line(1.2, "")


def _patterns() -> list[str]:
    return [hatched("hidden", 0.85, Pen(FINE, LEAF), 45, Pen(0, fill="#dfe9d8"))]
