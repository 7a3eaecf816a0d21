"""Sizes as bought, against nurseries' tables."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.rules.border.supply import clear_stem, herb, shrub, tree, usual
from bedfellow.schema.units import supplied


# National Plant Specification, Trees: Clear Stem Height: girth cm, height cm, clear stem cm.
@pytest.mark.parametrize(
    ("girth", "height", "stem"),
    [("6-8", (250, 300), (150, 175)), ("8-10", (250, 300), (175, 200)), ("10-12", (300, 350), (200, 200))],
)
@pytest.mark.parametrize("text", ["{} cm", "{} cm girth", "standard {} cm RB"])
def test_a_standard_by_its_girth(girth: str, height: tuple[int, int], stem: tuple[int, int], text: str) -> None:
    stated = supplied(text.format(girth))
    found = tree(stated, 12.0)
    assert found is not None and (found.height.low * 100, found.height.high * 100) == pytest.approx(height)
    clear = clear_stem("standard", stated)
    assert clear is not None and stem[0] <= clear * 100 <= stem[1]


def test_forms() -> None:
    # Perrie Hale, Guide to Tree Sizes: a half standard has 1.2 to 1.5 m of clear stem, a standard 1.8 m.
    assert 1.2 <= (clear_stem("half-standard", None) or 0) <= 1.5
    assert clear_stem("Standard", supplied("25 L")) == 1.8
    assert clear_stem("multi-stem", None) is clear_stem(None, None) is None


@pytest.mark.parametrize(
    ("text", "height"),
    [("40-60 cm", (0.4, 0.5, 0.6)), ("3 L, 40-60 cm", (0.4, 0.5, 0.6)), ("1 m", (0.9, 1.0, 1.1)), ("5 m", (2, 2, 2))],
)
def test_a_stated_height_is_the_height(text: str, height: tuple[float, ...]) -> None:
    found = shrub(supplied(text), (2.0, 1.6))
    assert found is not None and found.height == pytest.approx(height)


def test_a_size_that_says_nothing() -> None:
    assert tree(supplied("specimen"), 9) is shrub(supplied("specimen"), (2, 2)) is None


@given(st.floats(0.1, 25), st.floats(0.1, 25), st.floats(0.2, 500), st.floats(1.01, 4))
def test_larger_pots_hold_larger_plants(height: float, spread: float, litres: float, more: float) -> None:
    for kind in (
        lambda text: tree(text, height),
        lambda text: shrub(text, (height, spread)),
        lambda text: herb(text, None, (height, spread)),
    ):
        small, large = kind(supplied(f"{litres:.3f} L")), kind(supplied(f"{litres * more:.3f} L"))
        assert small and large
        for one, other, most in zip(small, large, (height, spread), strict=True):
            assert 0 < one.low <= one.typical <= one.high <= max(most, height) and one.typical <= other.typical * 1.05
    assert 0 < usual(height) < height


def test_pots_and_bulbs() -> None:
    # A root ball of 9, 13 and 17 cm: common practice.
    pots = [herb(supplied(text), None, (2, 2)).spread.typical for text in ("9 cm", "1 L", "2 L")]
    assert pots == pytest.approx([1.2 * across for across in (0.09, 0.13, 0.17)])
    assert herb(None, None, (2, 2)) == herb(supplied("9 cm"), "container", (2, 2))
    # The girth of a bulb is no pot.
    assert herb(supplied("12-14 cm"), "bulb", (0.4, 0.2)) == herb(None, None, (0.4, 0.2))
    assert herb(None, "plug", (2, 2)).spread.typical < 0.06
