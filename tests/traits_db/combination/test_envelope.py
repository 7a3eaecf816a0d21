"""The site that a list shares, against every subset tried one by one."""

from __future__ import annotations

import random
from itertools import combinations

import pytest

from bedfellow.traits_db.combination.envelope import FACTORS, bears, envelope, fewest_to_leave_out
from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.snapshot import Store


@pytest.fixture(scope="module")
def plants(store: Store) -> list[TaxonTraits]:
    found = store.find(store.matching([])).values()
    return random.Random(7).sample([traits for traits in found if traits is not None], 140)


def test_the_fewest_to_leave_out_by_trying_every_subset(plants: list[TaxonTraits]) -> None:
    contradicted = 0
    for start in range(0, 120, 6):
        some = plants[start : start + 7]
        left_out = fewest_to_leave_out(some)
        assert envelope([traits for place, traits in enumerate(some) if place not in left_out]) is not None
        for gone in combinations(range(len(some)), max(0, len(left_out) - 1)):
            rest = [traits for place, traits in enumerate(some) if place not in gone]
            assert not left_out or envelope(rest) is None, "fewer would do"
        contradicted += bool(left_out)
    assert 3 <= contradicted <= 19


def test_the_envelope_is_what_each_plant_bears(store: Store) -> None:
    names = ["Cornus mas", "Geranium macrorrhizum", "Narcissus 'Tête-à-tête'"]
    some = [traits for traits in store.find(names).values() if traits is not None]
    shared = envelope(some)
    assert len(some) == 3 and shared is not None and shared.coldest is not None
    for traits in some:
        ph, moisture, cold = (traits.tolerance(name) for name in ("ph_tolerated", "moisture", "minimum_temperature"))
        assert (
            ph
            and ph.lower <= shared.ph[0] <= shared.ph[1] <= ph.upper
            and set(shared.light) <= set(traits.words("light"))
        )
        assert moisture and moisture.lower <= shared.moisture[0] and cold and cold.lower <= shared.coldest[0]
    unknown = TaxonTraits("Nulla nulla", "species", "", {})
    assert bears(unknown).unknown == FACTORS and envelope([*some, unknown]) == shared
