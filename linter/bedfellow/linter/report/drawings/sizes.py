"""The plan side by side as it grows, with the heights of all plants."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import plants, setting, signs
from bedfellow.linter.report.drawings.columns import COLUMN, GAP, Row, entry, heading, inner, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.compass import scale_bar
from bedfellow.linter.report.drawings.frame import EDGE, PAPERS, Frame, box_of, small_scale
from bedfellow.linter.report.drawings.names import Name, named
from bedfellow.linter.report.drawings.plan import KEY, border_of, strip_of
from bedfellow.linter.report.drawings.sheet import LARGE, THIN, Drawing, Pen, element, group, rect, text
from bedfellow.linter.report.drawings.typeface import Span, botanical
from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import in_order
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border

SEASONS = (1, 3, 5, 10)
HEAD, APART, LEAST = 7.0, 6.0, 8.0  # mm: above a plan, between two, and of one that has keys


def drawn(result: Result, asked: Asked) -> Drawing:
    """Plans of several seasons. Raises CannotDraw."""
    border = border_of(result)
    # A hedge may be wider before it is clipped than ever after.
    boxes = [box_of(border, season, surroundings=False) for season in SEASONS]
    lefts, fronts, rights, backs = zip(*boxes, strict=True)
    box = min(lefts), min(fronts), max(rights), max(backs)
    across, down = inner(PAPERS["A3"])
    wide, high = box[2] - box[0], box[3] - box[1]
    room = across - COLUMN - GAP

    def scale_in(columns: int) -> float:
        lines = len(SEASONS) // columns
        return small_scale(wide, high, (room - (columns - 1) * APART) / columns, (down - 14) / lines - HEAD - APART)

    columns = min((1, 2), key=scale_in)
    scale, lines = scale_in(columns), len(SEASONS) // columns
    parts: list[str] = []
    clips = []
    for number, season in enumerate(SEASONS):
        column, line = number % columns, number // columns
        frame = Frame(
            scale,
            box,
            EDGE + 4 + column * (wide * 1000 / scale + APART),
            EDGE + 4 + HEAD + line * (high * 1000 / scale + HEAD + APART),
        )
        name = f"season{season}"
        clips.append(element("clipPath", rect(frame.left, frame.top, frame.width, frame.height, Pen(0)), id=name))
        parts += _plan(border, frame, season, name)
    width, height = columns * (frame.width + APART) - APART, lines * (frame.height + HEAD + APART) + 10
    parts += scale_bar(scale, EDGE + 4, EDGE + 4 + height - 2, min(100.0, width * 0.6))
    layout = laid_out(width, height, list(_heights(border)))
    strip = strip_of(result, "Sizes by year", (("scale", f"1:{scale:,.0f}"), ("seasons", listed(SEASONS))))
    return sheet("sizes", strip, layout.paper, [*parts, *layout.rows], [*clips, *signs.patterns(parts)])


def _plan(border: Border, frame: Frame, season: int, clip: str) -> Iterator[str]:
    yield text(frame.left, frame.top - 2, f"Season {season}", LARGE, bold=True)
    marks = [
        *setting.ground(border.plan, frame),
        *plants.crowns(border, frame, season),
        *setting.structures(border.plan, frame),
    ]
    yield group([mark.svg for mark in marks], clip_path=f"url(#{clip})", class_=clip)
    yield rect(frame.left, frame.top, frame.width, frame.height, Pen(THIN))
    if frame.height >= LEAST:
        yield from named(_keys(border, frame, season), frame.edges)


def _keys(border: Border, frame: Frame, season: int) -> Iterator[Name]:
    for planting in border.standing:
        if not border.present(planting, season):
            continue
        groups = [list(planting.points)] if planting.line.outline else plants.links(planting.points)[1]
        for points in groups:
            at = setting.middle(points)
            if frame.shows(at):
                yield Name(frame.at(at), planting.key, "key")


def _heights(border: Border) -> Iterator[Row]:
    """Height of each plant in each of the seasons."""
    yield heading(f"Heights in season {listed(SEASONS)}, m")
    for planting in sorted(border.standing, key=lambda planting: in_order(planting.key)):
        found = []
        for season in SEASONS:
            size = border.size(planting, season) if border.present(planting, season) else None
            found.append(f"{size.height.typical:.1f}" if size else "–" if border.present(planting, season) else "gone")
        yield from entry(planting.key, botanical(planting.traits.name), "\u2002".join(found), KEY)
    yield Row(2.0, "")
    yield from paragraph(
        "Typical sizes in this garden's soil and exposure; 'bedfellow border sizes' tells how far they may lie off. Signs as on the planting plan."
    )
    if border.unknown_names:
        yield from paragraph(f"Not known, so without a size: {listed([line.name for line in border.unknown_names])}.")
    yield from paragraph((Span(CAUTION, "italic"),))
