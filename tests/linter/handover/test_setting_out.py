"""Two tapes lead back to every place."""

from __future__ import annotations

from collections.abc import Callable
from math import dist

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bedfellow.linter.report.handover.pack import Pack
from bedfellow.linter.report.handover.setting_out import FLAT, SHARP, meeting, side_of

Packed = Callable[[str], Pack]
coordinate = st.floats(-50, 50, allow_nan=False).map(lambda value: round(value, 3))
point = st.tuples(coordinate, coordinate)


@given(point, point, point)
def test_from_two_distances_and_the_side_the_place_comes_back(
    a: tuple[float, float], b: tuple[float, float], place: tuple[float, float]
) -> None:
    assume(dist(a, b) >= 0.5)
    found = meeting(a, b, dist(a, place), dist(b, place), side_of(a, b, place))
    # On the line itself the circles only touch, and half a centimetre counts as on it.
    assert dist(found, place) <= 0.0051


@given(point, point, point)
def test_the_other_side_is_the_mirrored_place(
    a: tuple[float, float], b: tuple[float, float], place: tuple[float, float]
) -> None:
    assume(dist(a, b) >= 0.5)
    side = side_of(a, b, place)
    assume(side != "on the line")
    mirrored = meeting(a, b, dist(a, place), dist(b, place), "left" if side == "right" else "right")
    assert side_of(a, b, mirrored) != side
    assert dist(a, mirrored) == pytest.approx(dist(a, place), abs=1e-6)
    assert dist(b, mirrored) == pytest.approx(dist(b, place), abs=1e-6)


def test_every_position_and_outline_of_the_plan_is_there(full: Pack) -> None:
    places = {(round(p.x, 3), round(p.y, 3)) for p in full.setting_out.places}
    plan = full.border.plan
    wanted = [point for line in plan.lines if not line.mix for point in ((line.hedge or line.at) or line.outline)]
    wanted += [point for mix in plan.mixes for point in mix.outline]
    wanted += [point for bed in plan.borders for point in bed.outline]
    assert {(round(x, 3), round(y, 3)) for x, y in wanted} == places


def test_distances_are_those_of_the_fixed_points(full: Pack) -> None:
    fixed = full.setting_out.fixed
    assert fixed is not None
    assert [f.words for f in fixed] == ["the left end of the fence F1", "the right end of the fence F1"]
    com = next(p for p in full.setting_out.places if p.key == "CoM")
    # From (0, 3.6) and (9, 3.6) to (1.8, 1.9): √(1.8² + 1.7²) and √(7.2² + 1.7²).
    assert (round(com.a, 3), round(com.b, 3), com.side, com.sound) == (2.476, 7.398, "right", True)


def test_places_where_tapes_cross_badly_are_marked(full: Pack) -> None:
    fixed = full.setting_out.fixed
    assert fixed is not None
    from math import acos, degrees

    base = full.setting_out.base
    for place in full.setting_out.places:
        if min(place.a, place.b) > 0:
            angle = degrees(
                acos(max(-1, min(1, (place.a**2 + place.b**2 - base**2) / (2 * place.a * place.b))))
            )  # the cosine rule
            assert place.sound == (SHARP <= angle <= FLAT)
    assert not all(place.sound for place in full.setting_out.places)


def test_without_anything_lasting_two_corners_of_the_bed_serve(packed: Packed) -> None:
    pack = packed(
        "border: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\nplants:\n- {key: A, name: Cornus mas, at: [2, 2]}\n"
    )
    assert pack.setting_out.fixed is not None
    assert all("of the bed" in fixed.words for fixed in pack.setting_out.fixed)


def test_a_building_serves_by_its_corners(packed: Packed) -> None:
    pack = packed(
        "border: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\n"
        "structures: [{key: H, kind: building, outline: [[0, 4], [6, 4], [6, 9], [0, 9]], height: 5}]\n"
        "plants:\n- {key: A, name: Cornus mas, at: [2, 2]}\n"
    )
    assert pack.setting_out.fixed is not None
    assert {fixed.at for fixed in pack.setting_out.fixed} == {(0.0, 4.0), (6.0, 4.0)}
    assert all("corner" in fixed.words and "building H" in fixed.words for fixed in pack.setting_out.fixed)


def test_a_plan_with_nothing_to_measure_from_has_no_fixed_points(packed: Packed) -> None:
    pack = packed("plants:\n- {key: A, name: Cornus mas, at: [2, 2]}\n")
    assert pack.setting_out.fixed is None
    assert pack.setting_out.places == ()


def test_no_tape_goes_through_a_house(packed: Packed) -> None:
    """Of a house beside the border the face that it turns to it is measured from, though the one behind is longer."""
    pack = packed(
        "site: {ph: 7}\nborder: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\n"
        "structures: [{key: H, kind: building, outline: [[0, 4], [6, 4], [12, 9], [-6, 9]], height: 5}]\n"
        "plants:\n- {key: A, name: Cornus mas, at: [2, 1]}\n"
    )
    assert pack.setting_out.fixed is not None
    assert {fixed.at for fixed in pack.setting_out.fixed} == {(0.0, 4.0), (6.0, 4.0)}
