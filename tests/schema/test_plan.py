"""The typed plan: metres and degrees, paths that lead back to the file, and geometry that is told, not raised."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedfellow.schema.decode import plan_from
from bedfellow.schema.geometry import inside
from bedfellow.schema.mixes import shared_out, spread_evenly
from bedfellow.schema.place import Fault
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import Document, read_file, read_text
from bedfellow.schema.validity import faults

FULL = Path(__file__).with_name("full.plan.yaml")
SMALL = """format: 1
site: {latitude: 51.6, faces: SW}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
structures:
- {kind: building, outline: [[2, 2], [4, 2], [4, 3], [2, 3]], height: 3}
plants:
- {key: CoM, name: Cornus mas, at: [1.8, 1.9]}
- {key: GeM, name: Geranium macrorrhizum, at: [5, 1]}
"""


def read(text: str) -> tuple[Plan, tuple[Fault, ...]]:
    document = read_text(text, "x")
    found = faults(document)
    plan, more = plan_from(document, frozenset(fault.path for fault in found))
    assert plan is not None
    return plan, (*document.faults, *found, *more)


def test_the_full_plan_decodes_in_metres_and_degrees() -> None:
    plan, found = plan_from(read_file(FULL))
    assert plan is not None and found == () and plan.complete
    lines = {line.key: line for line in plan.lines}
    assert (plan.planted, plan.site.faces, plan.site.altitude, plan.site.ph) == ((2026, 10), 225.0, 85.0, (6.6, 7.0))
    assert [bed.name for bed in plan.borders] == ["Long bed", "Corner"]
    assert plan.structures[0].height == pytest.approx(6 * 0.3048)
    assert lines["HeH"].centres == pytest.approx(0.35)
    assert lines["VeB"].status == "allowed"
    assert [lines[key].stated_quantity for key in ("CoM", "GeM", "PeA", "SeA", "HeH")] == [1, 12, 2, 5, None]
    assert plan.retained[0].stems == pytest.approx((0.18, 0.14)) and plan.retained[0].crown == (3, 3.5, 4, 3)
    assert plan.brief is not None and plan.brief.must_have == (2, 5, 10) and plan.brief.children == (3, 7)
    assert plan.mulch is not None and plan.mulch.depth == 0.05
    for line in plan.lines:
        assert plan.document.span(line.path) != plan.document.span(())


def test_a_mix_becomes_lines_that_share_one_grid() -> None:
    plan, _ = plan_from(read_file(FULL))
    assert plan is not None
    mixed = [line for line in plan.lines if line.mix == "M1"]
    assert {line.name: line.quantity for line in mixed} == {
        "Sesleria autumnalis": 10, "Salvia nemorosa 'Caradonna'": 7, "Geranium 'Rozanne'": 3, "Verbena bonariensis": 2,
    }  # fmt: skip
    places = [point for line in mixed for point in line.at]
    assert len(places) == len(set(places)) == 22
    assert all(inside(point, [(11, 0.6), (12.8, 0.6), (12.8, 2.4)]) for point in places)
    assert mixed[0].path == ("mixes", 0, "matrix", 0)


@given(st.integers(1, 500), st.lists(st.none() | st.floats(0.01, 1) | st.integers(1, 20), min_size=1, max_size=6))
def test_shares_add_up(total: int, wanted: list[Any]) -> None:
    counts = shared_out(total, wanted)
    fixed = sum(want for want in wanted if isinstance(want, int))
    assert all(count >= 0 for count in counts)
    if any(isinstance(want, float) for want in wanted) and fixed < total:
        assert sum(counts) == total
    assert sorted(spread_evenly(counts)) == [n for n, count in enumerate(counts) for _ in range(count)]


def test_shares_by_hand() -> None:
    assert shared_out(20, [0.6, None]) == [12, 8]
    assert shared_out(10, [1 / 3, 1 / 3, 1 / 3]) == [4, 3, 3]
    assert shared_out(10, [4, None, 0.5]) == [4, 3, 3]


@pytest.mark.parametrize(
    ("words", "number"),
    [("per_m: 4, rows: 2", 24), ("centres: 50 cm", 12), ("centres: 50 cm, rows: 2", 24), ("quantity: 7", 7), ("rows: 1", 18)],
)  # fmt: skip
def test_a_hedge_stands_along_its_line(words: str, number: int) -> None:
    plan, found = read(SMALL.replace("at: [1.8, 1.9]", f"hedge: [[0, 5], [6, 5]], {words}"))
    assert found == ()
    assert len(plan.lines[0].at) == plan.lines[0].stated_quantity == number
    assert all(0 < x < 6 and abs(y - 5) <= 0.201 for x, y in plan.lines[0].at)


def test_lines_without_a_key_get_name_and_ordinal() -> None:
    plan, _ = read(SMALL.replace("key: CoM, ", ""))
    assert plan.lines[0].key == "Cornus mas 1"


@pytest.mark.parametrize(
    ("old", "new", "words", "left"),
    [
        ("at: [1.8, 1.9]", "at: [7.2, 1]", "outside the bed", ["GeM"]),
        ("at: [1.8, 1.9]", "at: [3, 2.5]", "inside a building", ["GeM"]),
        ("at: [1.8, 1.9]", "at: [180, 190]", "metres?", ["GeM"]),
        ("at: [1.8, 1.9]", "at: [.nan, 1]", "", ["GeM"]),
        ("at: [1.8, 1.9]", "at: [1, .inf]", "", ["GeM"]),
        ("at: [1.8, 1.9]", "clear_stem: -60 cm", "below 0", ["CoM", "GeM"]),
    ],
)  # fmt: skip
def test_geometry(old: str, new: str, words: str, left: list[str]) -> None:
    plan, found = read(SMALL.replace(old, new))
    assert {fault.code for fault in found} == {"PLAN-03"}
    assert any(words in fault.message for fault in found)
    assert all(fault.span is not None and fault.span.start_line == 7 for fault in found)
    assert [line.key for line in plan.lines] == left
    assert not plan.complete


@pytest.mark.parametrize("at", ["[7.04, 1]", "[0, 0]", "[3.5, 3.62]"])
def test_the_edge_of_the_bed_is_inside_it(at: str) -> None:
    assert read(SMALL.replace("at: [1.8, 1.9]", f"at: {at}"))[1] == ()


@pytest.mark.parametrize(
    ("outline", "words"),
    [("[[0, 0], [2, 2], [2, 0], [0, 2]]", "crosses itself"), ("[[0, 0], [1, 1], [2, 2]]", "no area"), ("[[0, 0], [1, .inf], [2, 2]]", "")],
)  # fmt: skip
def test_outlines(outline: str, words: str) -> None:
    _, found = read(SMALL.replace("[[0, 0], [7, 0], [7, 3.6], [0, 3.6]]", outline))
    assert any(words in fault.message and fault.code == "PLAN-03" for fault in found)


def test_nobody_stands_outside_a_bed_that_could_not_be_read() -> None:
    beds = "borders: [{outline: [[0, 0], [3, 0], [3, 3.6], [0, 3.6]]}, {outline: [[3, 0], [7, 0], [7, 3.6], [3, 3.6]], style: %s}]"
    text = SMALL.replace("border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}", beds)
    assert read(text % "mixed")[1] == ()
    plan, found = read(text % "wild")
    assert [fault.path for fault in found] == [("borders", 1, "style")]
    assert [line.key for line in plan.lines] == ["CoM", "GeM"] and len(plan.borders) == 1


@pytest.mark.parametrize(
    ("outline", "depth"),
    [("[[0, 0], [7, 0], [7, 3.6], [0, 3.6]]", 3.6), ("[[0, 0], [2, 0], [2, 8], [0, 8]]", 2.0), ("[[0, 0], [7, 0], [7, 3.6]]", 1.8)],
)  # fmt: skip
def test_depth_of_a_bed(outline: str, depth: float) -> None:
    plan, _ = read(SMALL.replace("[[0, 0], [7, 0], [7, 3.6], [0, 3.6]]", outline))
    assert plan.borders[0].depth == pytest.approx(depth)


def test_a_closed_ring_is_an_outline_too() -> None:
    plan, found = read(SMALL.replace("[0, 3.6]]", "[0, 3.6], [0, 0]]"))
    assert found == () and len(plan.borders[0].outline) == 4


TEXT = FULL.read_text("utf-8")
SLIPS = st.sampled_from(
    ["", "x", "1", "-", "[", "]", "{", "}", ": ", ", ", "\n", "'", ".nan", "null", "[]", "{}", "99999999"]
)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(TEXT)), st.integers(0, 12), SLIPS), min_size=1, max_size=3))
def test_no_slip_of_the_pen_breaks_the_reading(slips: list[tuple[int, int, str]]) -> None:
    text = TEXT
    for at, length, slip in slips:
        text = text[:at] + slip + text[at + length :]
    document: Document = read_text(text, "x")
    found = faults(document)
    plan, more = plan_from(document, frozenset(fault.path for fault in found))
    for fault in (*document.faults, *found, *more):
        assert fault.code in ("PLAN-01", "PLAN-02", "PLAN-03") and fault.message
    if plan is not None:
        numbers: list[Any] = [value for line in plan.lines for point in line.at + line.outline for value in point]
        assert all(math.isfinite(value) for value in numbers)
