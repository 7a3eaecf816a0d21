"""Front elevation: what somebody before the border sees of it in a month, to scale and square from the front."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, floor, pi, sqrt
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.drawings.columns import Row, entry, heading, laid_out, paragraph, sheet
from bedfellow.linter.report.drawings.compass import scale_bar
from bedfellow.linter.report.drawings.frame import EDGE, Frame, scale_for
from bedfellow.linter.report.drawings.names import Name, named
from bedfellow.linter.report.drawings.plan import KEY, SIGN, border_of, in_order, strip_of
from bedfellow.linter.report.drawings.setting import middle
from bedfellow.linter.report.drawings.sheet import (
    FAINT,
    FINE,
    GREY,
    HEAVY,
    INK,
    MEDIUM,
    PAPER,
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
    path,
    rect,
    shape,
    text,
    titled,
)  # fmt: skip
from bedfellow.linter.report.drawings.shown import Shown, paint, shown
from bedfellow.linter.report.drawings.signs import BLUE, STRUCTURES, WOOD
from bedfellow.linter.report.drawings.typeface import Span, botanical
from bedfellow.linter.report.labels import Label
from bedfellow.linter.report.page import CAUTION
from bedfellow.rules.words import metres, month
from bedfellow.schema.values import FIRST_DAYS

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.crown import Crown
    from bedfellow.rules.border.planting import Planting

STEPS = 22  # heights at which an outline is taken
ABOUT, ABOVE, BELOW = 0.7, 0.5, 0.45  # m
BEHIND = 6.0  # m: structures further behind the beds are left out
MOST_DOTS = 14
TINT = 0.5  # of white in the colour of leaves, so that lines and letters stand out upon it


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


def drawn(result: Result, asked: Asked) -> Drawing:
    """The front elevation. Raises CannotDraw."""
    border = border_of(result)
    seen = list(_seen(border, asked))
    left, right, top = _extent(border, seen)
    box = left - ABOUT, -BELOW, right + ABOUT, top + ABOVE
    scale = scale_for(box[2] - box[0], box[3] - box[1], asked.scale)
    frame = Frame(scale, box, EDGE + 4 + 8, EDGE + 4)
    rows = list(_told(border, seen, asked))
    layout = laid_out(frame.width + 16, frame.height + 14, rows)
    standing = [*_structures(border, frame), *(one for plant in seen for one in _members(frame, plant))]
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
        [clip, *(_plant(frame, plant) for plant in seen)],
    )


def _seen(border: Border, asked: Asked) -> Iterator[Seen]:
    """What is there to be seen in that month, with its outline."""
    day = FIRST_DAYS[asked.month - 1] + 14.0
    for planting in border.of_the_bed:
        if not border.present(planting, asked.season):
            continue
        here = shown(border, planting, day, asked.month)
        crown = border.crown_on(planting, asked.season, day)
        if crown is None and here.standing:
            crown = border.crown(planting, asked.season)
        size = border.size(planting, asked.season)
        if crown is None or size is None:
            continue
        whole = border.crown(planting, asked.season)
        above = size.height.typical - whole.top if whole and "flower" in here.organs else 0.0
        points, limit = _places(border, planting)
        if limit is not None and limit < crown.top:
            crown = crown.__class__(min(crown.base, 0.8 * limit), limit, crown.c0, crown.c1, crown.c2)
            above = 0.0
        yield Seen(planting, crown, crown.top + max(0.0, above), points, here)


def _places(border: Border, planting: Planting) -> tuple[tuple[tuple[float, float], ...], float | None]:
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
    crown = border.crown(hosts[0], 10) if hosts else None
    if hosts and hosts[0].points and planting.points:
        return tuple(
            (x, y - 0.01) for x, y in (hosts[0].nearest_to(point) for point in planting.points)
        ), crown.top if crown else None
    return planting.points, None


def _extent(border: Border, seen: list[Seen]) -> tuple[float, float, float]:
    """Left and right of what is seen, and its height, in m."""
    reach = [(x, one.crown.greatest_radius) for one in seen for x, _ in one.points]
    ends = [x + radius for x, radius in reach] + [x - radius for x, radius in reach]
    ends += [x for bed in border.plan.borders for x, _ in bed.outline]
    if not ends:
        raise CannotDraw("there is nothing to draw: no plant of known size has a place in the plan")
    left, right = min(ends), max(ends)
    behind = [structure.height or 0.0 for structure in border.plan.structures if _shows(border, structure.points)]
    return left, right, max([1.0, _eye_height(border), *behind, *(one.height for one in seen)])


def _shows(border: Border, points: tuple[tuple[float, float], ...]) -> bool:
    """It stands at or behind the front, and not far behind the back, before some of the frontage."""
    left, front, right, back = border.box
    ys = [y for _, y in points]
    return (
        bool(points)
        and min(ys) >= front - 0.3
        and min(ys) <= back + BEHIND
        and min(x for x, _ in points) < right + ABOUT
        and max(x for x, _ in points) > left - ABOUT
    )


def _structures(border: Border, frame: Frame) -> Iterator[Standing]:
    for structure in border.plan.structures:
        if not structure.height or not _shows(border, structure.points) or structure.kind == "root barrier":
            continue
        xs, ys = [x for x, _ in structure.points], [y for _, y in structure.points]
        left, right = frame.x(min(xs)), frame.x(max(xs))
        top, ground = frame.y(structure.height), frame.y(0)
        if right - left < 0.8:
            left, right = (left + right) / 2 - 0.5, (left + right) / 2 + 0.5
        open_ = (structure.openness or 0.0) > 0.3 or structure.kind in (
            "trellis",
            "wires",
            "pergola",
            "arch",
            "railing",
            "obelisk",
        )
        fill = "none" if open_ else "#ececec"
        drawn_ = rect(left, top, right - left, ground - top, Pen(THIN, GREY, fill=fill), structure.kind)
        if structure.kind in STRUCTURES and structure.kind in ("fence", "trellis", "railing", "screen"):
            every = 3.0 if structure.kind == "fence" else 6.0
            count = max(1, int((right - left) / every))
            drawn_ += "".join(
                line(
                    left + (right - left) * n / count,
                    top,
                    left + (right - left) * n / count,
                    ground,
                    Pen(FAINT, "#a5a5a5"),
                )
                for n in range(1, count)
            )
        for window in structure.windows:
            across = sorted(frame.x(x) for x, _ in window.ends)
            if window.sill is not None and window.head is not None and across[1] - across[0] > 0.5:
                drawn_ += rect(
                    across[0],
                    frame.y(window.head),
                    across[1] - across[0],
                    frame.mm(window.head - window.sill),
                    Pen(FINE, GREY, fill=PAPER),
                )
        yield Standing(min(ys) if structure.kind != "building" else max(min(ys), border.box[3]), drawn_)


def _members(frame: Frame, seen: Seen) -> Iterator[Standing]:
    """A planting's members, each where it stands."""
    for x, y in seen.points:
        yield Standing(y, element("use", href=f"#plant{seen.planting.number}", x=frame.x(x), y=frame.y(0)))


def _plant(frame: Frame, seen: Seen) -> str:
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
        if one.points:
            x, _ = middle(one.points)
            count = f"{len(one.points)} " if len(one.points) > 1 else ""
            level = one.crown.base + 0.55 * (one.crown.top - one.crown.base)
            yield Name((frame.x(x), frame.y(level)), f"{count}{one.planting.key}", "key")


def _told(border: Border, seen: list[Seen], asked: Asked) -> Iterator[Row]:
    """What of each plant is seen in that month, and what the signs say."""
    yield heading(f"In the middle of {month(asked.month)}, season {asked.season}")
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
    yield heading("Signs")
    leaf, ring = Pen(FINE, INK, fill="#c9dcb9"), [(0.0, 1.8), (10.0, 1.8), (8.0, -1.8), (2.0, -1.8)]
    samples = [
        (shape(ring, leaf), "in leaf, in a paler colour of the leaves"),
        (shape(ring, Pen(THIN, WOOD, (1.2, 0.7))) + line(5, 1.8, 3, -1, Pen(FINE, WOOD)) + line(5, 1.8, 7, -1, Pen(FINE, WOOD)), "bare"),
        (shape(ring, Pen(FINE, WOOD, (0.5, 0.7), "#efe6d2")), "dead stems that stand"),
        ("".join(circle(x, 0, 0.75, Pen(FAINT, INK, fill="#e9b7cf")) for x in (3, 5, 7)), "in flower, in the flowers' colour"),
        ("".join(circle(x, 0, 0.45, Pen(FAINT, INK, fill="#a3261b")) for x in (3, 5, 7)), "in fruit"),
        (line(0, 0, 12, 0, Pen(FINE, BLUE, (6.0, 1.2, 1.0, 1.2))), "height of the viewer's eyes"),
    ]  # fmt: skip
    for sample, words in samples:
        yield Row(5.6, moved(sample, 1, 2.8) + text(SIGN, 3.8, words, TEXT))
    yield from paragraph(
        "Outlines are those of habit and size that the checks judge, square from the front; what stands nearer covers what stands behind. Dates vary from year to year."
    )
    yield from paragraph((Span(CAUTION, "italic"),))


def _state(seen: Seen) -> str:
    here = seen.shown
    said = [
        "in leaf" if here.leaf else "dead stems" if here.standing else "bare" if seen.planting.woody else "not in leaf"
    ]
    said += [organ.replace("_", " ") for organ in here.organs]
    return ", ".join(said)
