"""What a plan has besides plants: beds, surfaces, structures, services, boundaries and viewing places, as signs on the plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings import signs
from bedfellow.linter.report.drawings.frame import Frame
from bedfellow.linter.report.drawings.sheet import MEDIUM, PAPER, THIN, Pen, line, shape
from bedfellow.linter.report.drawings.signs import RED, Look, Mark
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import strip

if TYPE_CHECKING:
    from bedfellow.schema.place import Path
    from bedfellow.schema.plan import Plan, Structure

Named = tuple[tuple[float, float], str, float]  # place in m, what is written there, and how many mm lower


def ground(plan: Plan, frame: Frame) -> Iterator[Mark]:
    """What lies under everything else."""
    for surface in plan.surfaces:
        points = [frame.at(point) for point in surface.ground or surface.points]
        if len(points) < 2:
            continue
        fill = signs.GROUNDS.get(surface.kind)
        worked = surface.kind in ("level change", "excavation", "cultivation")
        pen = signs.WORKED if worked else signs.GROUND._replace(fill=f"url(#{fill})" if fill else "none")
        name = "worked" if worked else f"ground {fill}" if fill else "surface"
        yield Mark(name, shape(points, pen, len(points) > 2, surface.kind))
        if surface.splay:
            yield Mark(
                "splay", shape(map(frame.at, surface.splay.outline), Pen(THIN, RED, (1.2, 1.2)), told="sight line")
            )
    for bed in plan.borders:
        yield Mark("bed", shape(map(frame.at, bed.outline), signs.BED, told=bed.name))
    for area in plan.soil_areas:
        yield Mark("soil", shape(map(frame.at, area.outline), signs.SOIL, told=area.kind))


def lines(plan: Plan, frame: Frame) -> Iterator[Mark]:
    """What runs under the ground, and what bounds it."""
    for service in plan.services:
        yield Mark(
            f"service {service.kind}",
            signs.service(service.kind, [frame.at(point) for point in service.ends], service.kind),
        )
    for boundary in plan.boundaries:
        yield Mark("boundary", shape(map(frame.at, boundary.ends), signs.BOUNDARY, False, "boundary"))


def structures(plan: Plan, frame: Frame) -> Iterator[Mark]:
    """What stands, and from where the border is seen."""
    for structure in plan.structures:
        if structure.points:
            yield Mark(structure.kind, _structure(structure, frame))
    for place in plan.viewing:
        if place.at:
            yield Mark("view", signs.eye(*frame.at(place.at)))


def _structure(structure: Structure, frame: Frame) -> str:
    look = signs.STRUCTURES.get(structure.kind, Look(Pen(MEDIUM)))
    points = [frame.at(point) for point in structure.points]
    thick = frame.mm(structure.thickness or 0.0)
    closed = len(points) > 2 and bool(structure.outline)
    if closed or thick <= look.pen.weight or len(points) == 1:
        drawn = signs.along(look, points, closed, structure.key or structure.kind)
    else:
        # Thicker than its line: both faces to scale.
        body = Pen(MEDIUM, fill="#b5b5b5")
        drawn = "".join(
            shape(map(frame.at, strip(leg, structure.thickness or 0.0)), body, told=structure.key or structure.kind)
            for leg in pairwise(structure.points)
        )
        drawn += signs.along(look._replace(pen=Pen(THIN, look.pen.colour)), points, False) if look.mark else ""
    for window in structure.windows:
        (x0, y0), (x1, y1) = (frame.at(point) for point in window.ends)
        drawn += line(x0, y0, x1, y1, Pen(1.4, PAPER)) + line(x0, y0, x1, y1, Pen(THIN))
    return drawn


def names(plan: Plan) -> Iterator[Named]:
    """What is written beside surfaces, soil, services, boundaries and viewing places."""
    for surface in plan.surfaces:
        points = surface.ground or surface.points
        if points and surface.kind != "foothold":
            yield middle(points), surface.kind, 0.0
    for area in plan.soil_areas:
        yield middle(area.outline), area.kind if area.ph is None else f"{area.kind}, pH {area.ph[0]:g}", 0.0
    for service in plan.services:
        if service.ends and service.depth:
            yield middle(service.ends), f"{service.kind}, {metres(service.depth)} deep", 2.8
    for boundary in plan.boundaries:
        owner = f" ({boundary.owner})" if boundary.owner else ""
        yield (
            middle(boundary.ends),
            f"boundary{owner}" + (f"; beyond: {boundary.beyond}" if boundary.beyond else ""),
            2.8,
        )
    for structure in plan.structures:
        if structure.points:
            high = f" {metres(structure.height)} high" if structure.height else ""
            yield middle(structure.points), f"{structure.kind}{high}", 0.0 if len(structure.points) > 2 else -2.6
    for place in plan.viewing:
        if place.at:
            yield place.at, place.name or "viewing place", 3.4


def places(plan: Plan) -> Mapping[Path, tuple[float, float]]:
    """Path of a thing in the plan, of its first two steps → the middle of where it is drawn, in m."""
    drawn = [
        *((bed.path, bed.outline) for bed in plan.borders), *((one.path, one.points) for one in plan.structures),
        *((one.path, one.ground or one.points) for one in plan.surfaces), *((one.path, one.outline) for one in plan.soil_areas),
        *((one.path, one.ends) for one in plan.services), *((one.path, one.ends) for one in plan.boundaries),
        *((plant.path, (plant.at,)) for plant in plan.retained),
        *((place.path, (place.at,)) for place in plan.viewing if place.at),
    ]  # fmt: skip
    return {path[:2]: middle(points) for path, points in drawn if points}


def middle(points: tuple[tuple[float, float], ...] | list[tuple[float, float]]) -> tuple[float, float]:
    """Mean of some points."""
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
