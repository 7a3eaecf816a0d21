"""Where the members of a line stand: on its net ground, in the number that fits it, whatever else is planted."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from bedfellow.rules.border.planting import members
from bedfellow.schema.decode import plan_from
from bedfellow.schema.geometry import Point, inside
from bedfellow.schema.place import Fault
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import read_text
from bedfellow.schema.validity import faults

HEAD = "format: 1\nsite: {latitude: 51.6}\nborder: {outline: [[0, 0], [10, 0], [10, 8], [0, 8]]}\n"
DRIFT = "outline: [[1, 1], [5, 1], [5, 5], [1, 5]]"  # 16 m²
SHED = ((2.0, 2.0), (4.0, 2.0), (4.0, 4.0), (2.0, 4.0))
CORNERS = "outline: [[2, 2], [4, 2], [4, 4], [2, 4]]"  # 4 m² of them


def read(lines: str, more: str = "") -> tuple[Plan, list[Fault]]:
    document = read_text(f"{HEAD}{more}plants:\n{lines}", "x")
    assert faults(document) == ()
    plan, found = plan_from(document)
    assert plan is not None
    return plan, list(found)


def drift(words: str, more: str = "") -> tuple[Point, ...]:
    plan, found = read(f"- {{key: GeM, name: Geranium macrorrhizum, {DRIFT}, {words}}}\n", more)
    assert found == []
    return members(plan.lines[0])


# 16 m² or 12 at 0.5 m: 16 / (0.866 x 0.25) = 73.9, 12 / (0.866 x 0.25) = 55.4; square 64 and 48; 9 a square metre 144 and 108.
@pytest.mark.parametrize(
    ("words", "whole", "net"),
    [("centres: 50 cm", 74, 55), ("centres: 50 cm, grid: square", 64, 48), ("per_m2: 9", 144, 108), ("quantity: 20", 20, 20)],
)  # fmt: skip
@pytest.mark.parametrize(
    "hole",
    ["structures: [{kind: building, %s}]\n", "surfaces: [{kind: paving, %s}]\n", "surfaces: [{kind: water, %s}]\n"],
)
def test_members_stand_on_the_net_ground(words: str, whole: int, net: int, hole: str) -> None:
    assert len(drift(words)) == whole
    points = drift(words, hole % CORNERS)
    assert len(points) == len(set(points)) == net
    assert not any(inside(point, SHED) for point in points)
    assert min(math.dist(a, b) for a, b in combinations(points, 2)) > 0.2


@pytest.mark.parametrize(
    ("more", "taken"),
    [
        ("surfaces: [{kind: path, from: [3, 0], to: [3, 8], width: 1}]\n", 4.0),
        ("surfaces: [{kind: foothold, at: [3, 3], width: 50 cm}]\n", 0.25),
        ("surfaces: [{kind: foothold, at: [3, 3]}]\n", 0.0),
        ("surfaces: [{kind: path, from: [3, 0], to: [3, 8]}]\n", 0.0),
        (f"surfaces: [{{kind: gravel, {CORNERS}}}]\n", 0.0),
        (f"surfaces: [{{kind: lawn, {CORNERS}}}]\n", 0.0),
        ("structures: [{kind: wall, from: [3, 0], to: [3, 8]}]\n", 0.0),
        (f"structures: [{{kind: building, {CORNERS}}}]\nsurfaces: [{{kind: deck, {CORNERS}}}]\n", 4.0),
    ],
)
def test_what_takes_ground(more: str, taken: float) -> None:
    plan, _ = read(f"- {{key: GeM, name: Geranium macrorrhizum, {DRIFT}}}\n", more)
    assert plan.lines[0].ground == pytest.approx(16 - taken)


def test_another_line_moves_nothing() -> None:
    line = f"- {{key: GeM, name: Geranium macrorrhizum, {DRIFT}, centres: 50 cm}}\n"
    shed = f"structures: [{{kind: building, {CORNERS}}}]\n"
    alone, _ = read(line, shed)
    among, _ = read(f"- {{key: A, name: Ajuga reptans, {DRIFT}, quantity: 9}}\n{line}", shed)
    assert members(among.lines[1]) == members(alone.lines[0]) != members(among.lines[0])


def test_a_mix_stands_on_net_ground_too() -> None:
    mix = f"mixes: [{{key: M, {DRIFT}, per_m2: 5, mingled: [{{name: Ajuga reptans}}]}}]\n"
    plan, _ = read("- {name: Ajuga reptans, at: [9, 7]}\n", mix + f"structures: [{{kind: building, {CORNERS}}}]\n")
    assert len(plan.lines[1].at) == 60
    assert not any(inside(point, SHED) for point in plan.lines[1].at)


def test_a_drift_without_any_ground_is_told() -> None:
    plan, found = read(
        f"- {{key: GeM, name: Geranium macrorrhizum, {CORNERS}, quantity: 9}}\n",
        f"surfaces: [{{kind: paving, {DRIFT}}}]\n",
    )
    assert [(fault.code, fault.path) for fault in found] == [("PLAN-03", ("plants", 0, "outline"))]
    assert plan.lines == () and not plan.complete


# Vernon et al., Landscape Architect's Pocket Book, rules of thumb: area over distance squared, staggered 1.1547 times that;
# the last two rows by the square foot, and by a nursery's chart for 100 ft².
@pytest.mark.parametrize(
    ("centres", "area", "square", "staggered"),
    [("20 cm", 1, 25.00, 28.87), ("30 cm", 1, 11.11, 12.83), ("45 cm", 1, 4.94, 5.70), ("60 cm", 1, 2.78, 3.21),
     ("90 cm", 1, 1.23, 1.43), ("6 in", 0.3048**2, 4.000, 4.619), ("18 in", 0.3048**2, 0.444, 0.513),
     ("8 in", 9.290304, 225, 259.8), ("12 in", 9.290304, 100, 115.5), ("3 ft", 9.290304, 11.11, 12.83)],
)  # fmt: skip
def test_how_many_fit(centres: str, area: float, square: float, staggered: float) -> None:
    for grid, number in (("square", square), ("staggered", staggered)):
        plan, _ = read(f"- {{key: GeM, name: Geranium macrorrhizum, {DRIFT}, centres: {centres}, grid: {grid}}}\n")
        assert plan.lines[0].fitting == pytest.approx(number * 16 / area, rel=0.005)
