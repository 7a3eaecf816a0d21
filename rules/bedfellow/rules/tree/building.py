"""TREE-02 and TREE-03: trees and wall shrubs whose roots can reach a building on shrinkable soil."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

DEMAND = ("", "low", "moderate", "high")


def near_building(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Distance to the nearest building under the zone of influence for the tree's water demand and mature height."""
    buildings = _buildings(border)
    trees = [p for p in border.plantings if p.life_form == "tree" and p.points]
    if not buildings or border.plan.site.shrinkable is False:
        return
    for planting in trees:
        demand, height = planting.traits.step("water_demand"), planting.traits.measure("height")
        if border.plan.site.shrinkable is None or demand is None or height is None:
            known = (border.plan.site.shrinkable, demand, height)
            names = ("site: shrinkable", "water_demand", "height")
            wanting = tuple(name for name, value in zip(names, known, strict=True) if value is None)
            yield Unjudged(planting.key, wanting, planting.path)
            continue
        zone = round(limits[DEMAND[demand]] * height.typical, 2)
        distance, building = _nearest(planting, buildings)
        if distance >= zone:
            continue
        yield Finding(
            "note" if demand == 1 else "warning", (planting.key,), planting.place,
            {"plant": planting.title, "distance": distance, "zone": zone, "water_demand": DEMAND[demand], "height": height.typical,
             "source": "NHBC Standards, chapter 4.2"},
            ((building.path, "the building"),),
        )  # fmt: skip


def thirsty_at_wall(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A shrub or climber of high water demand close to a building."""
    buildings = _buildings(border)
    site = border.plan.site
    for planting in border.plantings:
        if (
            planting.life_form not in ("shrub", "climber")
            or not planting.points
            or not buildings
            or site.shrinkable is False
        ):
            continue
        distance, building = _nearest(planting, buildings)
        demand = planting.traits.step("water_demand")
        if distance >= limits["distance"] or demand in (1, 2):
            continue
        if demand is None or site.shrinkable is None:
            known = (("site: shrinkable", site.shrinkable), ("water_demand", demand))
            yield Unjudged(planting.key, tuple(name for name, value in known if value is None), planting.path)
            continue
        yield Finding(
            "warning", (planting.key,), planting.place,
            {"plant": planting.title, "key": planting.key, "distance": distance, "move": round(limits["distance"] - distance, 2)},
            ((building.path, "the building"),),
        )  # fmt: skip


def _buildings(border: Border) -> list[Any]:
    # Whoever states the foundations, or the engineer's letter, has asked already.
    return [s for s in border.plan.structures if s.kind == "building" and len(s.points) >= 2 and not s.foundations]


def _nearest(planting: Planting, buildings: Sequence[Any]) -> tuple[float, Any]:
    """Metres to the nearest building, and the building."""
    near = ((round(dist(point, b.nearest_to(point)), 2), b) for point in planting.points for b in buildings)
    return min(near, key=lambda one: one[0])
