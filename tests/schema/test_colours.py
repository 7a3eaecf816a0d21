"""Colours against published pairs and values."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.schema.colours import Lab, difference, lab, names


# Sharma, Wu & Dalal 2005, The CIEDE2000 colour-difference formula, table 1.
@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
        ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
        ((50, 0, 0), (50, -1, 2), 2.3669),
        ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
        ((50, 2.49, -0.001), (50, -2.49, 0.0011), 7.2195),
        ((50, 2.5, 0), (73, 25, -18), 27.1492),
        ((50, 2.5, 0), (58, 24, 15), 19.4535),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_published_pairs(first, second, expected):  # type: ignore[no-untyped-def]
    assert difference(Lab(*first), Lab(*second)) == pytest.approx(expected, abs=1e-4)
    assert difference(Lab(*second), Lab(*first)) == pytest.approx(expected, abs=1e-4)


# sRGB (IEC 61966-2-1) under D65.
@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        ("#ff0000", (53.23, 80.11, 67.22)),
        ("#00ff00", (87.74, -86.18, 83.19)),
        ("#0000ff", (32.30, 79.20, -107.85)),
        ("#ffff00", (97.14, -21.55, 94.49)),
    ],
)
def test_primaries(colour, expected):  # type: ignore[no-untyped-def]
    assert lab(colour) == pytest.approx(expected, abs=0.05)


def test_the_names_of_the_third_level() -> None:
    assert len(names()) == 267
    assert all(0 <= lab(name).lightness <= 100 for name in names())
    # "Dark" is darker than "light", and a vivid colour is further from grey, whatever the hue.
    for hue in ("pink", "yellow", "blue", "purple", "violet", "red"):
        vivid, dark = lab(f"vivid {hue}"), lab(f"dark {hue}")
        assert difference(vivid, lab("medium gray")) > 15
        assert dark.lightness < lab("white").lightness
    assert difference(lab("vivid yellow"), lab("brilliant yellow")) < difference(
        lab("vivid yellow"), lab("strong violet")
    )


@given(st.sampled_from(sorted(names())), st.sampled_from(sorted(names())))
def test_a_difference_has_no_direction(first: str, second: str) -> None:
    there = difference(lab(first), lab(second))
    assert there == pytest.approx(difference(lab(second), lab(first)))
    assert (there < 1e-9) == (lab(first) == lab(second))


@pytest.mark.parametrize("wrong", ["vivid yelow", "#12345", "#zzzzzz", "", "nothing like it"])
def test_what_is_no_colour(wrong: str) -> None:
    with pytest.raises(ValueError, match="no colour"):
        lab(wrong)
    if wrong == "vivid yelow":
        with pytest.raises(ValueError, match="vivid yellow"):
            lab(wrong)
