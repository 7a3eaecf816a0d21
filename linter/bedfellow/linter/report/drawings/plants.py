"""Plants on the plan: crowns in a season, drifts, middles, climbers on their supports, and plants that were there before."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, dist, pi, radians, sin
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import signs
from bedfellow.linter.report.drawings.frame import Frame
from bedfellow.linter.report.drawings.sheet import FAINT, FINE, Pen, circle, element, group, line, shape, titled
from bedfellow.linter.report.drawings.signs import Mark

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

Point = tuple[float, float]
APART = 2.5  # m: members of a line that stand further apart are named apart
MOST_LINKED = 200


def crowns(border: Border, frame: Frame, season: int) -> Iterator[Mark]:
    """The crowns of all that is planted, the low ones under the high ones; plants that were there before last."""

    def top(planting: Planting) -> float:
        crown = border.crown(planting, season)
        return crown.top if crown else 0.0

    for planting in border.plantings:
        if planting.line.outline and not planting.line.mix:
            yield Mark("drift", shape(map(frame.at, planting.line.outline), signs.DRIFT, told=planting.title))
    for mix in border.plan.mixes:
        yield Mark("drift", shape(map(frame.at, mix.outline), signs.DRIFT, told=mix.name or mix.key))
    for planting in sorted(border.plantings, key=top):
        yield from _crown(border, frame, planting, season)
    for line_ in border.unknown_names:
        if line_.outline:
            yield Mark("unknown", shape(map(frame.at, line_.outline), signs.UNKNOWN, told=line_.name))
        else:
            yield from (Mark("unknown", circle(*frame.at(point), 1.8, signs.UNKNOWN, line_.name)) for point in line_.at)
    yield from _kept(border, frame)


def _crown(border: Border, frame: Frame, planting: Planting, season: int) -> Iterator[Mark]:
    crown = border.crown(planting, season)
    if not border.present(planting, season):
        yield Mark("absent", _circles(planting, frame, 1.2, Pen(FAINT, dash=(0.3, 0.5)), "absent"))
    elif crown is None:
        yield Mark("unsized", _circles(planting, frame, 0.6, Pen(FINE), "unsized"))
    elif not planting.supported:
        name, pen = sign_of(planting)
        yield Mark(name, _circles(planting, frame, frame.mm(crown.greatest_radius), pen, "crown"))


def _circles(planting: Planting, frame: Frame, radius: float, pen: Pen, kind: str) -> str:
    """A circle about each member, together as one."""
    places = [frame.at(point) for point in planting.points]
    return group(
        [titled(planting.title), *(element("circle", cx=x, cy=y, r=radius) for x, y in places)],
        **pen.attributes,
        class_=kind,
    )


def sign_of(planting: Planting) -> tuple[str, Pen]:
    """The name of the sign for a planting's crown, and its pen."""
    if planting.temporary:
        return "temporary", signs.TEMPORARY
    if planting.life_form == "bulb":
        return "bulb", signs.BULB_LEAVES
    if planting.woody or planting.life_form == "subshrub":
        return ("evergreen", signs.EVERGREEN) if planting.evergreen else ("deciduous", signs.DECIDUOUS)
    return (
        ("herbaceous evergreen", signs.HERBACEOUS_EVERGREEN) if planting.evergreen else ("herbaceous", signs.HERBACEOUS)
    )


def middles(border: Border, frame: Frame, season: int) -> Iterator[Mark]:
    """Where each plant is set, what links the plants of a line, and what climbers climb on."""
    for planting in border.plantings:
        if planting.supported:
            yield from _climbing(border, frame, planting)
        elif not planting.line.outline:
            for here, there in links(planting.points)[0]:
                yield Mark("link", line(*frame.at(here), *frame.at(there), signs.LINK))
        places = [frame.at(point) for point in planting.points]
        if planting.supported:
            yield from (Mark("climber", signs.root(x, y, planting.title)) for x, y in places)
        elif planting.life_form == "bulb":
            yield Mark(
                "bulb", group([element("circle", cx=x, cy=y, r=0.4) for x, y in places], **signs.BULB.attributes)
            )
        else:
            yield Mark("", signs.crosses(places, 0.6 if planting.line.outline else 1.0))


def links(points: tuple[Point, ...]) -> tuple[list[tuple[Point, Point]], list[list[Point]]]:
    """(shortest links between the plants of a line that stand near, the groups that they make)."""
    if not 1 < len(points) <= MOST_LINKED:
        return [], [list(points)] if points else []
    groups, found = [[points[0]]], []
    left = {point: (dist(point, points[0]), points[0]) for point in points[1:]}
    while left:
        nearest = min(left, key=lambda point: (left[point][0], point))
        apart, other = left.pop(nearest)
        if apart <= APART:
            found.append((other, nearest))
            groups[-1].append(nearest)
        else:
            groups.append([nearest])
        for point, (far, _) in left.items():
            if (now := dist(point, nearest)) < far:
                left[point] = (now, nearest)
    return found, groups


def _climbing(border: Border, frame: Frame, planting: Planting) -> Iterator[Mark]:
    by_key = {structure.key: structure for structure in border.plan.structures if structure.key}
    for point in planting.points:
        for name in planting.line.on:
            structure = by_key.get(name)
            if structure is not None and structure.points:
                foot = structure.nearest_to(point) if len(structure.points) > 1 else structure.points[0]
                yield Mark("climber", line(*frame.at(point), *frame.at(foot), signs.CLIMBS))
        for name in planting.line.through:
            host = border.by_key.get(name)
            if host is not None and host.points:
                yield Mark("climber", line(*frame.at(point), *frame.at(host.nearest_to(point)), signs.CLIMBS))


def _kept(border: Border, frame: Frame) -> Iterator[Mark]:
    for planting in border.retained:
        x, y = frame.at(planting.points[0])
        if planting.root_radius:
            yield Mark(
                "roots",
                circle(x, y, frame.mm(planting.root_radius), signs.ROOTS, f"{planting.title}: root protection area"),
            )
        radii = planting.kept.crown
        if not radii and (crown := border.crown(planting, 0)):
            radii = (crown.greatest_radius,)
        if radii:
            yield Mark(
                "kept", crown_by_sides((x, y), [frame.mm(radius) for radius in radii], _north(border), planting.title)
            )
        yield Mark("", signs.crosses([(x, y)], 1.6))
    for plant in border.plan.retained:
        if plant.action != "keep":
            x, y = frame.at(plant.at)
            radius = frame.mm(sum(plant.crown) / len(plant.crown)) if plant.crown else 2.5
            arm = min(radius, 2.5) * 0.7
            yield Mark(
                "leaving",
                circle(x, y, radius, signs.LEAVING, f"{plant.name}: {plant.action}")
                + line(x - arm, y - arm, x + arm, y + arm, signs.LEAVING),
            )


def _north(border: Border) -> float:
    """Degrees clockwise from the plan's depth to true north."""
    return -border.bearing((0.0, 0.0), (0.0, 1.0))


def crown_by_sides(at: Point, radii: list[float], north: float, told: str) -> str:
    """A crown whose radii (mm) to the north, east, south and west differ: between two sides it goes over smoothly."""
    sides = radii if len(radii) == 4 else [radii[0]] * 4
    points = []
    for step in range(72):
        bearing = step * 5.0
        side, part = int(bearing // 90), bearing % 90 / 90
        share = (1 - cos(pi * part)) / 2
        radius = sides[side] * (1 - share) + sides[(side + 1) % 4] * share
        angle = radians(bearing + north)
        points.append((at[0] + radius * sin(angle), at[1] - radius * cos(angle)))
    return shape(points, signs.KEPT, told=told, class_="kept")
