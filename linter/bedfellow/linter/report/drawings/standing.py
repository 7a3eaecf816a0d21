"""What stands in the front elevation: each plant as it is seen in a month, its climbers' supports, and what stands behind."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sqrt
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.drawings.frame import Frame
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    GREY,
    INK,
    MEDIUM,
    PAPER,
    THIN,
    Pen,
    circle,
    element,
    line,
    path,
    rect,
    titled,
)
from bedfellow.linter.report.drawings.shown import Shown, paint, shown
from bedfellow.linter.report.drawings.signs import WOOD
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.crown import Crown
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.plan import Structure

STEPS = 22  # heights at which an outline is taken
ASIDE, BEHIND = 0.7, 6.0  # m beyond the beds at either end, and behind them, that is in view
MOST_DOTS = 14
TINT = 0.5  # of white in the colour of leaves, so that lines and letters stand out upon it
BOARDS = {"fence": 3.0, "trellis": 6.0, "railing": 6.0, "screen": 6.0}  # mm
SEE_THROUGH = ("trellis", "wires", "pergola", "arch", "railing", "obelisk")


class Standing(NamedTuple):
    """Something that is seen: how far away it stands (m), and its SVG."""

    y: float
    svg: str


class Seen(NamedTuple):
    """A planting as it is seen: its outline, how high all of it is (m), where its members stand, and what is shown."""

    planting: Planting
    crown: Crown
    height: float
    points: tuple[tuple[float, float], ...]
    shown: Shown


def all_seen(border: Border, asked: Asked) -> Iterator[Seen]:
    """What is there to be seen in that month, with its outline."""
    day = middle_of(asked.month)
    of_the_bed = {planting.number for planting in border.of_the_bed}
    behind = [p for p in border.retained if p.number not in of_the_bed and in_view(border, p.points)]
    for planting in (*border.of_the_bed, *behind):
        if not border.present(planting, asked.season):
            continue
        here = shown(border, planting, asked.month)
        crown = border.crown_on(planting, asked.season, day)
        if crown is None and here.standing:
            crown = border.crown(planting, asked.season)
        size = border.size(planting, asked.season)
        if crown is None or size is None:
            continue
        whole = border.crown(planting, asked.season)
        above = size.height.typical - whole.top if whole and "flower" in here.organs else 0.0
        points, limit = _places(border, planting, asked.season)
        if limit is not None and limit < crown.top:
            crown = crown.__class__(min(crown.base, 0.8 * limit), limit, crown.c0, crown.c1, crown.c2)
            above = 0.0
        yield Seen(planting, crown, crown.top + max(0.0, above), points, here)


def _places(border: Border, planting: Planting, season: int) -> tuple[tuple[tuple[float, float], ...], float | None]:
    """Where its crown is, and how high it can be: of a climber at its support or in its host."""
    if not planting.supported:
        return planting.points, None
    supports = {structure.key: structure for structure in border.plan.structures if structure.key}
    found = [supports[name] for name in planting.line.on if name in supports and supports[name].points]
    if found and planting.points:
        foot = [
            found[0].nearest_to(point) if len(found[0].points) > 1 else found[0].points[0] for point in planting.points
        ]
        return tuple((x, y - 0.01) for x, y in foot), found[0].height
    hosts = [border.by_key[name] for name in planting.line.through if name in border.by_key]
    crown = border.crown(hosts[0], season) if hosts else None
    if hosts and hosts[0].points and planting.points:
        return tuple(
            (x, y - 0.01) for x, y in (hosts[0].nearest_to(point) for point in planting.points)
        ), crown.top if crown else None
    return planting.points, None


def in_view(border: Border, points: tuple[tuple[float, float], ...]) -> bool:
    """It stands at or behind the front, and not far behind the back, before some of the frontage."""
    left, front, right, back = border.box
    ys = [y for _, y in points]
    return (
        bool(points)
        and min(ys) >= front - 0.3
        and min(ys) <= back + BEHIND
        and min(x for x, _ in points) < right + ASIDE
        and max(x for x, _ in points) > left - ASIDE
    )


def structures(border: Border, frame: Frame) -> Iterator[Standing]:
    """What stands of the structures in view."""
    for structure in border.plan.structures:
        if structure.height and structure.kind != "root barrier" and in_view(border, structure.points):
            nearest = min(y for _, y in structure.points)
            yield Standing(
                max(nearest, border.box[3]) if structure.kind == "building" else nearest, _structure(structure, frame)
            )


def _structure(structure: Structure, frame: Frame) -> str:
    xs = [frame.x(x) for x, _ in structure.points]
    left, right = min(xs), max(xs)
    top, ground = frame.y(structure.height or 0.0), frame.y(0)
    if right - left < 0.8:
        left, right = (left + right) / 2 - 0.5, (left + right) / 2 + 0.5
    fill = "none" if (structure.openness or 0.0) > 0.3 or structure.kind in SEE_THROUGH else "#ececec"
    drawn = [rect(left, top, right - left, ground - top, Pen(THIN, GREY, fill=fill), structure.kind)]
    count = int((right - left) / BOARDS[structure.kind]) if structure.kind in BOARDS else 0
    edges = (left + (right - left) * number / count for number in range(1, count))
    drawn += [line(x, top, x, ground, Pen(FAINT, "#a5a5a5")) for x in edges]
    for window in structure.windows:
        first, last = sorted(frame.x(x) for x, _ in window.ends)
        if window.sill is not None and window.head is not None and last - first > 0.5:
            high = frame.mm(window.head - window.sill)
            drawn.append(rect(first, frame.y(window.head), last - first, high, Pen(FINE, GREY, fill=PAPER)))
    return "".join(drawn)


def members(frame: Frame, seen: Seen) -> Iterator[Standing]:
    """A planting's members, each where it stands."""
    for x, y in seen.points:
        yield Standing(y, element("use", href=f"#plant{seen.planting.number}", x=frame.x(x), y=frame.y(0)))


def plant(frame: Frame, seen: Seen) -> str:
    """One member of a planting about its foot: stem, crown and what it bears."""
    planting, crown, here = seen.planting, seen.crown, seen.shown
    body = _outline(frame, crown)
    bare = planting.woody and not here.leaf
    pen = Pen(
        FINE if planting.herbaceous else MEDIUM,
        INK,
        fill=paint(here.leaf, TINT) if here.leaf else PAPER,
        opacity=1.0 if here.leaf else 0.55,
    )
    if bare:
        pen = Pen(THIN, WOOD, (1.2, 0.7), PAPER, 0.35)
    elif here.standing:
        pen = Pen(FINE, WOOD, (0.5, 0.7), "#efe6d2", 0.6)
    if planting.supported:
        pen = pen._replace(dash=(1.6, 0.6))
    inside = _branches(frame, crown) if bare else _stalks(frame, crown) if here.standing else ""
    stem = _stem(frame, crown, planting.woody)
    dots = "".join(_dots(frame, seen))
    parts = [titled(planting.title), stem, path(body, pen, class_="crown"), inside, dots]
    return element("g", "".join(parts), id=f"plant{planting.number}")


def _outline(frame: Frame, crown: Crown) -> str:
    """The crown from the front, about its stem at the ground."""
    # Closer together at foot and tip, where a round crown turns.
    heights = [crown.base + (crown.top - crown.base) * (1 - cos(pi * step / STEPS)) / 2 for step in range(STEPS + 1)]
    right = [(frame.mm(crown.radius(z)), -frame.mm(z)) for z in heights]
    places = [*right, *((-x, z) for x, z in reversed(right))]
    return "M" + "L".join(f"{x:.2f},{z:.2f}" for x, z in places) + "Z"


def _stem(frame: Frame, crown: Crown, woody: bool) -> str:
    if crown.base <= 0:
        return ""
    half = max(0.2, min(0.9, frame.mm(0.02 * crown.top))) if woody else 0.1
    return rect(-half, -frame.mm(crown.base), 2 * half, frame.mm(crown.base), Pen(FINE, WOOD, fill="#d8c9a6"))


def _branches(frame: Frame, crown: Crown) -> str:
    """A few branches from the foot of the crown to its outline: it is bare."""
    foot = -frame.mm(crown.base)
    ends = []
    for share, side in ((0.55, -1), (0.55, 1), (0.8, -1), (0.8, 1), (0.97, 0)):
        z = crown.base + (crown.top - crown.base) * share
        ends.append(line(0, foot, side * 0.85 * frame.mm(crown.radius(z)), -frame.mm(z), Pen(FINE, WOOD)))
    return "".join(ends)


def _stalks(frame: Frame, crown: Crown) -> str:
    """Dead stems that stand."""
    z = crown.base + 0.85 * (crown.top - crown.base)
    return "".join(
        line(
            part * 0.4 * frame.mm(crown.radius(z)),
            0,
            part * frame.mm(crown.radius(z)) * 0.8,
            -frame.mm(z),
            Pen(FAINT, WOOD),
        )
        for part in (-1, -0.4, 0.3, 0.9)
    )


def _dots(frame: Frame, seen: Seen) -> Iterator[str]:
    """Flowers as open rings filled with their colour, fruit as small full dots; spread evenly over the upper crown."""
    crown, organs = seen.crown, seen.shown.organs
    for organ, size, low in (("flower", 0.75, 0.45), ("fruit", 0.45, 0.25)):
        if organ not in organs:
            continue
        colours = [paint(colour) for colour in organs[organ]] or [PAPER]
        high = seen.height if organ == "flower" else crown.top
        bottom = crown.base + low * (crown.top - crown.base)
        if organ == "flower" and seen.height > 1.15 * crown.top:
            bottom = crown.top  # flowers on stems above the leaves
        area = frame.mm(2 * crown.greatest_radius) * max(1.0, frame.mm(high - bottom))
        count = max(2, min(MOST_DOTS, round(area / 14)))
        for index in range(count):
            # The golden ratio's multiples fill an interval evenly, whatever their number.
            along, up = (index + 0.5) / count, (index * (sqrt(5) - 1) / 2) % 1
            z = bottom + (high - bottom) * (0.1 + 0.85 * along)
            radius = crown.radius(z) if z <= crown.top else 0.6 * crown.greatest_radius
            x = frame.mm(radius) * 0.9 * (2 * up - 1)
            if z > crown.top:
                yield line(x, -frame.mm(z), x * 0.8, -frame.mm(0.9 * crown.top), Pen(FAINT, "#4f6b45"))
            yield circle(
                x,
                -frame.mm(z),
                min(size, max(0.35, frame.mm(crown.greatest_radius) / 3)),
                Pen(FAINT, INK, fill=colours[index % len(colours)]),
                class_=organ,
            )
