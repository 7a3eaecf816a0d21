"""Ways through crowns against a general-purpose ray caster on meshes of the same crowns.

A convex crown lies between the mesh with its corners on it and that mesh blown up about it, so every way through it is at
least as long as through the one and at most as long as through the other, grazing rays too: no tolerance but for the caster's
single precision. The two lie ever closer as the meshes are refined.
"""

import numpy as np
import pytest
from meshes import Caster, mesh

from bedfellow.rules.border.crown import PROFILES, Crown, crown_of
from bedfellow.rules.border.rays import Array, chord, solids, transmitted

SINGLE = 2e-5
"""m"""
FAR = 12.0
"""m"""
SHAPES = ((2.3, 1.5, 0.3), (0.4, 2.0, 0.0), (6.0, 0.8, 2.0))
"""Height, spread and base in m: round, flat and slender."""


def ways_through(crown: Crown, count: int, seed: int) -> tuple[Array, Array]:
    """Rays about a crown: across it from every side, level and upright ones, grazing ones, and some from inside."""
    rng = np.random.default_rng(seed)
    z = rng.uniform(crown.base, crown.top, count)
    radius = np.array([crown.radius(height) for height in z])
    turn, part = rng.uniform(0, 2 * np.pi, count), rng.uniform(0, 1.1, count)
    directions = rng.normal(size=(count, 3))
    directions[::9, 2] = 0
    directions[1::9] = [0, 0, 1]
    back = np.full(count, FAR / 2)
    grazing = np.arange(count) % 3 == 0
    part[grazing] = rng.uniform(0.98, 1.01, grazing.sum())
    directions[grazing, :2] = np.column_stack([-np.sin(turn), np.cos(turn)])[grazing]
    back[::4] = 0
    part[::4] *= 0.9
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    through = np.column_stack([part * radius * np.cos(turn), part * radius * np.sin(turn), z])
    return through - directions * back[:, None], directions


def lengths(crown: Crown, origins: Array, directions: Array) -> Array:
    fields = (np.full(len(origins), value) for value in (crown.base, crown.top, crown.c0, crown.c1, crown.c2))
    return chord(*origins.T, *directions.T, *fields, np.inf)


def between(crown: Crown, origins: Array, directions: Array, around: int, up: int) -> tuple[Array, Array]:
    low, high = (Caster(*mesh(crown, around, up, grown)).chords(origins, directions, FAR) for grown in (0, 1))
    return low, high


@pytest.mark.parametrize(
    "crown", [crown_of(habit, *SHAPES[n % 3]) for n, habit in enumerate(sorted(PROFILES))], ids=sorted(PROFILES)
)
def test_ways_through_a_crown_lie_between_those_through_two_meshes(crown: Crown) -> None:
    origins, directions = ways_through(crown, 400, 5)
    found = lengths(crown, origins, directions)
    assert 0.3 < (found > 0.01).mean() < 1
    gaps = []
    for around in (32, 64):
        low, high = between(crown, origins, directions, around, around // 2)
        assert (low - SINGLE <= found).all() and (found <= high + SINGLE).all()
        gaps.append((high - low).sum() / found.sum())
    # Twice as fine, the meshes lie four times as close.
    assert gaps[1] < 0.02 and gaps[1] < 0.4 * gaps[0]


def test_what_passes_a_bed_lies_between_what_passes_two_beds_of_meshes() -> None:
    rng = np.random.default_rng(8)
    habits = sorted(PROFILES)
    crowns = [crown_of(habits[n], 0.3 + rng.uniform(0.3, 2), rng.uniform(0.5, 1.5), 0.3) for n in range(13)]
    stems = rng.uniform((0, 0), (3.5, 2.5), (13, 2))
    tau = rng.uniform(0.05, 0.9, 13)
    bed = solids(
        [
            (x, y, c.base, c.top, c.c0, c.c1, c.c2, c.mean_chord(), n)
            for n, ((x, y), c) in enumerate(zip(stems, crowns, strict=True))
        ]
    )
    origins = np.column_stack([rng.uniform(0, 3.5, 30), rng.uniform(0, 2.5, 30), rng.uniform(0, 1.5, 30)])
    directions = rng.normal(size=(30, 3))
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    owners = np.arange(30) % 13
    found = transmitted(origins, owners, directions, np.inf, bed, tau)
    starts, ways = np.repeat(origins, 30, axis=0), np.tile(directions, (30, 1))
    sums = [np.zeros(900), np.zeros(900)]
    for number, crown in enumerate(crowns):
        others = np.repeat(owners, 30) != number
        for total, through in zip(sums, between(crown, starts - [*stems[number], 0], ways, 64, 32), strict=True):
            total += np.where(others, through, 0.0) * np.log(tau[number]) / crown.mean_chord()
    most, least = (np.exp(total).reshape(30, 30) for total in sums)
    assert (least - 1e-4 <= found).all() and (found <= most + 1e-4).all()
    assert (most - least).max() < 0.15 and (most - least).mean() < 0.004 and (found < 0.5).mean() > 0.2
