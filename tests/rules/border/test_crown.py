"""Crowns against the closed forms of classical geometry."""

from math import acos, asin, atanh, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.rules.border.crown import PROFILES, Crown, crown_of, lens, shared_height, widest_together

habits = st.sampled_from(sorted(PROFILES))


@st.composite
def crowns(draw: st.DrawFn) -> Crown:
    base = draw(st.floats(0, 1.5))
    return crown_of(draw(habits), base + draw(st.floats(0.1, 5)), draw(st.floats(0.1, 5)), base)


@pytest.mark.parametrize("habit", sorted(PROFILES))
def test_spread_is_the_greatest_width(habit: str) -> None:
    crown = crown_of(habit, 2.4, 1.5, 0.3)
    widths = [2 * crown.radius(0.3 + 2.1 * i / 1000) for i in range(1001)]
    assert max(widths) == pytest.approx(1.5, abs=1e-5)
    assert 2 * crown.greatest_radius == pytest.approx(1.5)
    assert crown.radius(0.29) == crown.radius(2.41) == 0


def test_classical_volumes_and_surfaces() -> None:
    cylinder, cone = crown_of("columnar", 3, 2, 1), crown_of("conical", 3, 2, 1)
    sphere, dome, paraboloid = crown_of("rounded", 3, 2, 1), crown_of("mound", 1, 2), crown_of("rosette", 1, 2)
    assert cylinder.volume() == pytest.approx(2 * pi)
    assert cylinder.surface() == pytest.approx(6 * pi)
    assert cone.volume() == pytest.approx(2 * pi / 3)
    assert cone.surface() == pytest.approx(pi * (1 + sqrt(5)))
    assert sphere.volume() == pytest.approx(4 * pi / 3)
    assert sphere.surface() == pytest.approx(4 * pi)
    assert dome.volume() == pytest.approx(2 * pi / 3)
    assert dome.surface() == pytest.approx(3 * pi)
    assert paraboloid.volume() == pytest.approx(pi / 2)
    assert paraboloid.surface() == pytest.approx(pi * (5**1.5 - 1) / 6 + pi)


@pytest.mark.parametrize(("height", "spread"), [(0.1, 3), (0.3, 3), (1, 1.2), (10, 1)])
def test_surface_of_a_spheroid(height: float, spread: float) -> None:
    a, c = spread / 2, height / 2
    if a > c:
        e = sqrt(1 - c * c / (a * a))
        exact = 2 * pi * a * a * (1 + (1 - e * e) / e * atanh(e))
    else:
        e = sqrt(1 - a * a / (c * c))
        exact = 2 * pi * a * a * (1 + c / (a * e) * asin(e))
    assert crown_of("rounded", height, spread).surface() == pytest.approx(exact, rel=1e-3)


def test_mean_chord_of_a_sphere_is_four_thirds_of_its_radius() -> None:
    assert crown_of("rounded", 2, 2).mean_chord() == pytest.approx(4 / 3)


@given(crowns(), crowns())
def test_widest_together_is_not_beaten_at_any_shared_height(a: Crown, b: Crown) -> None:
    found = widest_together(a, b)
    low, high = max(a.base, b.base), min(a.top, b.top)
    if high <= low:
        assert found is None
        return
    assert found is not None
    total, z = found
    assert total == pytest.approx(a.radius(z) + b.radius(z))
    heights = (low + (high - low) * i / 200 for i in range(201))
    assert total >= max(a.radius(h) + b.radius(h) for h in heights) - 1e-6


def test_a_column_and_a_cone_meet_at_the_foot_of_the_cone() -> None:
    column, cone = crown_of("columnar", 4, 1), crown_of("conical", 3, 2, 0.5)
    assert widest_together(column, cone) == pytest.approx((1.5, 0.5))
    assert shared_height(column, cone) == 2.5
    assert widest_together(column, cone, least_shared=2.6) is None


def test_a_raised_canopy_shares_no_air_with_what_grows_under_it() -> None:
    assert widest_together(crown_of("rounded", 4, 3, 0.85), crown_of("mound", 0.6, 1)) is None


@given(crowns(), st.floats(0, 1.2))
def test_height_at_is_where_the_radius_shrinks_to_the_distance(crown: Crown, part: float) -> None:
    distance = part * crown.greatest_radius
    height = crown.height_at(distance)
    if part > 1.0001:
        assert height == 0
    elif part < 0.9999:
        assert crown.radius(height) >= distance - 1e-4
        above = min(height + 1e-3, crown.top)
        assert height == crown.top or crown.radius(above) <= distance + 1e-6


def test_lens_of_equal_circles() -> None:
    # Classical: 2 r² acos(d / 2r) − d/2 √(4r² − d²).
    r, d = 0.8, 0.9
    assert lens(r, r, d) == pytest.approx(2 * r * r * acos(d / (2 * r)) - d / 2 * sqrt(4 * r * r - d * d))
    assert lens(1, 0.2, 0.5) == pytest.approx(pi * 0.04)
    assert lens(1, 1, 2) == 0


@given(st.floats(0.1, 2), st.floats(0.1, 2), st.floats(0.01, 4))
def test_lens_by_slices(r1: float, r2: float, d: float) -> None:
    n, total = 4000, 0.0
    for i in range(n):
        x = -r1 + 2 * r1 * (i + 0.5) / n
        first, second = r1 * r1 - x * x, r2 * r2 - (x - d) ** 2
        total += 2 * sqrt(max(0.0, min(first, second))) * 2 * r1 / n
    assert lens(r1, r2, d) == pytest.approx(total, abs=2e-3)


@pytest.mark.parametrize(
    ("habit", "height", "spread", "base"), [("round", 1, 1, 0), ("mat", 1, 0, 0), ("mat", 1, 1, 1)]
)
def test_what_is_no_crown_is_refused(habit: str, height: float, spread: float, base: float) -> None:
    with pytest.raises(ValueError, match=r"crown|habit"):
        crown_of(habit, height, spread, base)
