"""TREE-02: a tree whose roots can reach a building on shrinkable soil."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import distance_to

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

DEMAND = ("", "low", "moderate", "high")


def near_building(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Distance to the nearest building under the zone of influence for the tree's water demand and mature height."""
    buildings = [s for s in border.plan.structures if s.kind == "building" and len(s.points) >= 2]
    trees = [p for p in border.plantings if p.life_form == "tree" and p.points]
    if not buildings or border.plan.site.shrinkable is False:
        return
    for planting in trees:
        demand, height = planting.traits.step("water_demand"), planting.traits.measure("height")
        if border.plan.site.shrinkable is None or demand is None or height is None:
            known = (border.plan.site.shrinkable, demand, height)
            names = ("site: shrinkable", "water_demand", "height")
            wanting = tuple(name for name, value in zip(names, known, strict=True) if value is None)
            yield Unjudged("TREE-02", planting.key, wanting, planting.path)
            continue
        zone = round(limits[DEMAND[demand]] * height.typical, 2)
        distance, building = min(
            (round(distance_to(point, b.points, closed=len(b.points) > 2), 2), index)
            for point in planting.points
            for index, b in enumerate(buildings)
        )
        if distance >= zone:
            continue
        yield Finding(
            "TREE-02", "note" if demand == 1 else "warning", (planting.key,),
            f"{planting.title} stands {metres(distance)} from a building on shrinkable soil; with {DEMAND[demand]} water demand and "
            f"{height.typical:g} m when mature its roots may matter within {metres(zone)}. Ask a structural engineer.",
            (*planting.path, "at") if planting.line.at else planting.path, ((buildings[building].path, "the building"),),
            {"distance": distance, "zone": zone, "water_demand": DEMAND[demand], "height": height.typical,
             "source": "NHBC Standards, chapter 4.2"},
            mend="Choose a tree of lower water demand, or move it outside that distance.",
        )  # fmt: skip
