"""All pairs of a list at once, against each pair by itself."""

from __future__ import annotations

import random
from itertools import combinations

from bedfellow.traits_db.combination.envelope import FACTORS, apart, bears, envelope
from bedfellow.traits_db.combination.pairs import STRIP, reasons, tally
from bedfellow.traits_db.snapshot import Store


def test_all_pairs_at_once_are_each_pair_by_itself(store: Store) -> None:
    found = store.find(store.matching([])).values()
    plants = random.Random(7).sample([traits for traits in found if traits is not None], STRIP + 40)
    borne = [bears(traits) for traits in plants]
    table = {first + row: list(strip[row]) for first, strip in reasons(borne) for row in range(len(strip))}
    told = dict(enumerate(("", *FACTORS)))
    for a, b in combinations(range(len(borne)), 2):
        assert told[table[a][b]] == told[table[b][a]] == apart(borne[a], borne[b])
        assert (apart(borne[a], borne[b]) == "") == (envelope([plants[a], plants[b]]) is not None)
    counted = tally(borne)
    assert (
        counted.pairs == len(borne) * (len(borne) - 1) // 2
        and counted.apart["light"] > 0
        and counted.apart["moisture"] > 0
    )
    assert counted.sharing * 2 == counted.partners.sum() and counted.partners[0] == table[0].count(0) - 1
    assert tally(borne[:1]).pairs == 0
