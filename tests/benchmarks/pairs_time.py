"""All pairs of 10,000 plants as a ratio to the plain pair by pair, and the memory that it takes; run by hand.

python tests/benchmarks/pairs_time.py
"""

from __future__ import annotations

import random
import statistics
import time
import tracemalloc
from itertools import combinations, islice

from bedfellow.traits_db.combination.envelope import Bears, apart, bears
from bedfellow.traits_db.combination.pairs import tally
from bedfellow.traits_db.snapshot import open_store

PLANTS, SAMPLE, RUNS = 10_000, 200_000, 5


def many() -> list[Bears]:
    """So many plants, each with the light of one shipped plant and the soil of another."""
    store, chance = open_store(), random.Random(1)
    known = [bears(traits) for traits in store.find(store.matching([])).values() if traits is not None]
    return [
        chance.choice(known)._replace(light=chance.choice(known).light, ph=chance.choice(known).ph)
        for _ in range(PLANTS)
    ]


def main() -> None:
    plants, taken = many(), []
    for _ in range(RUNS):
        start = time.perf_counter()
        counted = tally(plants)
        taken.append(time.perf_counter() - start)
    start = time.perf_counter()
    found = [apart(a, b) for a, b in islice(combinations(plants, 2), SAMPLE)]
    plain = (time.perf_counter() - start) / SAMPLE * counted.pairs
    tracemalloc.start()
    tally(plants)
    memory = tracemalloc.get_traced_memory()[1] / 2**20
    ours = statistics.median(taken)
    print(
        f"{counted.pairs:,} pairs, {counted.sharing:,} share a site: {ours:.2f} s and {memory:.0f} MiB, "
        f"{ours / plain:.4f} of the time of pair by pair ({plain:.0f} s, from {len(found):,} pairs)"
    )


if __name__ == "__main__":
    main()
