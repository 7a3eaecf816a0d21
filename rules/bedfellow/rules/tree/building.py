"""TREE-02: a tree whose roots can reach a building on shrinkable soil."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

DEMAND = ("", "low", "moderate", "high")


def near_building(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Distance to the nearest building under the zone of influence for the tree's water demand and mature height."""
    # Whoever states the foundations, or the engineer's letter, has asked already.
    buildings = [s for s in border.plan.structures if s.kind == "building" and len(s.points) >= 2 and not s.foundations]
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
        distance, building = min(
            (round(dist(point, b.nearest_to(point)), 2), index)
            for point in planting.points
            for index, b in enumerate(buildings)
        )
        if distance >= zone:
            continue
        yield Finding(
            "note" if demand == 1 else "warning", (planting.key,), (*planting.path, "at") if planting.line.at else planting.path,
            {"plant": planting.title, "distance": distance, "zone": zone, "water_demand": DEMAND[demand], "height": height.typical,
             "source": "NHBC Standards, chapter 4.2"},
            ((buildings[building].path, "the building"),),
        )  # fmt: skip
