"""Front elevation: what somebody before the border sees of it in a month, to scale and square from the front."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import plants
from bedfellow.linter.report.drawings.columns import Row, entry, heading, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.compass import scale_bar
from bedfellow.linter.report.drawings.frame import EDGE, Frame, scale_for
from bedfellow.linter.report.drawings.names import Name, named
from bedfellow.linter.report.drawings.plan import KEY, SIGN, border_of, strip_of
from bedfellow.linter.report.drawings.setting import middle
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    GREY,
    HEAVY,
    INK,
    MEDIUM,
    SMALL,
    TEXT,
    THIN,
    CannotDraw,
    Drawing,
    Pen,
    circle,
    element,
    group,
    line,
    moved,
    rect,
    shape,
    text,
)  # fmt: skip
from bedfellow.linter.report.drawings.signs import BLUE, WOOD
from bedfellow.linter.report.drawings.standing import (
    ASIDE,
    Seen,
    all_seen,
    in_view,
    members,
    plant,
    structures,
)
from bedfellow.linter.report.drawings.typeface import Span, botanical
from bedfellow.linter.report.labels import Label
from bedfellow.linter.report.page import CAUTION
from bedfellow.linter.report.parts import in_order
from bedfellow.rules.border.interest import PART_OF_MONTH
from bedfellow.rules.words import metres, month

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border

ABOVE, BELOW = 0.5, 0.45  # m


def drawn(result: Result, asked: Asked) -> Drawing:
    """The front elevation. Raises CannotDraw."""
    border = border_of(result)
    seen = list(all_seen(border, asked))
    left, right, top = _extent(border, seen)
    box = left - ASIDE, -BELOW, right + ASIDE, top + ABOVE
    scale = scale_for(box[2] - box[0], box[3] - box[1], asked.scale)
    frame = Frame(scale, box, EDGE + 4 + 8, EDGE + 4)
    rows = list(_told(border, seen, asked))
    layout = laid_out(frame.width + 16, frame.height + 14, rows)
    standing = [*structures(border, frame), *(one for here in seen for one in members(frame, here))]
    standing.sort(key=lambda one: -one.y)
    ground = frame.y(0)
    edges = frame.edges
    parts = [
        *_heights(frame, top),
        group([one.svg for one in standing], clip_path="url(#piece)"),
        line(edges[0], ground, edges[2], ground, Pen(HEAVY)),
        *_eye(border, frame),
        *named(_names(border, frame, seen), edges, [Label(edges[2] - 16, frame.y(_eye_height(border)), 34, 4)]),
        *scale_bar(scale, edges[0], edges[3] + 12),
        *layout.rows,
    ]  # fmt: skip
    clip = element("clipPath", rect(edges[0], edges[1], frame.width, frame.height, Pen(0)), id="piece")
    further = (("scale", f"1:{scale}"), ("month", month(asked.month)), ("season", str(asked.season)))
    return sheet(
        "elevation",
        strip_of(result, "Front elevation", further),
        layout.paper,
        parts,
        [clip, *(plant(frame, here) for here in seen)],
    )


def _extent(border: Border, seen: list[Seen]) -> tuple[float, float, float]:
    """Left and right of what is seen, and its height, in m."""
    reach = [(x, one.crown.greatest_radius) for one in seen for x, _ in one.points]
    ends = [x + radius for x, radius in reach] + [x - radius for x, radius in reach]
    ends += [x for bed in border.plan.borders for x, _ in bed.outline]
    if not ends:
        raise CannotDraw("there is nothing to draw: no plant of known size has a place in the plan")
    left, right = min(ends), max(ends)
    behind = [structure.height or 0.0 for structure in border.plan.structures if in_view(border, structure.points)]
    return left, right, max([1.0, _eye_height(border), *behind, *(one.height for one in seen)])


def _heights(frame: Frame, top: float) -> Iterator[str]:
    """Heights at both sides, with a faint line each half metre."""
    left, _, right, _ = frame.edges
    for half in range(floor(top * 2 + 1e-9) + 1):
        y = frame.y(half / 2)
        yield line(left, y, right, y, Pen(FAINT, "#c4c4c4" if half % 2 else "#9a9a9a"))
        if half % 2 == 0 or frame.mm(0.5) > 8:
            yield text(left - 1.5, y + 0.8, f"{half / 2:g} m", SMALL, "end", colour=GREY)
            yield text(right + 1.5, y + 0.8, f"{half / 2:g} m", SMALL, colour=GREY)


def _eye_height(border: Border) -> float:
    """Height of the eyes of somebody who stands before the front."""
    from bedfellow.rules.border.sight import STANDING

    return next((view.eye for view in border.views if view.side == "front"), STANDING)


def _eye(border: Border, frame: Frame) -> Iterator[str]:
    left, _, right, _ = frame.edges
    y = frame.y(_eye_height(border))
    yield line(left, y, right, y, Pen(FINE, BLUE, (6.0, 1.2, 1.0, 1.2)), class_="eye")
    yield text(right - 1, y - 0.9, f"eye {metres(_eye_height(border))}", SMALL, "end", colour=BLUE, halo=True)


def _names(border: Border, frame: Frame, seen: list[Seen]) -> Iterator[Name]:
    """Keys, the nearer plants first."""
    for one in sorted(seen, key=lambda one: min((y for _, y in one.points), default=0.0)):
        groups = [list(one.points)] if one.planting.line.outline else plants.links(one.points)[1]
        for points in groups if one.points else ():
            x, _ = middle(points)
            count = f"{len(points)} " if len(points) > 1 else ""
            level = one.crown.base + 0.55 * (one.crown.top - one.crown.base)
            yield Name((frame.x(x), frame.y(level)), f"{count}{one.planting.key}", "key")


def _told(border: Border, seen: list[Seen], asked: Asked) -> Iterator[Row]:
    """What of each plant is seen in that month, and what the signs say."""
    yield heading(f"In {month(asked.month)}, season {asked.season}")
    for one in sorted(seen, key=lambda one: in_order(one.planting.key)):
        yield from entry(
            one.planting.key,
            (*botanical(one.planting.traits.name), Span(f": {_state(one)}")),
            f"{one.height:.2f} m",
            KEY,
        )
    here = {one.planting.number for one in seen}
    gone = [planting for planting in border.of_the_bed if planting.number not in here]
    if gone:
        yield heading("Not to be seen")
        for planting in sorted(gone, key=lambda planting: in_order(planting.key)):
            yield from entry(planting.key, botanical(planting.traits.name), "", KEY)
    yield from _signs(seen)
    yield from paragraph(
        "Outlines are those that the checks judge in the middle of the month, square from the front, the nearer before the farther. "
        f"What flowers or fruits for {PART_OF_MONTH:.0%} of the month is shown. Dates vary from year to year."
    )
    yield from paragraph((Span(CAUTION, "italic"),))


def _state(seen: Seen) -> str:
    here = seen.shown
    said = [
        "in leaf" if here.leaf else "dead stems" if here.standing else "bare" if seen.planting.woody else "not in leaf"
    ]
    said += [organ.replace("_", " ") for organ in here.organs]
    return ", ".join(said)


def _signs(seen: list[Seen]) -> Iterator[Row]:
    """The signs that are used."""
    ring = [(0.0, 1.8), (10.0, 1.8), (8.0, -1.8), (2.0, -1.8)]
    branches = line(5, 1.8, 3, -1, Pen(FINE, WOOD)) + line(5, 1.8, 7, -1, Pen(FINE, WOOD))
    organs = {organ for one in seen for organ in one.shown.organs}
    bare = any(one.planting.woody and not one.shown.leaf for one in seen)
    samples = [
        (any(one.shown.leaf for one in seen), shape(ring, Pen(FINE, INK, fill="#c9dcb9")), "in leaf, in a paler colour of the leaves"),
        (bare, shape(ring, Pen(THIN, WOOD, (1.2, 0.7))) + branches, "bare"),
        (any(one.shown.standing for one in seen), shape(ring, Pen(FINE, WOOD, (0.5, 0.7), "#efe6d2")), "dead stems that stand"),
        (any(one.planting.supported for one in seen), shape(ring, Pen(MEDIUM, INK, (1.6, 0.6))), "climber on its support"),
        ("flower" in organs, "".join(circle(x, 0, 0.75, Pen(FAINT, INK, fill="#e9b7cf")) for x in (3, 5, 7)), "in flower, in the flowers' colour"),
        ("fruit" in organs, "".join(circle(x, 0, 0.45, Pen(FAINT, INK, fill="#a3261b")) for x in (3, 5, 7)), "in fruit, in the fruit's colour"),
        (True, line(0, 0, 12, 0, Pen(FINE, BLUE, (6.0, 1.2, 1.0, 1.2))), "height of the viewer's eyes"),
    ]  # fmt: skip
    yield heading("Signs")
    for used, sample, words in samples:
        if used:
            yield Row(5.6, moved(sample, 1, 2.8) + text(SIGN, 3.8, words, TEXT))
    yield Row(2.0, "")
