"""Covered ground against areas of classical geometry and an independent library."""

from math import pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.rules.border.cover import covered, ground_of, layers, share

BED = [(0.0, 0.0), (7.0, 0.0), (7.0, 3.6), (0.0, 3.6)]


def test_the_ground_of_a_bed() -> None:
    assert ground_of(BED).area == pytest.approx(25.2)
    assert ground_of(BED[::-1], [[(1, 1), (2, 1), (2, 2), (1, 2)]]).area == pytest.approx(24.2)
    bean = [(0, 0), (4, 0), (4, 3), (2, 1), (0, 3)]
    assert ground_of(bean, size=0.02).area == pytest.approx(8, rel=0.01)


def test_circles_on_grids() -> None:
    # Classical: circles of diameter s cover π/4 on a square grid, π / 2√3 on a staggered one.
    s = 0.6
    ground = ground_of([(0, 0), (12 * s, 0), (12 * s, 12 * s), (0, 12 * s)], size=0.017)
    square = [(x * s, y * s, s / 2) for x in range(13) for y in range(13)]
    assert share(ground, covered(ground, square)) == pytest.approx(pi / 4, abs=0.01)
    rows = 14
    ground = ground_of([(0, 0), (12 * s, 0), (12 * s, 12 * s * sqrt(3) / 2), (0, 12 * s * sqrt(3) / 2)], size=0.017)
    staggered = [((x + (y % 2) / 2) * s, y * s * sqrt(3) / 2, s / 2) for x in range(-1, 14) for y in range(rows)]
    assert share(ground, covered(ground, staggered)) == pytest.approx(pi / 2 / sqrt(3), abs=0.01)
    # No gap is left at a diameter of 1.1547 s.
    wide = [(x, y, 1.1548 * s / 2) for x, y, _ in staggered]
    assert covered(ground, wide).all()


circles = st.lists(st.tuples(st.floats(-1, 8), st.floats(-1, 5), st.floats(0.05, 1.2)), max_size=12)


@given(circles)
def test_cover_against_shapely(ring: list[tuple[float, float, float]]) -> None:
    shapely = pytest.importorskip("shapely")
    ground = ground_of(BED, size=0.05)
    union = shapely.union_all([shapely.Point(x, y).buffer(r, quad_segs=32) for x, y, r in ring])
    exact = union.intersection(shapely.Polygon(BED)).area
    assert covered(ground, ring).sum() * ground.size**2 == pytest.approx(exact, abs=0.02 + 0.02 * exact)


@given(circles)
def test_more_plants_never_cover_less(ring: list[tuple[float, float, float]]) -> None:
    ground = ground_of(BED)
    first = covered(ground, ring[:-1])
    both = covered(ground, ring)
    assert not (first & ~both).any()


def test_layers_and_any() -> None:
    found = layers(ground_of(BED), {"ground": [(1, 1, 0.5)], "middle": [(1, 1, 0.5), (4, 2, 0.5)], "top": []})
    assert found["middle"] == pytest.approx(2 * found["ground"], rel=0.03)
    assert found["any"] == found["middle"]
    assert found["top"] == 0


def test_middles_of_bare_cells() -> None:
    ground = ground_of(BED, size=0.2)
    bare = ground.cells & ~covered(ground, [(3.5, 1.8, 10)])
    assert len(ground.middles(bare)) == 0
    corner = ground.middles(ground.cells)[0]
    assert corner == pytest.approx(np.array([0.1, 0.1]))


def test_an_endless_bed_gets_larger_cells() -> None:
    ground = ground_of([(0, 0), (1e5, 0), (1e5, 1e5), (0, 1e5)])
    assert ground.cells.size <= 1_010_000
    assert ground.area == pytest.approx(1e10)
    assert ground_of([(0, 0), (1e7, 0), (1e7, 0.01), (0, 0.01)]).cells.size <= 1_010_000


def test_two_points_are_no_bed() -> None:
    with pytest.raises(ValueError, match="three points"):
        ground_of([(0, 0), (1, 1)])
