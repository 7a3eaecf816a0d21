"""Bare soil by year: the ground without leaves in the month that covers most of it, and in February."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings.columns import Row, heading, inner, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.compass import scale_bar
from bedfellow.linter.report.drawings.frame import EDGE, PAPERS, Frame, small_scale
from bedfellow.linter.report.drawings.plan import SIGN, border_of, strip_of
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    INK,
    MEDIUM,
    TEXT,
    CannotDraw,
    Drawing,
    Pen,
    moved,
    path,
    rect,
    shape,
    text,
)
from bedfellow.rules.words import listed, month
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border

SEASONS, WINTER = (1, 2, 3, 5, 10), 2
LOW = 0.6  # m: leaves that begin higher do not cover the ground, as the checks have it
BARE, LEAVES = Pen(0, fill="#8d6a45"), Pen(FAINT, INK, fill="#e7f0de")
GAP, HEAD, FOOT = 8.0, 6.0, 3.0  # mm


def drawn(result: Result, asked: Asked) -> Drawing:
    """Maps of bare soil. Raises CannotDraw."""
    border = border_of(result)
    if not border.plan.borders:
        raise CannotDraw("the plan has no border whose ground could be covered")
    left, front, right, back = border.box
    across, down = inner(PAPERS["A3"])
    half = (across - GAP) / 2
    scale = small_scale(right - left, back - front, half, (down - 40) / len(SEASONS) - HEAD - FOOT)
    wide, high = (right - left) * 1000 / scale, (back - front) * 1000 / scale
    february = border.month_here(WINTER)
    row = high + HEAD + FOOT
    parts: list[str] = []
    # Two maps side by side take at least the words above them.
    step = max(wide, 78.0) + GAP
    for number, season in enumerate(SEASONS):
        _, most = border.greatest_cover(season, LOW)
        for column, here in enumerate((most, february)):
            frame = Frame(scale, border.box, EDGE + 4 + column * step, EDGE + 4 + HEAD + number * row)
            parts += _map(border, frame, season, here)
    width, height = 2 * step - GAP, len(SEASONS) * row + 12
    parts += scale_bar(scale, EDGE + 4, EDGE + 4 + height - 2, min(100.0, width * 0.6))
    layout = laid_out(width, height, list(_legend(border)))
    strip = strip_of(result, "Bare soil by year", (("scale", f"1:{scale:,.0f}"), ("seasons", listed(SEASONS))))
    return sheet("ground", strip, layout.paper, [*parts, *layout.rows])


def _map(border: Border, frame: Frame, season: int, number: int) -> Iterator[str]:
    """The beds in a month of a season: what is bare, and how much of it there is, in words."""
    found = border.bare(season, middle_of(number), LOW)
    area = sum(ground.area for ground, _ in found)
    bare = sum(float(cells.sum()) * ground.size**2 for ground, cells in found)
    share = bare / area if area else 0.0
    words = f"Season {season}, {month(number)}: {share:.0%} bare, {bare:.1f} m²"
    yield text(frame.left, frame.top - 1.6, words, TEXT, bold=True, class_="bare")
    for bed in border.plan.borders:
        yield shape(map(frame.at, bed.outline), LEAVES)
    for ground, cells in found:
        size = frame.mm(ground.size)
        runs = []
        for row, line in enumerate(cells.tolist()):
            column = 0
            for empty, part in groupby(line):
                count = len(list(part))
                if empty:
                    x, y = frame.x(ground.left + column * ground.size), frame.y(ground.front + (row + 1) * ground.size)
                    runs.append(f"M{x:.2f},{y:.2f}h{count * size:.2f}v{size:.2f}h{-count * size:.2f}Z")
                column += count
        if runs:
            yield path("".join(runs), BARE, class_="soil")
    for bed in border.plan.borders:
        yield shape(map(frame.at, bed.outline), Pen(MEDIUM))


def _legend(border: Border) -> Iterator[Row]:
    yield heading("Signs")
    for pen, words in ((BARE._replace(weight=FINE), "bare soil"), (LEAVES, "under leaves")):
        yield Row(5.6, moved(rect(0, -1.8, 10, 3.6, pen), 1, 2.8) + text(SIGN, 3.8, words, TEXT))
    yield Row(2.0, "")
    yield from paragraph(
        "At the left the month of each season that has most ground under leaves, at the right "
        f"{month(border.month_here(WINTER))}. Ground counts as covered where living leaves hang lower than {LOW * 100:.0f} cm; mulch does not."
    )
    if border.unknown_names:
        yield from paragraph("Plants that are not known count as if they covered the ground that such a plant may.")
