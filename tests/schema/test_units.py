"""Lengths, bearings and dates as people write them. Foot and inch: international yard and pound agreement, 1959."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.schema import units


@pytest.mark.parametrize(
    ("raw", "metres"),
    [(0.6, 0.6), (2, 2.0), ("60 cm", 0.6), ("60cm", 0.6), ("600 mm", 0.6), ("1.5 m", 1.5), ("2 ft", 0.6096), ("18 in", 0.4572),
     ("5 ft 6 in", 1.6764), ("12 km", 12000.0), (".5 m", 0.5), (-1, -1.0)],
)  # fmt: skip
def test_lengths(raw: Any, metres: float) -> None:
    assert units.length(raw) == pytest.approx(metres, abs=1e-9)


@pytest.mark.parametrize("raw", ["60", "60 yards", "6'", "60 cm wide", "", None, True, [1], {"m": 1}, "cm", "1,5 m", "٣ m", float("nan"), float("inf"), 1e9, "5 m 6 in"])  # fmt: skip
def test_what_is_no_length(raw: Any) -> None:
    with pytest.raises(ValueError, match="length"):
        units.length(raw)


def test_a_wrong_unit_names_those_accepted() -> None:
    with pytest.raises(ValueError, match="m, cm, mm, km, ft, in"):
        units.length("3 yards")


@given(st.floats(0, 1000).map(lambda value: round(value, 3)))
def test_the_same_length_in_every_unit(metres: float) -> None:
    assert units.length(f"{metres:.3f} m") == pytest.approx(metres, abs=1e-6)
    assert units.length(f"{metres * 100:.1f} cm") == pytest.approx(metres, abs=1e-3)
    assert units.length(f"{metres / 0.0254:.4f} in") == pytest.approx(metres, abs=1e-5)


@pytest.mark.parametrize(
    ("raw", "degrees"),
    [("N", 0), ("NNE", 22.5), ("E", 90), ("SW", 225), ("NNW", 337.5), (225, 225), (360, 0), ("90", 90)],
)
def test_bearings(raw: Any, degrees: float) -> None:
    assert units.bearing(raw) == degrees


@pytest.mark.parametrize("raw", ["sw", "SWX", 361, -1, None, True, float("nan"), "north"])
def test_what_is_no_bearing(raw: Any) -> None:
    with pytest.raises(ValueError, match="bearing"):
        units.bearing(raw)


def test_sixteen_points_are_evenly_spaced() -> None:
    assert [units.bearing(point) for point in units.COMPASS] == [22.5 * step for step in range(16)]


def test_months_and_dates() -> None:
    assert units.month("2026-10") == units.month("2026-10-22") == (2026, 10)
    assert units.whole_date("2028-02-29") == date(2028, 2, 29)
    assert units.last_day("2028-02") == date(2028, 2, 29)
    assert units.last_day("2026-12") == date(2026, 12, 31)
    assert units.last_day("2026-12-05") == date(2026, 12, 5)
    for bad in ("2026-13", "2026-00", "10-2026", "2026", 2026, None, "2026-02-30"):
        with pytest.raises(ValueError, match=r"month|date"):
            units.month(bad)


def test_slopes() -> None:
    assert units.gradient("1:8") == 0.125
    assert units.gradient("12 %") == pytest.approx(0.12)
    assert units.gradient(0.1) == 0.1
    for bad in ("1:0", "steep", -1, None):
        with pytest.raises(ValueError, match="slope"):
            units.gradient(bad)


@pytest.mark.parametrize(
    ("text", "litres", "metres"),
    [("2 L", 2.0, None), ("10 litres", 10.0, None), ("9 cm", None, (0.09, 0.09)), ("40-60 cm", None, (0.4, 0.6)),
     ("60 to 80 cm, 5 L pot", 5.0, (0.6, 0.8)), ("12-14 cm girth", None, (0.12, 0.14)), ("P9", None, None)],
)  # fmt: skip
def test_sizes_as_supplied(text: str, litres: float | None, metres: tuple[float, float] | None) -> None:
    assert units.supplied(text) == (text, litres, metres)


def test_reaction() -> None:
    assert units.reaction(6.8) == units.reaction([6.8, 6.8], "water") == (6.8, 6.8)
    assert units.reaction([7, 6]) == (6.0, 7.0) and units.reaction(6.0, "CaCl2") == (6.5, 7.0)
    for bad in ("acid", None, [], 20, True):
        with pytest.raises(ValueError, match="pH"):
            units.reaction(bad)


def test_what_is_shown_is_short_and_on_one_line() -> None:
    assert units.shown("x" * 100 + "\n") == "'" + "x" * 39 + "…'"
    assert units.shown("a\nb") == "'a b'"
    values: list[Any] = [None, True, 1.5, [1], {}]
    assert [units.shown(value) for value in values] == ["nothing", "true", "1.5", "a list", "a mapping"]
