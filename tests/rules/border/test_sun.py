"""The sun against printed examples, tables of rising and setting, and an independent library."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta, timezone
from math import acos, cos, degrees, radians, sin, tan

import numpy as np
import pandas as pd
import pvlib
import pytest

from bedfellow.rules.border.sun import declination, half_day, position, track


def test_the_example_of_reda_and_andreas() -> None:
    # Reda & Andreas 2004, Solar Position Algorithm (second-hand); elevation without refraction.
    moment = datetime(2003, 10, 17, 12, 30, 30, tzinfo=timezone(timedelta(hours=-7)))
    zenith, azimuth = position(moment, 39.742476, -105.1786)
    assert 90 - zenith == pytest.approx(39.872046, abs=0.02)
    assert azimuth == pytest.approx(194.340241, abs=0.02)
    # The same example: on a slope of 30° turned 10° east of south; sunrise 06:12:43, and a sunset of the day in universal
    # time, so of the evening before, 17:20:19.
    height, turn, slope = radians(90 - zenith), radians(azimuth - 170), radians(30)
    incidence = degrees(acos(sin(height) * cos(slope) + cos(height) * sin(slope) * cos(turn)))
    assert incidence == pytest.approx(25.187, abs=0.03)
    rise = rise_and_set(moment.date(), 39.742476, -105.1786, -7)[0]
    fall = rise_and_set(moment.date() - timedelta(days=1), 39.742476, -105.1786, -7)[1]
    assert (rise, fall) == pytest.approx((6 + 12 / 60 + 43 / 3600, 17 + 20 / 60 + 19 / 3600), abs=0.5 / 60)


@pytest.mark.parametrize("latitude", [35, 52, 60, -35])
def test_a_year_against_pvlib(latitude: float) -> None:
    times = pd.date_range("2026-01-01", "2026-12-31", freq="397min", tz="UTC")
    reference = pvlib.solarposition.spa_python(times, latitude, 0.0)
    up = reference["elevation"].to_numpy() > 0
    ours = np.array([position(moment.to_pydatetime(), latitude, 0.0) for moment in times])[up]
    zenith, azimuth = (reference[name].to_numpy()[up] for name in ("zenith", "azimuth"))
    assert np.abs(ours[:, 0] - zenith).max() < 0.02
    turned = (ours[:, 1] - azimuth + 180) % 360 - 180
    assert np.abs(turned * np.sin(np.radians(zenith))).max() < 0.02


def cross(height: Callable[[float], float], low: float, high: float) -> float:
    """Where a function changes sign."""
    rising = height(high) > height(low)
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if (height(middle) > 0) == rising else (middle, high)
    return low


def rise_and_set(day: date, latitude: float, longitude: float, zone: float) -> tuple[float, float]:
    """Hours of the clock; the upper edge of the sun, with usual refraction, on the horizon at a zenith of 90.833°."""
    midnight = datetime(day.year, day.month, day.day, tzinfo=timezone(timedelta(hours=zone)))

    def height(hour: float) -> float:
        return 90.833 - position(midnight + timedelta(hours=hour), latitude, longitude)[0]

    return cross(height, 0, 12), cross(height, 12, 24)


PLACES = {(39.0, -105.0, -7): ("07:19 16:49", "05:43 18:24", "05:01 19:10", "07:01 16:38"),
          (39.917, 116.383, 8): ("07:36 17:00", "05:58 18:39", "05:13 19:28", "07:17 16:50")}  # fmt: skip


@pytest.mark.parametrize("place", sorted(PLACES))
def test_rising_and_setting(place: tuple[float, float, int]) -> None:
    # Tables of the United States Naval Observatory, 2015.
    for month, times in zip((1, 4, 8, 12), PLACES[place], strict=True):
        found = rise_and_set(date(2015, month, 2), *place)
        for hours, clock in zip(found, times.split(), strict=True):
            assert hours * 60 == pytest.approx(int(clock[:2]) * 60 + int(clock[3:]), abs=2)


DAYS = ((12, 21), (2, 15), (3, 20), (4, 15), (5, 15), (6, 21), (8, 15), (9, 22), (11, 15))
LENGTHS = {
    40: "9:19 10:42 12:07 13:15 14:22 15:00 13:45 12:10 9:59",
    51.5: "7:49 9:59 12:08 13:50 15:36 16:38 14:38 12:13 8:53",
    55: "7:09 9:42 12:09 14:05 16:07 17:22 14:59 12:14 8:25",
    60: "5:51 9:11 12:10 14:32 17:07 18:51 15:40 12:17 7:33",
}


@pytest.mark.parametrize("latitude", sorted(LENGTHS))
def test_day_lengths(latitude: float) -> None:
    # By the equations of the NOAA solar calculator for 2023; ±2 min, ±5 for the mean year of `half_day`.
    for (month, day), length in zip(DAYS, LENGTHS[latitude].split(), strict=True):
        hours, minutes = length.split(":")
        expected = int(hours) * 60 + int(minutes)
        up, down = rise_and_set(date(2023, month, day), latitude, 0, 0)
        assert (down - up) * 60 == pytest.approx(expected, abs=2)
        of_year = date(2023, month, day).timetuple().tm_yday
        assert 2 * half_day(latitude, of_year, -0.833) * 60 == pytest.approx(expected, abs=5)


@pytest.mark.parametrize(
    ("latitude", "month", "day", "altitude", "shadow"),
    [(51.5, 12, 21, 15.06, 7.43), (51.5, 3, 20, 38.35, 2.53), (51.5, 6, 21, 61.94, 1.07),
     (40, 12, 21, 26.56, 4.00), (40, 3, 20, 49.85, 1.69), (40, 6, 21, 73.44, 0.59)],
)  # fmt: skip
def test_noon_and_the_shadow_of_a_wall(latitude: float, month: int, day: int, altitude: float, shadow: float) -> None:
    # Computed for 2023 at longitude 0; the shadow of a wall 2.00 m high.
    start = datetime(2023, month, day, 11, 45, tzinfo=UTC)
    noon = min(position(start + timedelta(minutes=minute), latitude, 0)[0] for minute in range(40))
    assert 90 - noon == pytest.approx(altitude, abs=0.02)
    assert 2 / tan(radians(90 - noon)) == pytest.approx(shadow, abs=0.02)


def test_the_day_length_of_fao_56() -> None:
    # Allen et al. 1998, FAO Irrigation and Drainage Paper 56: latitude -20°, day 246: 0.11966 rad and 11.6656 h.
    # Its declination is one sine through the year, out by up to 0.9° in September: tolerances are of that size.
    assert 0.409 * sin(2 * np.pi / 365 * 246 - 1.39) == pytest.approx(0.11966, abs=0.001)
    assert radians(declination(246)) == pytest.approx(0.11966, abs=radians(0.9))
    assert 2 * half_day(-20, 246) == pytest.approx(11.6656, abs=0.05)


@pytest.mark.parametrize("latitude", [52, -38])
def test_a_track_agrees_with_positions(latitude: float) -> None:
    day = track(latitude, 232, 7)
    noon = 12 * 3600 - 60 * pvlib.solarposition.equation_of_time_spencer71(232)
    for elevation, azimuth, hour in list(zip(day.elevation, day.azimuth, day.hour, strict=True))[::9]:
        moment = datetime(2030, 8, 20, tzinfo=UTC) + timedelta(seconds=noon + (hour - 12) * 3600)
        zenith, true_azimuth = position(moment, latitude, 0)
        assert elevation == pytest.approx(90 - zenith, abs=0.2)
        assert ((azimuth - true_azimuth + 180) % 360 - 180) * sin(radians(zenith)) == pytest.approx(0, abs=0.4)


def test_steps_fill_the_day() -> None:
    day = track(52, 172, 11, above=5)
    assert len(day.hour) * day.step == pytest.approx(2 * half_day(52, 172, 5))
    assert day.step <= 11 / 60
    assert day.elevation.min() > 5
    assert day.hour.mean() == pytest.approx(12)


def test_the_noon_sun_stands_north_in_the_south() -> None:
    day = track(-38, 15, 10)
    highest = int(day.elevation.argmax())
    assert min(day.azimuth[highest], 360 - day.azimuth[highest]) < 10
    assert day.azimuth[0] > 90
    assert day.azimuth[-1] < 270


def test_polar_night_and_midnight_sun() -> None:
    assert half_day(70, 355) == 0
    assert half_day(70, 172) == 12
    assert len(track(70, 355).hour) == 0


def test_a_moment_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        position(datetime(2026, 6, 1, 12), 52, 0)
