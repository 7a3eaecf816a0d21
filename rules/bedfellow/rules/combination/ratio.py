"""How many of each plant of a list go on a square metre, and how far apart."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from bedfellow.rules.combination.company import layer_of, typical
from bedfellow.schema.geometry import ROWS
from bedfellow.traits_db.facts import TaxonTraits

AREAS = (1, 3, 5)  # m²
# Share of the ground by layer, shared evenly by its plants; what a missing layer would have goes to the others. Bulbs come
# up through the rest at a quarter of the density at which they fill a bed; climbers take no ground. Common practice.
GROUND = {"ground": 0.45, "middle": 0.40, "top": 0.15}
THROUGH = 0.25


class Portion(NamedTuple):
    """share: of the ground, None for what grows through the rest; apart: m; per_m2: where it stands alone; numbers: by
    the square metres of AREAS, 0 where not even half a plant has room."""

    name: str
    layer: str
    share: float | None
    apart: float
    per_m2: float
    numbers: tuple[int, ...]


def portions(plants: Sequence[TaxonTraits]) -> list[Portion]:
    """A portion for each plant whose density or spread is known, layer by layer."""
    placed = [(traits, layer_of(traits), dense) for traits in plants if (dense := _density(traits))]
    there = {where for _, where, _ in placed if where in GROUND}
    whole = sum(GROUND[where] for where in there) or 1.0
    found = []
    for traits, where, dense in placed:
        if where == "climbers" or not where:
            continue
        among = sum(other == where for _, other, _ in placed)
        share = GROUND[where] / whole / among if where in GROUND else None
        each = share if share is not None else THROUGH / among
        numbers = tuple(round(area * each * dense) for area in AREAS)
        found.append(
            Portion(
                traits.name,
                where,
                share and round(share, 3),
                round(sqrt(1 / (ROWS * dense)), 2),
                round(dense, 2),
                numbers,
            )
        )
    order = ("top", "middle", "ground", "bulbs")
    return sorted(found, key=lambda portion: (order.index(portion.layer), portion.name))


def _density(traits: TaxonTraits) -> float | None:
    """Plants a m²: as recorded, else on a staggered grid at its spread."""
    known, spread = typical(traits, "density"), typical(traits, "spread")
    return known or (1 / (ROWS * spread**2) if spread else None)
