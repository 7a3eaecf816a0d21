"""How much of a ray passes the crowns and screens on its way: the one vectorised core of light and sight.

A crown lets through τ^(chord / mean chord): Beer's law for leaves spread evenly in the crown, scaled so that a ray of
mean length passes τ, the figure published for a whole crown. Real leaves crowd at the surface, so a grazing ray is
passed somewhat too freely and a central one too little; the error for one crown has not been measured.

Rays are counted in pairs (ray, crown) that could meet; those are found by bearing and height, then worked exactly.
Work is cut into chunks: beside the result and its rays some 20 MB, whatever the size. Asked tile by tile (`tiles`), it
looks only at the crowns about a tile, so that it grows with the number of places and not with its square.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

_PAIRS = 40_000
"""Pairs of ray and crown worked at once: few enough for the processor's cache."""
_TILE = 8.0
"""m: side of the squares in which places are worked together."""

_TINY = 1e-300


@dataclass(frozen=True, slots=True)
class Solids:
    """Crowns, each field of shape (n,): stem x, y; base, top in m; r² = c0 + c1 z + c2 z² in m²; mean chord in m.

    owner: the number of the planting that a crown belongs to; a planting does not shade itself.
    """

    x: Array
    y: Array
    base: Array
    top: Array
    c0: Array
    c1: Array
    c2: Array
    mean_chord: Array
    owner: Whole

    def __len__(self) -> int:
        return len(self.x)

    def take(self, which: Whole) -> Solids:
        """Some of the crowns, by number."""
        return Solids(*(getattr(self, name)[which] for name in self.__dataclass_fields__))

    def greatest_radius(self) -> Array:
        """m, shape (n,)."""
        bends = np.where(self.c2 < 0, -self.c1 / np.where(self.c2 < 0, 2 * self.c2, 1.0), self.base)
        square = np.zeros(len(self))
        for z in (self.base, self.top, np.clip(bends, self.base, self.top)):
            square = np.maximum(square, self.c0 + z * (self.c1 + z * self.c2))
        return np.asarray(np.sqrt(square), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Screens:
    """Upright panels (fences, walls, building faces), each field of shape (s,): ends, bottom and top in m.

    transmittance: share of light that passes, 0 for a wall. Panels have no thickness.
    """

    x0: Array
    y0: Array
    x1: Array
    y1: Array
    bottom: Array
    top: Array
    transmittance: Array

    def __len__(self) -> int:
        return len(self.x0)


def solids(rows: list[tuple[float, float, float, float, float, float, float, float, int]]) -> Solids:
    """Solids from rows of (x, y, base, top, c0, c1, c2, mean chord, owner)."""
    table = np.asarray([row[:8] for row in rows], dtype=np.float64).reshape(-1, 8)
    x, y, base, top, c0, c1, c2, mean_chord = table.T.copy()
    return Solids(x, y, base, top, c0, c1, c2, mean_chord, np.asarray([row[8] for row in rows], dtype=np.int64))


def screens(rows: list[tuple[float, float, float, float, float, float, float]]) -> Screens:
    """Screens from rows of (x0, y0, x1, y1, bottom, top, transmittance)."""
    x0, y0, x1, y1, bottom, top, transmittance = np.asarray(rows, dtype=np.float64).reshape(-1, 7).T.copy()
    return Screens(x0, y0, x1, y1, bottom, top, transmittance)


def tiles(places: Array, most: int) -> Iterator[Whole]:
    """Numbers of places, (m, 3) in m, by squares of ground, at most so many at once."""
    column, row = np.floor(places[:, :2].T / _TILE)
    order = np.lexsort((row, column))
    column, row = column[order], row[order]
    starts = np.flatnonzero((np.diff(column) != 0) | (np.diff(row) != 0)) + 1
    for tile in np.split(order, starts):
        for low in range(0, len(tile), most):
            yield tile[low : low + most]


def chord(
    px: Array, py: Array, pz: Array, dx: Array, dy: Array, dz: Array, base: Array, top: Array,
    c0: Array, c1: Array, c2: Array, length: Array | float,
) -> Array:  # fmt: skip
    """Length in m of rays within crowns, element by element.

    A ray starts at (px, py) from the crown's axis and at height pz, runs along the unit vector (dx, dy, dz) and ends
    after `length`.
    """
    with np.errstate(all="ignore"):
        # Between the two planes. Too small a divisor gives infinity, which is right.
        rise = np.where(dz == 0, _TINY, dz)
        t0, t1 = (base - pz) / rise, (top - pz) / rise
        start = np.maximum(np.minimum(t0, t1), 0.0)
        stop = np.minimum(np.maximum(t0, t1), length)
        whole = np.maximum(stop - start, 0.0)

        # Within the quadric: a t² + 2 b t + c ≤ 0. Roots as q / a and c / q, never the difference of near numbers.
        a = dx * dx + dy * dy - c2 * dz * dz
        b = px * dx + py * dy - dz * (c1 / 2 + c2 * pz)
        c = px * px + py * py - (c0 + pz * (c1 + pz * c2))
        discriminant = b * b - a * c
        q = -(b + np.copysign(np.sqrt(np.maximum(discriminant, 0.0)), b))
        first, second = q / np.where(a == 0, _TINY, a), c / q
        between = np.minimum(stop, np.maximum(first, second)) - np.maximum(start, np.minimum(first, second))
        between = np.maximum(between, 0.0)
        # A ray steeper than the side of a cone is outside it between the roots; the planes leave one of its halves.
        inside = np.where(a < 0, whole - between, between)
        return np.where(discriminant > 0, inside, np.where(c < 0, whole, 0.0))


def transmitted(
    origins: Array,
    owners: Whole,
    directions: Array,
    lengths: Array | float,
    solids: Solids,
    transmittance: Array,
    screens: Screens | None = None,
) -> Array:
    """Share of each ray that passes all crowns but its own planting's, and all screens; shape (m, k).

    origins: m, shape (m, 3); owners: shape (m,), -1 for none. directions: unit vectors, (k, 3) shared or (m, k, 3).
    lengths: m, scalar, (k,) or (m, k); infinite for the sun. transmittance: of the whole crown, (n,) or (n, k).
    """
    m, k = len(origins), directions.shape[-2]
    passed = np.ones((m, k))
    if m == 0 or k == 0:
        return passed
    reach = np.broadcast_to(np.asarray(lengths, dtype=np.float64), (m, k))
    near = np.flatnonzero(_near(origins, directions, reach, solids))
    if len(near):
        solids, transmittance = solids.take(near), transmittance[near]
        with np.errstate(divide="ignore"):
            dulling = np.log(np.clip(transmittance, 0.0, 1.0))
        ox, oy, oz = origins.T.copy()
        paths = np.moveaxis(directions, -1, 0).reshape(3, -1).copy()
        for ray, direction, solid in _meetings(origins, owners, directions, reach, solids):
            path = direction if directions.ndim == 2 else ray * k + direction
            inside = chord(
                ox.take(ray) - solids.x.take(solid), oy.take(ray) - solids.y.take(solid), oz.take(ray),
                paths[0].take(path), paths[1].take(path), paths[2].take(path),
                solids.base.take(solid), solids.top.take(solid),
                solids.c0.take(solid), solids.c1.take(solid), solids.c2.take(solid),
                reach[ray, direction] if np.ndim(lengths) else lengths,
            )  # fmt: skip
            hit = inside > 1e-9
            ray, direction, solid = ray[hit], direction[hit], solid[hit]
            if not len(ray):
                continue
            logs = dulling[solid] if dulling.ndim == 1 else dulling[solid, direction]
            low, rows = int(ray[0]), int(ray[-1] - ray[0]) + 1
            dull = logs * (inside[hit] / solids.mean_chord.take(solid))
            sums = np.bincount((ray - low) * k + direction, dull, minlength=rows * k)
            passed[low : low + rows] *= np.exp(sums).reshape(rows, k)
    if screens is not None and len(screens):
        _screen(passed, origins, directions, reach, screens)
    return passed


def _near(origins: Array, directions: Array, reach: Array, solids: Solids) -> NDArray[np.bool_]:
    """Crowns that some of the rays may reach, (n,), by the box in which all the rays start, or that they stay in."""
    radius = solids.greatest_radius()
    lowest, highest = origins.min(axis=0), origins.max(axis=0)
    if directions.ndim == 2:
        slope = (directions[:, 2] / np.maximum(np.hypot(directions[:, 0], directions[:, 1]), 1e-12)).min()
        if slope < 0:
            return np.ones(len(solids), dtype=np.bool_)
        aside = (
            np.maximum(np.maximum(low - at, at - high), 0.0)
            for at, low, high in zip((solids.x, solids.y), lowest, highest, strict=False)
        )
        above = solids.top - lowest[2]
        return np.asarray((above > 0) & ((np.hypot(*aside) - radius) * slope <= above))
    ends = origins[:, None, :] + directions * np.minimum(reach, 1e6)[..., None]
    lowest, highest = np.minimum(lowest, ends.min(axis=(0, 1))), np.maximum(highest, ends.max(axis=(0, 1)))
    close = (solids.base <= highest[2]) & (solids.top >= lowest[2])
    for at, low, high in zip((solids.x, solids.y), lowest, highest, strict=False):
        close &= (at - radius <= high) & (at + radius >= low)
    return np.asarray(close)


def _meetings(
    origins: Array, owners: Whole, directions: Array, reach: Array, solids: Solids
) -> Iterator[tuple[Whole, Whole, Whole]]:
    """Indices (ray origin, direction, crown) of all that could meet, some that do not, in chunks."""
    radius = solids.greatest_radius()
    rows = max(1, _PAIRS // len(solids))
    if directions.ndim == 2:
        order = np.argsort(np.arctan2(directions[:, 1], directions[:, 0]), kind="stable")
        for low in range(0, len(origins), rows):
            part = slice(low, low + rows)
            for ray, direction, solid in _by_bearing(origins[part], owners[part], directions, order, solids, radius):
                yield ray + low, direction, solid
        return
    for low in range(0, len(origins), rows):
        part = slice(low, low + rows)
        yield from _by_box(origins, owners, directions, reach, solids, radius, np.arange(len(origins))[part])


def _by_box(
    origins: Array, owners: Whole, directions: Array, reach: Array, solids: Solids, radius: Array, part: Whole
) -> Iterator[tuple[Whole, Whole, Whole]]:
    """Meetings of rays that each go their own way: crowns in the box around all rays of an origin, then near a ray."""
    start, ways = origins[part, None, :], directions[part]
    ends = start + ways * np.minimum(reach[part], 1e6)[..., None]
    lowest = np.minimum(ends.min(axis=1), start[:, 0])[:, :, None]
    highest = np.maximum(ends.max(axis=1), start[:, 0])[:, :, None]
    close = solids.owner != owners[part, None]
    for axis, (least, most) in enumerate(
        [(solids.x - radius, solids.x + radius), (solids.y - radius, solids.y + radius), (solids.base, solids.top)]
    ):
        close &= (least <= highest[:, axis]) & (most >= lowest[:, axis])
    ray, solid = np.nonzero(close)
    k = directions.shape[1]
    for low in range(0, len(ray), max(1, _PAIRS // k)):
        r, s = ray[low : low + max(1, _PAIRS // k)], solid[low : low + max(1, _PAIRS // k)]
        px, py = (solids.x[s] - start[r, 0, 0])[:, None], (solids.y[s] - start[r, 0, 1])[:, None]
        dx, dy = ways[r, :, 0], ways[r, :, 1]
        # The ray's line on the ground passes within the radius of the axis.
        meets = (px * dy - py * dx) ** 2 <= (radius[s] ** 2)[:, None] * (dx * dx + dy * dy) + 1e-12
        pair, direction = np.nonzero(meets)
        yield part[r[pair]], direction, s[pair]


def _by_bearing(
    origins: Array, owners: Whole, directions: Array, order: Whole, solids: Solids, radius: Array
) -> Iterator[tuple[Whole, Whole, Whole]]:
    """Meetings with shared directions: within a crown's width by bearing, taken as runs of the sorted bearings."""
    bearing = np.arctan2(directions[order, 1], directions[order, 0])
    level = np.hypot(directions[:, 0], directions[:, 1])
    slope = directions[:, 2] / np.maximum(level, 1e-12)
    rising = bool(np.all(directions[:, 2] >= 0))

    dx, dy = solids.x - origins[:, :1], solids.y - origins[:, 1:2]
    distance = np.hypot(dx, dy)
    possible = solids.owner != owners[:, None]
    if rising:
        nearest = np.maximum(distance - radius, 0.0)
        above = solids.top - origins[:, 2:]
        possible &= (above > 0) & (nearest * slope.min() <= above)
    ray, solid = np.nonzero(possible)
    distance = distance[ray, solid]
    near = np.maximum(distance - radius[solid], 0.0)
    width = np.where(near > 0, np.arcsin(np.minimum(radius[solid] / np.maximum(distance, 1e-12), 1.0)), np.pi) + 1e-9
    to = np.arctan2(dy[ray, solid], dx[ray, solid])

    # Bearings are known once around the circle: a run may continue on the round before or after.
    round_ = np.concatenate([bearing - 2 * np.pi, bearing, bearing + 2 * np.pi])
    width = np.minimum(width, np.pi * (1 - 1e-12))
    first = np.searchsorted(round_, to - width, side="left")
    count = np.minimum(np.searchsorted(round_, to + width, side="right") - first, len(order))

    rise_above = solids.top[solid] - origins[ray, 2]
    rise_below = solids.base[solid] - origins[ray, 2]
    far = distance + radius[solid]
    cuts = np.searchsorted(np.cumsum(count), np.arange(_PAIRS, int(count.sum()) + _PAIRS, _PAIRS)) + 1
    low = 0
    # Not by numpy.unique, which loads the masked arrays that nobody needs.
    for high in sorted(set(np.minimum(cuts, len(count)).tolist())):
        n = count[low:high]
        pair = np.repeat(np.arange(low, high), n)
        within = np.arange(len(pair)) - np.repeat(np.cumsum(n) - n, n)
        direction = order[(first[pair] + within) % len(order)]
        if rising:
            steepness = slope[direction]
            kept = (near[pair] * steepness <= rise_above[pair]) & (far[pair] * steepness >= rise_below[pair])
            pair, direction = pair[kept], direction[kept]
        yield ray[pair], direction, solid[pair]
        low = high


def _screen(passed: Array, origins: Array, directions: Array, reach: Array, screens: Screens) -> None:
    """Dulls, in place, the rays that cross a screen."""
    rows = max(1, _PAIRS // passed.shape[1])
    columns: Any = np.column_stack(
        [screens.x0, screens.y0, screens.x1, screens.y1, screens.bottom, screens.top, screens.transmittance]
    )
    for low in range(0, len(passed), rows):
        part = slice(low, low + rows)
        d = directions if directions.ndim == 2 else directions[part]
        ox, oy, oz = (origins[part, axis, None] for axis in range(3))
        for x0, y0, x1, y1, bottom, top, transmittance in columns:
            along, across = x1 - x0, y1 - y0
            turn = d[..., 0] * across - d[..., 1] * along
            parallel = np.abs(turn) < 1e-12
            turn = np.where(parallel, 1.0, turn)
            t = ((x0 - ox) * across - (y0 - oy) * along) / turn
            s = ((x0 - ox) * d[..., 1] - (y0 - oy) * d[..., 0]) / turn
            z = oz + t * d[..., 2]
            hit = ~parallel & (t > 1e-9) & (t < reach[part]) & (s >= 0) & (s <= 1) & (z >= bottom) & (z <= top)
            passed[part][hit] *= transmittance
