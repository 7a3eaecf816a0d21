"""The light on the ground: the share of the open site's beam in steps, with numbers, under crowns and structures in thin line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import compass, plants, setting
from bedfellow.linter.report.drawings.columns import Row, entry, heading, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.frame import EDGE, PAPERS, Frame, box_of, small_scale
from bedfellow.linter.report.drawings.names import Name, named
from bedfellow.linter.report.drawings.plan import KEY, SIGN, border_of, strip_of
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    INK,
    STRONG,
    TEXT,
    THIN,
    CannotDraw,
    Drawing,
    Pen,
    circle,
    element,
    group,
    moved,
    path,
    rect,
    shape,
    text,
)  # fmt: skip
from bedfellow.linter.report.drawings.signs import patterns
from bedfellow.linter.report.drawings.typeface import Span, botanical
from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import in_order

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border

CELL = 0.25  # m
STEPS = ((0.2, "#828892"), (0.4, "#9b9fa8"), (0.6, "#b7bac0"), (0.8, "#d6d7da"), (1.01, "#fdf6dd"))
"""Upper end of each step and its paint, darker for less light: told apart in black and white too."""
APART = 12.0  # mm between two numbers

Shares = list[list[float | None]]


def drawn(result: Result, asked: Asked) -> Drawing:
    """The light map. Raises CannotDraw."""
    border = border_of(result)
    if border.plan.site.latitude is None:
        raise CannotDraw(
            "the plan does not say at which latitude it lies, so there is no map of its light; add latitude to site"
        )
    if not border.plan.borders:
        raise CannotDraw("the plan has no border to make a map of")
    columns, rows, shares = border.light_map(asked.season, CELL)
    if not columns or not shares:
        raise CannotDraw("the border is too narrow for a map of its light")
    box = box_of(border, asked.season, surroundings=False)
    across, down = PAPERS["A3"][0] - 2 * EDGE - 8, 170.0
    scale = small_scale(box[2] - box[0], box[3] - box[1], across, down)
    frame = Frame(scale, box, EDGE + 4, EDGE + 4)
    told = [*_legend(border, shares, asked.season), *_plants(border, asked.season)]
    layout = laid_out(frame.width, frame.height + 16, told)
    left, top, right, bottom = frame.edges
    size_x, size_y = _size(columns), _size(rows)
    marks = [mark.svg for mark in setting.structures(border.plan, frame)]
    north = (right - 9.0, bottom + 9.0)
    parts = [
        group([*_cells(frame, columns, rows, shares, (size_x, size_y)), *_crowns(border, frame, asked.season), *marks], clip_path="url(#piece)"),
        rect(left, top, frame.width, frame.height, Pen(THIN)),
        *named([*_keys(border, frame), *_numbers(frame, columns, rows, shares)], frame.edges),
        *compass.north(border, *north, size=4.0), *compass.scale_bar(scale, left, bottom + 12, min(100.0, frame.width * 0.5)),
        *layout.rows,
    ]  # fmt: skip
    clip = element("clipPath", rect(left, top, frame.width, frame.height, Pen(0)), id="piece")
    strip = strip_of(result, "Light on the ground", (("scale", f"1:{scale:,.0f}"), ("season", str(asked.season))))
    return sheet("light", strip, layout.paper, parts, [clip, *patterns(parts)])


def step_of(share: float) -> int:
    """The number of the step that a share falls in."""
    return next(number for number, (end, _) in enumerate(STEPS) if share < end or end > 1)


def _size(places: Sequence[float]) -> float:
    return places[1] - places[0] if len(places) > 1 else CELL


def _cells(
    frame: Frame, columns: Sequence[float], rows: Sequence[float], shares: Shares, size: tuple[float, float]
) -> Iterator[str]:
    """The cells by step, and the lines between steps."""
    wide, high = frame.mm(size[0]), frame.mm(size[1])
    steps = [[None if share is None else step_of(share) for share in row] for row in shares]
    runs: list[list[str]] = [[] for _ in STEPS]
    for y, row in zip(rows, steps, strict=True):
        column = 0
        for step, cells in groupby(row):
            count = len(list(cells))
            if step is not None:
                x = frame.x(columns[column] - size[0] / 2)
                runs[step].append(
                    f"M{x:.2f},{frame.y(y + size[1] / 2):.2f}h{count * wide:.2f}v{high:.2f}h{-count * wide:.2f}Z"
                )
            column += count
    for (_, paint), drawn_ in zip(STEPS, runs, strict=True):
        if drawn_:
            yield path("".join(drawn_), Pen(0, fill=paint), class_="light")
    edges = []
    for j, row in enumerate(steps):
        for i, step in enumerate(row):
            x, y = frame.x(columns[i] + size[0] / 2), frame.y(rows[j] + size[1] / 2)
            if i + 1 < len(row) and None not in (step, row[i + 1]) and step != row[i + 1]:
                edges.append(f"M{x:.2f},{y:.2f}v{high:.2f}")
            if j + 1 < len(steps) and None not in (step, steps[j + 1][i]) and step != steps[j + 1][i]:
                edges.append(f"M{x - wide:.2f},{y:.2f}h{wide:.2f}")
    if edges:
        yield path("".join(edges), Pen(FINE, INK), class_="edge")


def _crowns(border: Border, frame: Frame, season: int) -> Iterator[str]:
    for bed in border.plan.borders:
        yield shape(map(frame.at, bed.outline), Pen(STRONG))
    for planting in border.standing:
        crown = border.crown(planting, season)
        if crown is None or planting.supported or not border.present(planting, season) or planting.life_form == "bulb":
            continue
        yield from (
            circle(*frame.at(point), frame.mm(crown.greatest_radius), Pen(FAINT, INK), planting.title)
            for point in planting.points
        )


def _keys(border: Border, frame: Frame) -> Iterator[Name]:
    for planting in border.standing:
        groups = [list(planting.points)] if planting.line.outline else plants.links(planting.points)[1]
        for points in groups:
            at = setting.middle(points)
            if frame.shows(at):
                yield Name(frame.at(at), planting.key, "key")


def _numbers(frame: Frame, columns: Sequence[float], rows: Sequence[float], shares: Shares) -> Iterator[Name]:
    """The share in numbers, here and there."""
    across, down = (max(1, round(APART / frame.mm(_size(places)))) for places in (columns, rows))
    for j in range(down // 2, len(rows), down):
        for i in range(across // 2, len(columns), across):
            share = shares[j][i]
            if share is not None:
                yield Name((frame.x(columns[i]), frame.y(rows[j])), f"{share:.0%}", "figure")


def _legend(border: Border, shares: Shares, season: int) -> Iterator[Row]:
    half = "October to March" if border.south else "April to September"
    known = [share for row in shares for share in row if share is not None]
    yield heading("Share of the open site's sun")
    low = 0.0
    for number, (end, paint) in enumerate(STEPS):
        part = sum(step_of(share) == number for share in known) / len(known)
        words = f"{low:.0%} to {min(end, 1):.0%}: on {part:.0%} of the ground"
        yield Row(5.6, moved(rect(0, -1.8, 10, 3.6, Pen(FINE, INK, fill=paint)), 1, 2.8) + text(SIGN, 3.8, words, TEXT))
        low = end
    yield Row(2.0, "")
    yield from paragraph(
        f"Of the beam that falls on open ground from {half} in clear weather, what reaches a hand above the soil in season {season}, "
        "through crowns and past structures. Numbers say it at their place. Faint circles are crowns."
    )
    if border.plan.site.faces is None and border.plan.site.north is None:
        yield from paragraph("The plan does not say which way the border faces; it is taken to face south.")


def _plants(border: Border, season: int) -> Iterator[Row]:
    """Hours of sun of each plant, and what it wants."""
    day = "21 December" if border.south else "21 June"
    found = border.light([planting for planting in border.plantings if border.present(planting, season)], season)
    yield heading(f"Hours of sun on {day}")
    for planting in sorted(border.plantings, key=lambda planting: in_order(planting.key)):
        if planting.number in found:
            wants = " or ".join(planting.traits.words("light"))
            words = (*botanical(planting.traits.name), Span(f": wants {wants}" if wants else ""))
            yield from entry(planting.key, words, f"{found[planting.number][0]:.1f}", KEY)
    yield from paragraph((Span(CAUTION, "italic"),))
