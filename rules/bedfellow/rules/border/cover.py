"""Which ground lies under living leaves: the bed as a grid of cells, each covered or not at its middle.

    ground = ground_of(outline, holes)                      the cells of the bed
    covered(ground, circles)                                which of them lie under circles of leaves
    layers(ground, {"ground": circles, "middle": circles})  the share of the bed under each layer, and under any

On cells of 0.1 m the area of one circle of radius 0.5 m is known to 2 % (standard deviation over random places), 0.25 m
to 5 %, 0.1 m to 22 %; over a bed the errors of many circles mostly cancel. A plant at the edge covers only the bed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

Cells = NDArray[np.bool_]
Points = Sequence[tuple[float, float]]
Circles = Iterable[tuple[float, float, float]]

_MOST_CELLS = 1_000_000
"""A bed that would need more gets larger cells."""


@dataclass(frozen=True, slots=True)
class Ground:
    """The bed on a grid: cells (rows, columns), true inside it; left, front: corner of the first cell; size: m."""

    left: float
    front: float
    size: float
    cells: Cells

    @property
    def area(self) -> float:
        """m²."""
        return float(self.cells.sum()) * self.size**2

    def middles(self, cells: Cells) -> NDArray[np.float64]:
        """Middles (x, y) in m of the cells that are true, (c, 2)."""
        row, column = np.nonzero(cells)
        return np.column_stack([self.left + (column + 0.5) * self.size, self.front + (row + 0.5) * self.size])


def ground_of(outline: Points, holes: Iterable[Points] = (), size: float = 0.1) -> Ground:
    """The cells of `size` m whose middles lie inside an outline and outside its holes.

    Raises ValueError for an outline of less than three points.
    """
    if len(outline) < 3:
        raise ValueError(f"an outline has three points or more, not {len(outline)}")
    x, y = np.asarray(outline, dtype=np.float64).T
    left, front = float(x.min()), float(y.min())
    wide, deep = float(x.max()) - left, float(y.max()) - front
    size = max(size, sqrt(wide * deep / _MOST_CELLS), max(wide, deep) / _MOST_CELLS)
    columns = left + (np.arange(max(1, ceil(wide / size - 1e-9))) + 0.5) * size
    rows = front + (np.arange(max(1, ceil(deep / size - 1e-9))) + 0.5) * size
    cells = _inside(outline, columns, rows)
    for hole in holes:
        cells &= ~_inside(hole, columns, rows)
    return Ground(left, front, size, cells)


def covered(ground: Ground, circles: Circles) -> Cells:
    """Cells of the bed under circles (x, y, radius) in m; shape of `ground.cells`."""
    result = np.zeros_like(ground.cells)
    rows, columns = result.shape
    for x, y, radius in circles:
        # In cells, with middles at whole numbers.
        cx, cy, r = (x - ground.left) / ground.size - 0.5, (y - ground.front) / ground.size - 0.5, radius / ground.size
        first, last = max(0, ceil(cx - r)), min(columns, int(cx + r) + 1 if cx + r >= 0 else 0)
        near, far = max(0, ceil(cy - r)), min(rows, int(cy + r) + 1 if cy + r >= 0 else 0)
        if first < last and near < far:
            across = (np.arange(first, last) - cx) ** 2
            along = (np.arange(near, far) - cy) ** 2
            result[near:far, first:last] |= along[:, None] + across <= r * r
    result &= ground.cells
    return result


def share(ground: Ground, cells: Cells) -> float:
    """Share of the bed that some of its cells make up; 0 for a bed too small for a cell."""
    return float(cells.sum()) / max(float(ground.cells.sum()), 1.0)


def layers(ground: Ground, circles: Mapping[str, Circles]) -> dict[str, float]:
    """Share of the bed under each layer's circles, and under any of them, named "any"."""
    under = {layer: covered(ground, ring) for layer, ring in circles.items()}
    anything = np.zeros_like(ground.cells)
    for cells in under.values():
        anything |= cells
    return {**{layer: share(ground, cells) for layer, cells in under.items()}, "any": share(ground, anything)}


def _inside(outline: Points, columns: NDArray[np.floating[Any]], rows: NDArray[np.floating[Any]]) -> Cells:
    """Cells inside an outline: an odd number of its edges lies to the right of each."""
    result = np.zeros((len(rows), len(columns)), dtype=np.bool_)
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        crossed = (y0 > rows) != (y1 > rows)
        if crossed.any():
            at = x0 + (rows[crossed] - y0) * (x1 - x0) / (y1 - y0)
            result[crossed] ^= columns < at[:, None]
    return result
