"""Plane geometry against closed forms; quantities of section "Rules of thumb" follow n = area / (0.866 distance squared)."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedfellow.schema.geometry import (
    Point,
    along,
    area,
    cluster,
    crossing,
    distance_to,
    inside,
    meet,
    net_area,
    staggered_grid,
    strip,
)

SQUARE = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
ELL = ((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0))


def ngon(corners: int, radius: float) -> tuple[Point, ...]:
    return tuple(
        (radius * math.cos(2 * math.pi * k / corners), radius * math.sin(2 * math.pi * k / corners))
        for k in range(corners)
    )


def test_area() -> None:
    assert area(SQUARE) == area(SQUARE[::-1]) == 4
    assert area(ELL) == 6
    assert area(ngon(6, 1)) == pytest.approx(3 * math.sqrt(3) / 2)
    assert area(ngon(1000, 2)) == pytest.approx(4 * math.pi, rel=1e-4)
    assert area(((0, 0), (1, 1), (2, 2))) == 0


def test_inside() -> None:
    assert inside((1, 1), SQUARE) and not inside((3, 1), SQUARE)
    assert inside((0.5, 2.5), ELL) and not inside((2, 2), ELL)


@given(st.floats(-3, 3), st.floats(-3, 3))
def test_inside_a_many_sided_circle(x: float, y: float) -> None:
    distance = math.hypot(x, y)
    if abs(distance - 2) > 0.01:
        assert inside((x, y), ngon(200, 2)) == (distance < 2)


def test_distance() -> None:
    assert distance_to((1, 1), SQUARE) == 1
    assert distance_to((5, 6), SQUARE) == 5
    assert distance_to((0, 1), ((0, 0), (0, 0))) == 1


def test_crossing() -> None:
    assert crossing(SQUARE) is None and crossing(ELL) is None and crossing(ngon(60, 1)) is None
    assert crossing(((0, 0), (2, 2), (2, 0), (0, 2))) == (0, 2)


@settings(max_examples=80, deadline=None)
@given(st.sampled_from([SQUARE, ELL, ngon(7, 1.5)]), st.integers(1, 120), st.text(max_size=5))
def test_a_drift_holds_its_number_inside_its_outline(outline: tuple[Point, ...], number: int, key: str) -> None:
    points = staggered_grid(outline, number, key)
    assert len(points) == len(set(points)) == number
    assert all(inside(point, outline) or distance_to(point, outline) < 0.002 for point in points)
    assert staggered_grid(outline, number, key) == points


def test_distances_in_a_drift_follow_from_its_density() -> None:
    number = 60
    points = staggered_grid(SQUARE, number, "GeM")
    expected = math.sqrt(area(SQUARE) / (number * math.sqrt(3) / 2))
    least = min(math.dist(a, b) for a, b in combinations(points, 2))
    assert 0.8 * expected < least <= 1.05 * expected
    assert staggered_grid(SQUARE, number, "NaT") != points


def test_a_row_along_a_line() -> None:
    assert along([(0, 0), (4, 0)], 4) == ((0.5, 0), (1.5, 0), (2.5, 0), (3.5, 0))
    assert along([(0, 0), (1, 0), (1, 3)], 2) == ((1, 0), (1, 2))
    assert along([(0, 0), (2, 0)], 2, rows=2, apart=0.5) == ((0.5, -0.25), (1.5, 0.25))
    assert along([(1, 1), (1, 1)], 3) == ()


@given(st.integers(1, 60), st.integers(1, 3))
def test_a_row_holds_its_number_near_its_line(number: int, rows: int) -> None:
    line = ((0.0, 0.0), (5.0, 0.0), (5.0, 4.0), (9.0, 4.0))
    points = along(line, number, rows, 0.4)
    assert len(points) == number
    assert all(distance_to(point, line, closed=False) <= (rows - 1) * 0.2 + 1e-3 for point in points)


INNER = ((0.5, 0.5), (1.0, 0.5), (1.0, 1.0), (0.5, 1.0))


@pytest.mark.parametrize(
    ("outline", "holes", "expected"),
    [
        (SQUARE, [], 4.0),
        (SQUARE, [INNER], 3.75),
        (SQUARE, [INNER, INNER[::-1]], 3.75),  # the same ground twice
        (SQUARE, [((1.0, 0.0), (3.0, 0.0), (3.0, 2.0), (1.0, 2.0))], 2.0),  # runs beyond it
        (SQUARE, [((2.0, 0.0), (3.0, 0.0), (3.0, 2.0), (2.0, 2.0))], 4.0),  # side by side
        (SQUARE, [((0.0, 0.0), (2.0, 0.0), (0.0, 2.0))], 2.0),
        (ELL, [((0.5, 0.5), (4.0, 0.5), (4.0, 3.0), (0.5, 3.0))], 3.25),  # 6 less 3.5 x 0.5 less 0.5 x 2
        (SQUARE, [((-1.0, -1.0), (3.0, -1.0), (3.0, 3.0), (-1.0, 3.0))], 0.0),
    ],
)
def test_net_area(outline: tuple[Point, ...], holes: list[tuple[Point, ...]], expected: float) -> None:
    assert net_area(outline, holes) == pytest.approx(expected, abs=1e-12)


def test_shapely_is_loaded_only_where_a_hole_meets_the_outline() -> None:
    far = ((5.0, 5.0), (6.0, 5.0), (6.0, 6.0))
    code = (
        "import sys; from bedfellow.schema.geometry import net_area; square = ((0, 0), (2, 0), (2, 2), (0, 2))\n"
        f"assert net_area(square, [{far}]) == 4 and 'shapely' not in sys.modules\n"
        f"assert net_area(square, [{INNER}]) == 3.75 and 'shapely' in sys.modules"
    )
    subprocess.run(
        [sys.executable, "-c", code], env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}, check=True
    )
    assert not meet(SQUARE, far) and meet(SQUARE, INNER)


@settings(max_examples=80, deadline=None)
@given(
    st.sampled_from([SQUARE, ELL, ngon(7, 1.5)]), st.integers(1, 60), st.text(max_size=5),
    st.lists(st.tuples(st.floats(-1, 2), st.floats(-1, 2), st.floats(0.05, 1.5)), min_size=1, max_size=3),
)  # fmt: skip
def test_no_member_stands_in_a_hole(
    outline: tuple[Point, ...], number: int, key: str, squares: list[tuple[float, float, float]]
) -> None:
    holes = [((x, y), (x + side, y), (x + side, y + side), (x, y + side)) for x, y, side in squares]
    points = staggered_grid(outline, number, key, holes)
    if net_area(outline, holes) <= 1e-6:
        assert points == ()
        return
    assert len(points) == number
    for point in points:
        assert inside(point, outline) or distance_to(point, outline) < 0.002
        assert not any(inside(point, hole) and distance_to(point, hole) > 0.002 for hole in holes)


def test_holes_elsewhere_move_nothing() -> None:
    far = ((5.0, 5.0), (6.0, 5.0), (6.0, 6.0))
    assert staggered_grid(SQUARE, 20, "GeM", [far]) == staggered_grid(SQUARE, 20, "GeM")


def test_a_strip() -> None:
    assert area(strip([(0, 0), (3, 4)], 0.6)) == pytest.approx(3.0)
    assert area(strip([(1, 1)], 0.4)) == pytest.approx(0.16)
    assert strip([], 1) == strip([(0, 0), (1, 0)], 0) == ()


@given(st.integers(1, 40), st.floats(0.1, 2))
def test_a_group_keeps_its_distance(number: int, apart: float) -> None:
    points = cluster((1, 1), number, apart)
    assert len(points) == number
    assert all(math.dist(a, b) >= apart - 1e-9 for a, b in combinations(points, 2))
    assert number == 1 or min(math.dist(a, b) for a, b in combinations(points, 2)) == pytest.approx(apart)
