"""What is seen of a plant from a viewing place, and the border's outline seen square from the front.

A plant is a sheet of points in the upright plane through its stem, facing the front; a point is as visible as the ray
from the eye to it is passed by what stands between. The near half of a crown, which juts out before that plane, is
taken to be no better seen than the plane: a plant pressed against a taller one in front is hidden a little too much.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil

import numpy as np

from bedfellow.rules.border.crown import Crown
from bedfellow.rules.border.rays import Array, Screens, Solids, Whole, tiles, transmitted


def silhouette(x: float, y: float, crown: Crown, across: int = 3, up: int = 4) -> tuple[Array, Array]:
    """Points over a crown's outline from the front: places in m, (up · across, 3), and shares of its area, sum 1.

    `up` slices of equal height, `across` points on each at the middles of equal widths.
    """
    points, areas = [], []
    for level in range(up):
        z = crown.base + (crown.top - crown.base) * (level + 0.5) / up
        radius = crown.radius(z)
        for part in range(across):
            points.append((x + radius * ((2 * part + 1) / across - 1), y, z))
            areas.append(radius)
    weights = np.asarray(areas)
    return np.asarray(points), weights / weights.sum()


def visible_share(
    targets: Array,
    owners: Whole,
    eyes: Array,
    solids: Solids,
    transmittance: Array,
    screens: Screens | None = None,
) -> Array:
    """Share of each sight line that is left between eye and target, (m, e).

    targets: m, (m, 3), owners (m,): their own planting hides nothing of them;
    eyes: m, (e, 3), or (m, e, 3) where each target has its own;
    transmittance: what each crown lets the eye through, (n,): near 1 for a see-through plant or one not up.
    """
    ways = (eyes if eyes.ndim == 3 else eyes[None, :, :]) - targets[:, None, :]
    lengths = np.linalg.norm(ways, axis=2)
    directions = ways / np.maximum(lengths, 1e-9)[:, :, None]
    shares = np.empty(lengths.shape)
    for part in tiles(targets, _ROWS):
        shares[part] = transmitted(
            targets[part], owners[part], directions[part], lengths[part], solids, transmittance, screens
        )
    return shares


_ROWS = 2_000
"""Targets worked at once."""
MOST_CELLS = 50_000
SIDES = ("front", "back", "left", "right")
ASIDE = (-2.0, -1.0, 0.0, 1.0, 2.0)
DISTANCE, STANDING = 2.5, 1.6
"""m before the edge, and height of standing eyes; seated ones are at 1.2 m (common practice)."""


def eyes_facing(
    targets: Array,
    side: str,
    box: tuple[float, float, float, float],
    height: float = STANDING,
    distance: float = DISTANCE,
) -> Array:
    """Five eyes for each target, m, (m, 5, 3): straight before it and 1 and 2 m to either side, kept to the run of that side.

    side: front, back, left or right; box: left, front, right and back of the bed, m. Nobody judges a plant from far along
    the border, and the work no longer grows with its length.
    """
    left, front, right, back = box
    if side in ("front", "back"):
        x = np.clip(targets[:, :1] + np.array(ASIDE), left, right)
        y = np.full_like(x, front - distance if side == "front" else back + distance)
    else:
        y = np.clip(targets[:, 1:2] + np.array(ASIDE), front, back)
        x = np.full_like(y, left - distance if side == "left" else right + distance)
    return np.stack([x, y, np.full_like(x, height)], axis=2)


def elevation(left: float, right: float, crowns: Iterable[tuple[float, Crown]], cell: float = 0.1) -> list[float]:
    """Front elevation: the greatest height in m of any crown at the middle of each cell from left to right.

    crowns: (x of the stem, crown). Cells are `cell` m wide, a little less where they must fill the run, and wider where it is
    endless.
    """
    count = min(max(1, round((right - left) / cell)), MOST_CELLS)
    width = (right - left) / count
    heights = [0.0] * count
    for x, crown in crowns:
        radius = crown.greatest_radius
        first = max(0, ceil((x - radius - left) / width - 0.5))
        last = min(count - 1, int((x + radius - left) / width - 0.5) if x + radius > left + width / 2 else -1)
        for index in range(first, last + 1):
            heights[index] = max(heights[index], crown.height_at(abs(left + (index + 0.5) * width - x)))
    return heights


def occupied(heights: Sequence[float], least: float) -> float:
    """Share of a front elevation that is at least so many m high."""
    return sum(height >= least for height in heights) / len(heights)


def longest_gap(heights: Sequence[float], least: float) -> tuple[int, int]:
    """The longest run of cells lower than `least` m: (first, one past the last); (0, 0) where there is none."""
    best = (0, 0)
    start = None
    for index, height in enumerate([*heights, least]):
        if height < least:
            start = index if start is None else start
        elif start is not None:
            if index - start > best[1] - best[0]:
                best = (start, index)
            start = None
    return best
