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


part = st.floats(0.05, 0.95)


@given(st.floats(0.3, 3), st.floats(0.3, 3), part)
def test_two_spheres_touch_where_their_centres_lie_the_sum_of_radii_apart(r1: float, r2: float, share: float) -> None:
    # In space r₁ + r₂ apart, of which the difference in height takes its part.
    rise = share * (r1 + r2)
    low = crown_of("rounded", 4 + r1, 2 * r1, 4 - r1)
    high = crown_of("rounded", 4 + rise + r2, 2 * r2, 4 + rise - r2)
    found = widest_together(low, high)
    assert found is not None
    assert found == pytest.approx((sqrt((r1 + r2) ** 2 - rise**2), 4 + rise * r1 / (r1 + r2)), abs=2e-5)


@given(st.floats(0.3, 2), st.floats(0.5, 3), st.floats(0.5, 4), part)
def test_a_sphere_touches_the_side_of_a_cone(radius: float, foot: float, height: float, share: float) -> None:
    # The tangent: r √(1 + (b/H)²) from the cone's line at the height of the centre, where it meets both bodies.
    slope = foot / height
    centre = radius + share * height
    touches = centre - radius * slope / sqrt(1 + slope**2)
    found = widest_together(
        crown_of("conical", height, 2 * foot), crown_of("rounded", centre + radius, 2 * radius, centre - radius)
    )
    if touches < height:
        expected = foot * (1 - centre / height) + radius * sqrt(1 + slope**2)
    else:
        expected = sqrt(max(0.0, radius**2 - (height - centre) ** 2))
    assert (found[0] if found else 0.0) == pytest.approx(expected, abs=1e-5)


@given(st.floats(0.2, 2), st.floats(0.2, 2), st.floats(0.2, 2), part)
def test_cylinders_and_cones_against_a_cylinder(r1: float, r2: float, base: float, share: float) -> None:
    drum = crown_of("columnar", 3, 2 * r1, base)
    assert widest_together(drum, crown_of("columnar", 9, 2 * r2)) == pytest.approx((r1 + r2, base))
    # A cone is widest at the lowest height that both reach, a sphere at its middle or as near to it as the drum comes.
    assert widest_together(drum, crown_of("conical", 4, 2 * r2)) == pytest.approx(
        (r1 + r2 * (1 - base / 4), base), abs=1e-5
    )
    middle = 3 * share
    ball = crown_of("rounded", middle + r2, 2 * r2, max(0.0, middle - r2))
    met = widest_together(drum, ball)
    if middle - r2 >= 0 and base < middle:
        assert met == pytest.approx((r1 + r2, middle), abs=1e-5)


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


@given(st.floats(0.1, 2), st.floats(0.1, 2), st.floats(0, 4))
def test_lens_against_shapely(r1: float, r2: float, d: float) -> None:
    shapely = pytest.importorskip("shapely")
    first, second = (shapely.Point(x, 0).buffer(r, quad_segs=256) for x, r in ((0, r1), (d, r2)))
    assert lens(r1, r2, d) == pytest.approx(first.intersection(second).area, abs=2e-4)


@pytest.mark.parametrize(
    ("habit", "height", "spread", "base"), [("round", 1, 1, 0), ("mat", 1, 0, 0), ("mat", 1, 1, 1)]
)
def test_what_is_no_crown_is_refused(habit: str, height: float, spread: float, base: float) -> None:
    with pytest.raises(ValueError, match=r"crown|habit"):
        crown_of(habit, height, spread, base)
