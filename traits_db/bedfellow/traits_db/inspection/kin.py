"""A plant among its kin: values far from the rest of the genus, or from the species above it.

Few and sure rather than many: a genus is compared only where five or more of one life form are known, on a scale of
ratios, by the median and the median absolute deviation, which a single slip does not move.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import exp, log
from statistics import median

from bedfellow.traits_db.inspection.remark import Plant

COMPARED = ("height", "spread", "height_10", "spread_10", "foliage_height", "density", "planting_depth")
ENOUGH = 5
FAR = 5.0  # robust standard deviations
TO_SIGMA = 1.4826  # of a normal distribution, from its median absolute deviation
LEAST_SIGMA = log(1.35)  # within a genus a third more or less is nothing
OF_SPECIES = 1.6  # a cultivar this many times beyond its species is a slip or a surprise


def kin(plants: Iterable[Plant]) -> Iterator[tuple[Plant, str]]:
    """Plants to look at, each with the reason."""
    plants = [plant for plant in plants if plant.taxon.rank != "genus"]
    by_name = {plant.taxon.name: plant for plant in plants}
    groups: dict[tuple[str, str, bool], list[Plant]] = {}
    for plant in plants:
        groups.setdefault((plant.genus, plant.word("life_form"), plant.word("habit") == "mat"), []).append(plant)
        parent = by_name.get(plant.taxon.parent or "")
        if parent is not None and plant.taxon.rank == "cultivar":
            yield from ((plant, said) for said in _beyond_species(plant, parent))
    for (genus, form, _), group in groups.items():
        yield from _outliers(group, f"{genus} ({form})")
        yield from _no_hazard(group, genus)


def _outliers(group: list[Plant], called: str) -> Iterator[tuple[Plant, str]]:
    far: dict[str, list[str]] = {}
    for trait in COMPARED:
        known = {
            plant.taxon.name: log(value.typical)
            for plant in group
            if (value := plant.traits.measure(trait)) is not None and value.typical > 0
        }
        if len(known) < ENOUGH:
            continue
        middle = median(known.values())
        sigma = max(TO_SIGMA * median(abs(value - middle) for value in known.values()), LEAST_SIGMA)
        for plant in group:
            name = plant.taxon.name
            if trait in plant.own and abs(known.get(name, middle) - middle) > FAR * sigma:
                far.setdefault(name, []).append(f"{plant.said(trait)} (about {exp(middle):.2g})")
    for plant in group:
        if plant.taxon.name in far:
            yield plant, f"far from the rest of {called}: {', '.join(far[plant.taxon.name])}"


def _beyond_species(plant: Plant, parent: Plant) -> Iterator[str]:
    for trait in ("height", "spread"):
        own, above = plant.traits.measure(trait), parent.traits.measure(trait)
        if own and above and trait in plant.own and own.low > above.high * OF_SPECIES:
            yield f"{plant.said(trait)} is far over that of {parent.taxon.name}, {parent.said(trait)}"


def _no_hazard(group: list[Plant], genus: str) -> Iterator[tuple[Plant, str]]:
    """One that is said to be harmless among kin that harm when eaten."""
    stated = [(plant, plant.traits.hazards()) for plant in group if "hazards" in plant.own]
    eaten = [plant for plant, hazards in stated if any(hazard.how == "eaten" for hazard in hazards or ())]
    if len(eaten) >= ENOUGH:
        for plant, hazards in stated:
            if hazards == ():
                yield plant, f"'none known' of hazards, where {len(eaten)} others of {genus} harm when eaten"
