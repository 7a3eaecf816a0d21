"""Light against an endless fence, an independent sky and the arithmetic of crowns."""

from itertools import pairwise

import numpy as np
import pytest

from bedfellow.rules.border.crown import crown_of
from bedfellow.rules.border.light import clear_beam, daily, days, directions_to, light, sky
from bedfellow.rules.border.rays import Array, Whole, screens, solids, transmitted
from bedfellow.rules.border.sun import declination, half_day, track

NONE = solids([])
OPEN = np.ones((0, 14))


def places(*rows: tuple[float, float, float]) -> tuple[Array, Whole]:
    return np.asarray(rows), np.full(len(rows), -1)


def test_north_of_an_endless_fence() -> None:
    # Computed for a fence 1.8 m high at 53° N, place at 0.2 m, sun counted from the horizon:
    # 0.5, 1 and 2 m out 9.6, 16.7, 16.7 h on 21 June; share 0.17, 0.57, 0.96; nothing on 15 March.
    fence = screens([(-2000, 0, 2000, 0, 0, 1.8, 0)])
    where = places((0, -0.5, 0.2), (0, -1, 0.2), (0, -2, 0.2))
    # The border faces north, so the fence at its back stands to the south.
    found = light(*where, 53, 0, NONE, OPEN, fence, above=0)
    assert found.june_hours == pytest.approx([9.6, 16.7, 16.7], abs=0.2)
    assert found.share == pytest.approx([0.17, 0.57, 0.96], abs=0.025)
    assert found.march_hours == pytest.approx([0, 0, 0])
    every = daily(*where, 53, 0, NONE, np.ones((0, 61)), fence, on_days=range(92, 274, 3), above=0, step_minutes=2)
    assert every.beam.sum(axis=1) / every.open_beam.sum() == pytest.approx([0.17, 0.57, 0.96], abs=0.006)


def test_the_open_site() -> None:
    found = light(*places((0, 0, 0.3)), 52, 200, NONE, OPEN)
    assert found.june_hours == pytest.approx(2 * half_day(52, 172, 5))
    assert found.midday_june_hours == pytest.approx(5)
    assert found.march_hours == pytest.approx(2 * half_day(52, 74, 5))
    assert found.share == pytest.approx(1)


def test_a_wall_facing_east_gives_the_morning_only() -> None:
    wall = screens([(-500, 0, 500, 0, 0, 50, 0)])
    sun = daily(*places((0, -0.1, 0.3)), 52, 90, NONE, np.ones((0, 1)), wall, on_days=[80], above=0, step_minutes=1)
    assert sun.hours[0, 0] == pytest.approx(6, abs=0.1)
    assert sun.morning[0, 0] == pytest.approx(4, abs=0.1)
    assert sun.midday[0, 0] == pytest.approx(1, abs=0.1)


def equinox() -> float:
    """The day of the year on which the sun stands over the equator."""
    low, high = 75.0, 85.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if declination(middle) < 0 else (low, middle)
    return low


@pytest.mark.parametrize("latitude", [-67, -38, 0, 40, 53, 70])
@pytest.mark.parametrize("faces", [0, 45, 100, 180, 247.5, 300])
def test_an_endless_wall_at_the_equinox(latitude: float, faces: float) -> None:
    # At hour angle H the sun stands at east −sin H, north −sin φ cos H, up cos φ cos H. From a place d before a wall that
    # looks h over it on bearing ν it is seen where cos φ cos H · d > h (−sin H sin ν − sin φ cos H cos ν), that is within
    # 90° of ψ = atan2(h sin ν, d cos φ + h sin φ cos ν): for (180° − |ψ|) / 15 hours of the day.
    wall = screens([(-5000, 0, 5000, 0, 0, 2.0, 0)])
    away, over = np.array([0.3, 0.8, 1.5, 4.0]), 1.7
    where = np.column_stack([np.zeros(4), -away, np.full(4, 2.0 - over)])
    sun = daily(
        where,
        np.full(4, -1),
        latitude,
        faces,
        NONE,
        np.ones((0, 1)),
        wall,
        on_days=[equinox()],
        above=0,
        step_minutes=1,
    )
    phi, nu = np.radians(latitude), np.radians(faces + 180)
    psi = np.degrees(np.arctan2(over * np.sin(nu), away * np.cos(phi) + over * np.sin(phi) * np.cos(nu)))
    assert sun.hours[:, 0] == pytest.approx((180 - np.abs(psi)) / 15, abs=0.02)


def test_south_of_the_equator_is_the_same_half_a_year_later_and_turned() -> None:
    assert days(-52)[0] == 355
    fence = screens([(-4, 0, 3, 0, 0, 1.8, 0)])
    where = places((0, -0.7, 0.2), (2.5, -0.7, 0.2))
    north = light(*where, 52, 20, NONE, OPEN, fence)
    mirrored = screens([(-3, 0, 4, 0, 0, 1.8, 0)])
    south = light(*places((0, -0.7, 0.2), (-2.5, -0.7, 0.2)), -52, 160, NONE, OPEN, mirrored)
    assert south.june_hours == pytest.approx(north.june_hours, abs=0.1)
    assert south.share == pytest.approx(north.share, abs=0.02)


def test_a_crown_overhead_takes_its_part() -> None:
    # A disc of leaves so wide that every ray goes through it; its mean chord is 4 V / S.
    canopy = crown_of("mat", 3.0, 400, 2.5)
    bed = solids([(0, 0, canopy.base, canopy.top, canopy.c0, canopy.c1, canopy.c2, canopy.mean_chord(), 1)])
    bare, leafy = np.full((1, 1), 0.6), np.full((1, 1), 0.2)
    sun = [daily(*places((0, 0, 0.3)), 52, 180, bed, tau, on_days=[172], above=30).beam[0, 0] for tau in (bare, leafy)]
    assert canopy.mean_chord() == pytest.approx(2 * 0.5, rel=0.01)
    assert 2 * sun[1] < sun[0]


def test_absent_leaves_shade_nothing() -> None:
    crown = crown_of("rounded", 3, 3)
    bed = solids([(0, 1, crown.base, crown.top, crown.c0, crown.c1, crown.c2, crown.mean_chord(), 1)])
    tau = np.full((1, 14), 0.1)
    tau[:, 1] = 1.0
    found = light(*places((0, 0, 0.2)), 52, 0, bed, tau)
    assert found.march_hours == pytest.approx(2 * half_day(52, 74, 5))
    assert found.june_hours[0] < 0.8 * 2 * half_day(52, 172, 5)


def test_a_hill_to_the_south_takes_the_low_sun() -> None:
    where = places((0, 0, 0.2))
    hill = [(90, 0), (135, 45), (225, 45), (270, 0)]
    assert light(*where, 52, 180, NONE, OPEN, horizon=hill).march_hours[0] < 3
    assert light(*where, 52, 180, NONE, OPEN, horizon=[(0, 3)]).share[0] == pytest.approx(1)


def test_the_clear_sky_beam() -> None:
    # Air mass of Kasten & Young by pvlib; 1.353 · 0.7^(m^0.678), so 0.947 kW/m² at air mass 1.
    pvlib = pytest.importorskip("pvlib")
    height = np.array([2.0, 5, 15, 30, 60, 90])
    mass = pvlib.atmosphere.get_relative_airmass(90 - height, model="kastenyoung1989")
    assert clear_beam(height) == pytest.approx(1.353 * 0.7 ** (mass**0.678), rel=1e-6)
    assert clear_beam(np.array([90.0, -1.0])) == pytest.approx([0.947, 0.0], abs=0.001)


def test_the_frame_of_the_plan() -> None:
    # The front of a border that faces south looks along −y to the south; its right-hand end is east.
    level = np.zeros(4)
    found = directions_to(level, np.array([180.0, 0, 90, 270]), 180)
    assert found == pytest.approx(np.array([[0, -1, 0], [0, 1, 0], [1, 0, 0], [-1, 0, 0]], dtype=float), abs=1e-12)
    assert directions_to(np.array([90.0]), np.array([17.0]), 33)[0] == pytest.approx([0, 0, 1], abs=1e-12)


def test_further_from_a_fence_is_never_darker() -> None:
    fence = screens([(-2000, 0, 2000, 0, 0, 1.8, 0)])
    found = light(*places(*((0.0, -0.2 * step, 0.2) for step in range(1, 25))), 53, 0, NONE, OPEN, fence)
    assert all(later >= former - 1e-9 for former, later in pairwise(found.share))


@pytest.mark.parametrize("out", [0.3, 1.0, 2.5])
@pytest.mark.parametrize("faces", [0.0, 37.0, 270.0])
def test_the_sky_beside_an_endless_wall(out: float, faces: float) -> None:
    # Classical: level ground beside a wall whose top stands at an elevation β sees (1 + cos β) / 2 of an even sky.
    wall = screens([(-5000, 0, 5000, 0, 0, 2, 0)])
    seen = sky(*places((0, -out, 0)), faces, NONE, np.ones(0), wall)
    assert seen == pytest.approx([(1 + out / np.hypot(out, 2)) / 2], abs=0.01)


def test_the_sky_without_and_behind_everything() -> None:
    assert sky(*places((0, 0, 0)), 180, NONE, np.ones(0)) == pytest.approx([1])
    ring = [(bearing, 30.0) for bearing in range(0, 360, 10)]
    # A horizon of 30° all round leaves cos² 30° of the light of an even sky.
    assert sky(*places((0, 0, 0)), 180, NONE, np.ones(0), None, ring) == pytest.approx([0.75], abs=0.02)


@pytest.mark.parametrize("latitude", [-90, -78, 78, 90])
def test_days_and_nights_that_last_for_months(latitude: float) -> None:
    where = places((0, 0, 0.2))
    sun = daily(*where, latitude, 180, NONE, np.ones((0, 2)), on_days=[172, 355], above=0)
    assert sun.hours[0] == pytest.approx([24, 0] if latitude > 0 else [0, 24])
    found = light(*where, latitude, 180, NONE, OPEN)
    assert found.share == pytest.approx(1) and 0 <= found.march_hours[0] <= found.june_hours[0] <= 24.001


# Computed for 2023 by the height of the sun at noon: how far a wall 2.00 m high casts its shadow.
@pytest.mark.parametrize(
    ("latitude", "day", "shadow"),
    [(51.5, 355, 7.43), (51.5, 79, 2.53), (51.5, 172, 1.07), (40, 355, 4.00), (40, 79, 1.69), (40, 172, 0.59)],
)
def test_the_shadow_of_a_wall_at_noon(latitude: float, day: int, shadow: float) -> None:
    wall = screens([(-99, 0, 99, 0, 0, 2.0, 0)])
    near, beyond = shadow - 0.05, shadow + 0.05
    # A front that faces north has the wall at its back in the south; on its other side the same wall shades nothing.
    where = places((0, -near, 0), (0, -beyond, 0), (0, near, 0))
    noon = max(track(latitude, day, 1).elevation)
    passed = transmitted(*where, directions_to(np.array([noon]), np.array([180.0]), 0), np.inf, NONE, np.ones(0), wall)
    assert passed[:, 0].tolist() == [0, 1, 1]


def test_a_map_of_endless_ground_has_larger_cells(grow, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr("bedfellow.rules.border.shade.MOST_CELLS", 240)
    columns, rows, shares = grow("- {name: Taxus baccata, at: [5, 3]}\n").light_map(3)
    assert (len(columns), len(rows)) == (20, 12) == (len(shares[0]), len(shares))
    assert columns[1] - columns[0] == pytest.approx(0.5)
