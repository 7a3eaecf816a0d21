"""TREE-06 and TREE-07: windows, damp-proof courses and air bricks of a building."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import atan2, degrees, dist, hypot
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import distance_to, inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
ADJOINS = 0.1  # m: soil as near as this lies against the wall


def takes_light(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A crown that stands high before a window, or a row of tall evergreens on a boundary."""
    windows = [(window, building) for building in border.plan.structures for window in building.windows]
    lines = [boundary for boundary in border.plan.boundaries if boundary.beyond != "same owner"]
    for planting in border.plantings:
        size = border.size(planting, SEASON)
        if size is None or planting.supported or planting.temporary:
            continue
        top = round(size.height.typical, 2)
        steepest = max(
            ((_elevation(point, top, window, building), window) for point in planting.points for window, building in windows),
            key=lambda one: one[0], default=None,
        )  # fmt: skip
        if steepest and steepest[0] > limits["angle"] and not _lets_light_through(planting, limits["light"]):
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "height": top, "angle": round(steepest[0]), "season": SEASON},
                ((steepest[1].path, "the window"),), case="window",
            )  # fmt: skip
        row = planting.woody and planting.evergreen and (planting.line.hedge or len(planting.points) > 1)
        on = [
            b
            for b in lines
            if row and any(distance_to(point, b.ends, closed=False) <= limits["boundary"] for point in planting.points)
        ]
        if on and top > limits["height"]:
            yield Finding(
                "note", (planting.key,), planting.path, {"plant": planting.title, "height": top, "season": SEASON},
                ((on[0].path, "the boundary"),), apart=("boundary",), case="boundary",
            )  # fmt: skip


def _elevation(point: tuple[float, float], top: float, window: Any, building: Any) -> float:
    """Degrees from the middle of a window up to the top of a plant that stands before it; 0 for one to the side."""
    (x0, y0), (x1, y1) = window.ends
    across = (point[0] - (x0 + x1) / 2, point[1] - (y0 + y1) / 2)
    width = hypot(x1 - x0, y1 - y0)
    if width == 0 or (building.outline and inside(point, building.outline)):
        return 0.0
    aside = abs(across[0] * (x1 - x0) + across[1] * (y1 - y0)) / width
    out = abs(across[0] * (y1 - y0) - across[1] * (x1 - x0)) / width
    middle = ((window.sill or 0.0) + (window.head or 0.0)) / 2
    return degrees(atan2(top - middle, out)) if 0 < out >= aside else 0.0


def _lets_light_through(planting: Planting, least: float) -> bool:
    passes = planting.traits.measure("transmittance_in_leaf")
    return not planting.evergreen and passes is not None and passes.typical >= least


def bridged(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Soil too near under a damp-proof course, and leaves before an air brick."""
    for building in border.plan.structures:
        course = building.damp_proof_course
        if course is not None:
            levels = [(0.0, bed.path) for bed in border.plan.borders if _adjoin(bed.outline, building)]
            levels += [
                (area.depth or 0.0, area.path)
                for area in border.plan.soil_areas
                if area.kind == "raised" and _adjoin(area.outline, building)
            ]
            highest = max(levels, key=lambda one: one[0], default=None)
            if highest and round(course - highest[0], 3) < limits["course"]:
                yield Finding(
                    "error", (), highest[1], {"left": round(course - highest[0], 3), "building": building.key or "the building"},
                    ((building.path, "the building"),), apart=(str(building.path),), confidence="high", case="course",
                )  # fmt: skip
        for brick in building.air_bricks:
            yield from _before(border, building, brick, limits)


def _before(border: Border, building: Any, brick: tuple[float, float], limits: Mapping[str, Any]) -> Iterator[Finding]:
    """Plants whose low leaves come near an air brick."""
    for planting in border.plantings:
        crown = border.crown(planting, SEASON)
        if (
            crown is None
            or crown.base > limits["low"]
            or planting.temporary
            or planting.life_form == "bulb"
            or not planting.points
        ):
            continue
        left = round(min(dist(point, brick) for point in planting.points) - crown.greatest_radius, 2)
        if left < limits["leaves"]:
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "left": left, "reach": f"to {metres(left)} from" if left > 0 else "over", "move": round(limits["leaves"] - left, 2),
                 "season": SEASON},
                ((building.path, "the building"),), apart=(str(brick),), case="leaves",
            )  # fmt: skip


def _adjoin(outline: tuple[tuple[float, float], ...], building: Any) -> bool:
    """Ground that lies against a building."""
    if len(building.points) < 2:
        return False
    near = [dist(corner, building.nearest_to(corner)) for corner in outline]
    near += [distance_to(corner, outline) for corner in building.points]
    return min(near) <= ADJOINS
