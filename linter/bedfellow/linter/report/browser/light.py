"""Hours of sun on the ground of the beds, cell by cell, by season and month."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.linter.report.browser.growth import MONTHS
from bedfellow.linter.report.browser.text import packed
from bedfellow.rules.border.shade import HAND, NOBODY
from bedfellow.schema.geometry import inside
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

CELL, MOST_CELLS = 0.5, 1_500
MOST_RAYS = 60_000
"""Cells times crowns that are worked out, so that a page takes seconds: a crowded border has larger cells."""
HUNDREDTHS, LARGER = 100, 1.05


class Cells(NamedTuple):
    """Squares of `size` m whose middles lie in a bed: left and front end of the first, and (column, row) of each."""

    left: float
    front: float
    size: float
    places: tuple[tuple[int, int], ...]

    @property
    def middles(self) -> list[tuple[float, float]]:
        return [(self.left + (x + 0.5) * self.size, self.front + (y + 0.5) * self.size) for x, y in self.places]

    @property
    def data(self) -> dict[str, Any]:
        return {**self._asdict(), "places": [number for place in self.places for number in place]}


def cells_of(border: Border) -> Cells:
    """The cells of the beds, of half a metre or larger where there would be too many."""
    left, front, right, back = border.box
    wide, deep = right - left, back - front
    crowns = max(1, sum(len(planting.points) for planting in border.standing))
    most = max(1, min(MOST_CELLS, MOST_RAYS // crowns))
    size = max(CELL, sqrt(wide * deep / most), max(wide, deep) / most)
    while (columns := max(1, round(wide / size))) * (rows := max(1, round(deep / size))) > most:
        size *= LARGER
    places = tuple(
        (x, y)
        for y in range(rows)
        for x in range(columns)
        if any(inside((left + (x + 0.5) * size, front + (y + 0.5) * size), bed.outline) for bed in border.plan.borders)
    )
    return Cells(left, front, size, places)


def hours(border: Border, cells: Cells, season: int) -> list[str]:
    """Hours of sun in each cell, a hand above the ground, in the middle of each month: hundredths, packed in two letters each.

    As `light_by_month` of the border has them for one place: crowns have their full height of the season in every month, and
    what has not half of it counts as not there.
    """
    import numpy as np

    from bedfellow.rules.border.light import daily

    days = tuple(float(middle_of(month)) for month in MONTHS)
    solids, passes = border.solids(season, days)
    places = np.array([(x, y, HAND) for x, y in cells.middles])
    faces = (border.bearing((0, 0), (0, 1)) + 180) % 360
    got = daily(
        places, np.full(len(places), NOBODY), border.plan.site.latitude, faces, solids, passes, border.screens(),
        border.plan.site.horizon or (), days,
    )  # fmt: skip
    return [packed(HUNDREDTHS * got.hours[:, number], 2) for number in range(len(days))]
