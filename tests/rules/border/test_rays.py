"""Rays through crowns against closed forms and against many points along the ray."""

from collections.abc import Sequence
from math import sqrt

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bedfellow.rules.border.crown import PROFILES, Crown, crown_of
from bedfellow.rules.border.rays import Array, Solids, Whole, chord, screens, solids, tiles, transmitted

INFINITE = float("inf")
Row = tuple[float, float, float, float, float, float, float, float, int]


def row(x: float, y: float, crown: Crown, owner: int) -> Row:
    return (x, y, crown.base, crown.top, crown.c0, crown.c1, crown.c2, crown.mean_chord(), owner)


def inside(crown: Crown, start: Sequence[float], way: Sequence[float], length: float = INFINITE) -> float:
    """Chord of one ray in one crown whose stem is at the origin."""
    d = np.asarray(way, dtype=float) / np.linalg.norm(way)
    p, d = np.asarray(start, dtype=float)[:, None], d[:, None]
    base, top, c0, c1, c2 = np.array([crown.base, crown.top, crown.c0, crown.c1, crown.c2])[:, None]
    return float(chord(p[0], p[1], p[2], d[0], d[1], d[2], base, top, c0, c1, c2, length)[0])


def test_chords_of_a_sphere() -> None:
    ball = crown_of("rounded", 3, 2, 1)
    for offset in (0, 0.3, 0.9):
        assert inside(ball, (offset, -5, 2), (0, 1, 0)) == pytest.approx(2 * sqrt(1 - offset**2))
    assert inside(ball, (1.01, -5, 2), (0, 1, 0)) == 0
    assert inside(ball, (0, 0, 2), (1, 1, 1)) == pytest.approx(1)
    assert inside(ball, (0, 0, 2), (1, 1, 1), length=0.4) == pytest.approx(0.4)
    assert inside(ball, (0, 5, 2), (0, 1, 0)) == 0


def test_chords_of_a_cylinder() -> None:
    drum = crown_of("columnar", 3, 2, 1)
    assert inside(drum, (0.2, 0.1, 0), (0, 0, 1)) == pytest.approx(2)
    assert inside(drum, (0, -5, 2.5), (0, 1, 0)) == pytest.approx(2)
    assert inside(drum, (0, -5, 3.5), (0, 1, 0)) == 0
    # In through the side at z 1.5, out through the top.
    assert inside(drum, (0, -2.5, 0), (0, 1, 1)) == pytest.approx(1.5 * sqrt(2))


def test_chords_of_a_cone() -> None:
    spire = crown_of("conical", 2, 2)
    assert inside(spire, (0, 0, 0), (0, 0, 1)) == pytest.approx(2)
    assert inside(spire, (0.5, 0, 0), (0, 0, 1)) == pytest.approx(1)
    assert inside(spire, (0, -5, 1), (0, 1, 0)) == pytest.approx(1)
    # Parallel to the side: in at the foot, out through the far side.
    assert inside(spire, (0, 0, 0), (-0.5, 0, 1)) == pytest.approx(sqrt(0.5**2 + 1))
    # The mirrored cone above the tip is not a crown.
    assert inside(spire, (0, 0, 2.5), (0, 0, 1)) == 0
    assert inside(spire, (-1, 0, 3), (1, 0, 0)) == 0


@settings(max_examples=200)
@given(
    st.sampled_from(sorted(PROFILES)), st.floats(0.2, 4), st.floats(0.2, 4), st.sampled_from([0.0, 0.1, 0.7]),
    st.tuples(st.floats(-3, 3), st.floats(-3, 3), st.floats(0, 4)),
    st.tuples(st.floats(-1, 1), st.floats(-1, 1), st.floats(-1, 1)), st.sampled_from([INFINITE, 1.5]),
)  # fmt: skip
def test_chord_against_points_along_the_ray(
    habit: str, deep: float, spread: float, base: float, start: tuple[float, ...], way: tuple[float, ...], length: float
) -> None:
    assume(np.linalg.norm(way) > 0.1)
    assume(way[2] == 0 or abs(way[2]) > 1e-6)
    crown = crown_of(habit, base + deep, spread, base)
    longest = min(length, 15.0)
    t = (np.arange(30_000) + 0.5) / 30_000 * longest
    d = np.asarray(way) / np.linalg.norm(way)
    x, y, z = (start[i] + d[i] * t for i in range(3))
    within = (z >= base) & (z < crown.top) & (x * x + y * y < crown.c0 + z * (crown.c1 + z * crown.c2))
    assert inside(crown, start, way, length) == pytest.approx(float(within.mean()) * longest, abs=0.003)


def random_bed(count: int, seed: int, wide: float = 7) -> Solids:
    rng = np.random.default_rng(seed)
    habits = sorted(PROFILES)
    rows = []
    for i in range(count):
        base = float(rng.choice([0.0, 0.3]))
        crown = crown_of(habits[i % len(habits)], base + rng.uniform(0.2, 3), rng.uniform(0.3, 2), base)
        rows.append(row(rng.uniform(0, wide), rng.uniform(0, 4), crown, i // 2))
    return solids(rows)


def by_hand(origins: Array, owners: Whole, directions: Array, length: float, bed: Solids, tau: Array) -> Array:
    """Every ray with every crown, nothing left out beforehand."""
    m, k = len(origins), len(directions)
    result = np.ones((m, k))
    for j in range(len(bed)):
        o = origins[:, None, :] - np.array([bed.x[j], bed.y[j], 0.0])
        d = np.broadcast_to(directions, (m, k, 3))
        start = np.broadcast_to(o, (m, k, 3))
        through = chord(
            start[..., 0], start[..., 1], start[..., 2], d[..., 0], d[..., 1], d[..., 2],
            bed.base[j, None], bed.top[j, None], bed.c0[j, None], bed.c1[j, None], bed.c2[j, None], length,
        )  # fmt: skip
        result *= np.where((owners != bed.owner[j])[:, None], tau[j] ** (through / bed.mean_chord[j]), 1.0)
    return result


@pytest.mark.parametrize("rising", [True, False])
@pytest.mark.parametrize("length", [INFINITE, 1.7])
@pytest.mark.parametrize("shared", [True, False])
def test_no_meeting_is_lost_by_looking_only_where_rays_could_meet(rising: bool, length: float, shared: bool) -> None:
    bed = random_bed(50, 3)
    rng = np.random.default_rng(4)
    origins = np.column_stack([rng.uniform(-1, 8, 60), rng.uniform(-1, 5, 60), rng.uniform(0, 2.5, 60)])
    owners = rng.integers(-1, 25, 60)
    directions = rng.normal(size=(40, 3))
    directions[:3] = [[0, 0, 1], [1, 0, 0], [-1, 0, 0]]
    if rising:
        directions[:, 2] = np.abs(directions[:, 2])
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    tau = rng.uniform(0.01, 1, (50, 40))
    given_ = directions if shared else np.repeat(directions[None], 60, axis=0)
    found = transmitted(origins, owners, given_, length, bed, tau)
    assert found == pytest.approx(by_hand(origins, owners, directions, length, bed, tau), abs=1e-9)
    assert (found < 0.9).mean() > 0.1


@pytest.mark.parametrize("to_eyes", [True, False])
def test_nothing_is_lost_by_looking_tile_by_tile(to_eyes: bool) -> None:
    bed, rng = random_bed(150, 5, wide=90), np.random.default_rng(6)
    origins = np.column_stack([rng.uniform(-5, 95, 80), rng.uniform(-1, 5, 80), rng.uniform(0, 2.5, 80)])
    owners, tau = rng.integers(-1, 75, 80), rng.uniform(0.01, 1, (150, 30))
    directions = rng.normal(size=(30, 3))
    directions[:, 2] = 0 if to_eyes else np.abs(directions[:, 2]) + 0.1
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    ways, length = (np.repeat(directions[None], 80, axis=0), 6.0) if to_eyes else (directions, INFINITE)
    found, times = np.full((80, 30), np.nan), np.zeros(80)
    for part in tiles(origins, 5):
        assert len(part) <= 5 and np.ptp(origins[part], axis=0).max() <= 8
        found[part] = transmitted(origins[part], owners[part], ways[part] if to_eyes else ways, length, bed, tau)
        times[part] += 1
    assert (times == 1).all()
    assert found == pytest.approx(by_hand(origins, owners, directions, length, bed, tau), abs=1e-9)
    assert (found < 0.9).mean() > 0.05


def test_the_mean_ray_passes_what_the_whole_crown_is_said_to() -> None:
    ball = crown_of("rounded", 2, 2)
    offset = sqrt(1 - (2 / 3) ** 2)
    bed = solids([row(0, 0, ball, 1)])
    origin = np.array([[offset, -5.0, 1.0]])
    found = transmitted(origin, np.array([-1]), np.array([[0.0, 1.0, 0.0]]), INFINITE, bed, np.array([0.54]))
    assert found[0, 0] == pytest.approx(0.54)
    # Wilkinson 1992 in Tregenza & Sharples, Daylighting Algorithms: bare birch .54, in leaf .24; 6 h behind each.
    assert 6 * found[0, 0] == pytest.approx(3.24, abs=0.01)
    found = transmitted(origin, np.array([-1]), np.array([[0.0, 1.0, 0.0]]), INFINITE, bed, np.array([0.24]))
    assert 6 * found[0, 0] == pytest.approx(1.44, abs=0.01)


def test_own_planting_and_opaque_crowns() -> None:
    bed = solids([row(0, 0, crown_of("columnar", 2, 1), 7)])
    origins, d = np.array([[0.0, -3.0, 1.0]] * 2), np.array([[0.0, 1.0, 0.0]])
    assert transmitted(origins, np.array([7, 3]), d, INFINITE, bed, np.array([0.0])).tolist() == [[1.0], [0.0]]


def test_screens_stop_rays_within_their_panel() -> None:
    fence = screens([(0, 2, 4, 2, 0.5, 1.8, 0.25)])
    none = solids([])
    d = np.array([[0.0, 1.0, 0.0], [0.0, -1.0, 0.0], [0.0, sqrt(0.5), sqrt(0.5)]])
    origins = np.array([[1.0, 0.0, 1.0], [5.0, 0.0, 1.0], [1.0, 0.0, 0.2], [1.0, 3.0, 1.0]])
    found = transmitted(origins, np.full(4, -1), d, INFINITE, none, np.ones(0), fence)
    assert found.tolist() == [[0.25, 1, 1], [1, 1, 1], [1, 1, 1], [1, 0.25, 1]]
    short = transmitted(origins[:1], np.full(1, -1), d[:1], 1.9, none, np.ones(0), fence)
    assert short.tolist() == [[1.0]]


def test_nothing_to_do() -> None:
    none = solids([])
    assert transmitted(np.empty((0, 3)), np.empty(0, int), np.empty((5, 3)), INFINITE, none, np.ones(0)).shape == (0, 5)
    assert transmitted(np.zeros((2, 3)), np.full(2, -1), np.empty((0, 3)), INFINITE, none, np.ones(0)).shape == (2, 0)
