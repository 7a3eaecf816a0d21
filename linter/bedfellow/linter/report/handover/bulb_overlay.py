"""The bulbs alone, over the outlines of all else: what the crew that plants them in autumn works from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import compass, plants, setting, signs
from bedfellow.linter.report.drawings.columns import Row, entry, heading, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.frame import EDGE, Frame, box_of, scale_for
from bedfellow.linter.report.drawings.names import Name, named
from bedfellow.linter.report.drawings.plan import KEY, border_of, strip_of
from bedfellow.linter.report.drawings.sheet import FAINT, MEDIUM, THIN, Pen, circle, element, group, rect, shape
from bedfellow.linter.report.drawings.typeface import botanical
from bedfellow.linter.report.labels import Label
from bedfellow.rules.words import metres

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.linter.report.drawings.sheet import Drawing
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

BULB = 0.45  # mm
FOR_THE_SCALE = 1.0  # m of ground before the border, on which the scale bar stands
GHOST = Pen(FAINT, "#9a9a9a")
EDGE_OF_DRIFT = Pen(MEDIUM, dash=(2.2, 0.9))


def bulbs(border: Border) -> list[Planting]:
    """The plantings that are bulbs and have a place."""
    return [planting for planting in border.plantings if planting.life_form == "bulb" and planting.points]


def drawn(result: Result, asked: Asked) -> Drawing:
    """The bulbs. Raises CannotDraw."""
    border = border_of(result)
    left, front, right, back = box_of(border, asked.season, surroundings=False)
    box = left, front - FOR_THE_SCALE, right, back
    scale = scale_for(box[2] - box[0], box[3] - box[1], asked.scale)
    frame = Frame(scale, box, EDGE + 4, EDGE + 4)
    layout = laid_out(frame.width, frame.height, list(_told(border)), fills=True)
    frame = frame.filling(layout.width, layout.height)
    left, top, right, bottom = frame.edges
    north = (right - 12.0, top + 13.0)
    furniture = [Label(*north, 22, 24), Label(left + 62, bottom - 5, 124, 10)]
    marks = [*_rest(border, frame, asked.season), *_bulbs(border, frame)]
    parts = [
        group(marks, clip_path="url(#piece)"),
        rect(left, top, frame.width, frame.height, Pen(THIN)),
        *named(_names(border, frame), frame.edges, furniture),
        *compass.north(border, *north),
        *compass.scale_bar(scale, left + 5, bottom - 4),
        *layout.rows,
    ]
    clip = element("clipPath", rect(left, top, frame.width, frame.height, Pen(0)), id="piece")
    strip = strip_of(result, "Bulbs", (("scale", f"1:{scale}"),))
    return sheet("bulbs", strip, layout.paper, parts, [clip, *signs.patterns(parts)])


def _rest(border: Border, frame: Frame, season: int) -> Iterator[str]:
    """Beds, structures and what stands about, and of all other plants the outline alone."""
    yield from (mark.svg for mark in setting.ground(border.plan, frame))
    for planting in border.standing:
        if planting.life_form == "bulb":
            continue
        if planting.line.outline:
            yield shape(map(frame.at, planting.line.outline), GHOST, told=planting.title)
        crown = border.crown(planting, season)
        if crown and not planting.supported and not planting.line.outline:
            radius = frame.mm(crown.greatest_radius)
            yield from (circle(*frame.at(point), radius, GHOST, planting.title) for point in planting.points)
    yield from (mark.svg for mark in setting.structures(border.plan, frame))


def _bulbs(border: Border, frame: Frame) -> Iterator[str]:
    for planting in bulbs(border):
        if planting.line.outline:
            yield shape(map(frame.at, planting.line.outline), EDGE_OF_DRIFT, told=planting.title)
        places = map(frame.at, planting.points)
        yield group([element("circle", cx=x, cy=y, r=BULB) for x, y in places], class_="bulb", **signs.BULB.attributes)


def _names(border: Border, frame: Frame) -> Iterator[Name]:
    for planting in bulbs(border):
        groups = [list(planting.points)] if planting.line.outline else plants.links(planting.points)[1]
        for points in groups:
            count = f"{len(points)} " if len(points) > 1 else ""
            below = setting.middle(points)[1] - min(y for _, y in (planting.line.outline or points))
            lower = frame.mm(below) + 2.6  # under its drift, so that no bulb is hidden
            yield Name(frame.at(setting.middle(points)), f"{count}{planting.key}", "key", lower=lower)


def _told(border: Border) -> Iterator[Row]:
    """Key, name, depth and number of each."""
    yield heading("Bulbs")
    for planting in sorted(bulbs(border), key=lambda planting: planting.key.casefold()):
        yield from entry(planting.key, botanical(planting.traits.name), str(planting.line.number), KEY)
        depth = planting.line.depth or getattr(planting.traits.measure("planting_depth"), "typical", None)
        if depth:
            yield from paragraph(f"{metres(depth)} deep", indent=KEY)
    yield Row(2.0, "")
    yield from paragraph(
        "Each sign is a bulb, where the grid of its drift has it; within the drift they may be scattered by hand."
    )
    yield from paragraph("Faint lines: beds, and the outlines of all other plants.")
    yield from paragraph("Find buried services before digging: ask those who own them.")
