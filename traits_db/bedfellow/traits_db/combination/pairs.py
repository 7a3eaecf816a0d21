"""Which pairs of a long list share a site, and what keeps the others apart: every pair, a strip of the table at a time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedfellow.traits_db.combination.envelope import FACTORS, LIGHT, Bears

STRIP = 128  # rows worked at once: under 10 MB for 10,000 plants
Reasons = NDArray[np.uint8]


class Tally(NamedTuple):
    """pairs: of the whole list; apart: by factor; partners: of each plant, with how many others it shares a site."""

    pairs: int
    apart: dict[str, int]
    partners: NDArray[np.int64]

    @property
    def sharing(self) -> int:
        return self.pairs - sum(self.apart.values())


def reasons(plants: Sequence[Bears]) -> Iterator[tuple[int, Reasons]]:
    """(number of the first row, strip of the table): 0 where two share a site, else 1 + the place of the reason in FACTORS.

    As `envelope.apart` finds it pair by pair. A strip has the shape (rows, len(plants)).
    """
    light = np.array(
        [sum(1 << n for n, word in enumerate(LIGHT) if word in one.light) for one in plants], dtype=np.uint8
    )
    spans = [np.array([one.spans[n] for one in plants], dtype=np.float64).reshape(-1, 2).T.copy() for n in range(3)]
    for first in range(0, len(plants), STRIP):
        rows = slice(first, first + STRIP)
        found = np.zeros((len(light[rows]), len(plants)), dtype=np.uint8)
        # The last first, so that the reason that is named first is written last.
        for number, (low, high) in reversed(list(enumerate(spans, 2))):
            found[(low[rows, None] > high) | (low > high[rows, None])] = number
        found[(light[rows, None] & light) == 0] = 1
        yield first, found


def tally(plants: Sequence[Bears]) -> Tally:
    """All pairs of a list counted."""
    apart: Counter[int] = Counter()
    partners = np.zeros(len(plants), dtype=np.int64)
    for first, found in reasons(plants):
        partners[first : first + len(found)] = (found == 0).sum(axis=1)  # itself among them
        # Each pair once: of a row what lies to the right of the diagonal.
        upper = found[np.arange(len(plants)) > np.arange(first, first + len(found))[:, None]]
        apart.update(dict(enumerate(np.bincount(upper, minlength=len(FACTORS) + 1).tolist())))
    number = len(plants)
    by_factor = {factor: apart[place] for place, factor in enumerate(FACTORS, 1)}
    return Tally(number * (number - 1) // 2, by_factor, partners - 1)
