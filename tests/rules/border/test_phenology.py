"""Dates and their chances, against tables, quadrature and published spreads."""

from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.rules.border.phenology import (
    deviation,
    probability_on,
    probability_together,
    region_of,
    share_of_month,
    shift_for_latitude,
    shifted,
)
from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Window, read_value


def test_windows_that_overlap_by_a_week_on_average() -> None:
    # Computed: Φ(7 / 11.314) and Φ(7 / 8).
    assert probability_together((100, 140), (133, 173), 0, 0.0, (8, 8)) == pytest.approx(0.732, abs=0.001)
    assert probability_together((100, 140), (133, 173), 0, 0.5, (8, 8)) == pytest.approx(0.809, abs=0.001)


@given(
    st.floats(1, 365), st.floats(5, 80), st.floats(1, 365), st.floats(5, 80), st.floats(0, 20), st.floats(3, 20),
    st.floats(3, 20), st.floats(-0.3, 0.9),
)  # fmt: skip
def test_the_closed_form_against_quadrature(
    start_1: float, long_1: float, start_2: float, long_2: float, least: float, s1: float, s2: float, rho: float
) -> None:
    shift = NormalDist(0, (s1 * s1 + s2 * s2 - 2 * rho * s1 * s2) ** 0.5)
    n = 2000
    expected = 0.0
    for i in range(n):
        moved = start_2 + shift.inv_cdf((i + 0.5) / n)
        shared = max(
            min(start_1 + long_1, moved + turn + long_2) - max(start_1, moved + turn)
            for turn in (-730, -365, 0, 365, 730)
        )
        expected += (shared >= least - 1e-9) / n
    window_1, window_2 = (start_1, start_1 + long_1), (start_2, start_2 + long_2)
    assert probability_together(window_1, window_2, least, rho, (s1, s2)) == pytest.approx(expected, abs=0.002)
    assert probability_together(window_2, window_1, least, rho, (s2, s1)) == pytest.approx(expected, abs=0.002)


def test_short_windows_cannot_share_long() -> None:
    assert probability_together((100, 105), (90, 200), at_least=7) == 0


def test_windows_across_new_year() -> None:
    # They share 20 January to 4 February, 15 d, on average: Φ(10 / 8√2).
    assert probability_together((330, 400), (20, 60), 5, 0.0, (8, 8)) == pytest.approx(0.8116, abs=1e-3)
    assert probability_together((330, 400), (150, 170)) < 0.01
    assert probability_on((330, 400), 10) > 0.8
    assert probability_on((330, 400), 200) < 0.01
    assert share_of_month((330, 380), 1) == pytest.approx(14 / 31)
    assert share_of_month((330, 380), 12) == 1
    assert share_of_month((330, 380), 6) == 0


def test_a_window_that_never_ends() -> None:
    assert probability_on((1, 366), 200) == 1
    assert probability_together((1, 366), (100, 120), 7) == 1
    assert all(share_of_month((40, 405), month) == 1 for month in range(1, 13))


def test_a_window_begins_on_its_day_in_half_of_years() -> None:
    assert probability_on((100, 200), 100, 9) == pytest.approx(0.5)
    assert probability_on((100, 200), 109, 9) == pytest.approx(0.8413, abs=1e-4)
    assert probability_on((100, 200), 150, 0) == 1


def test_spreads_of_dates_by_month() -> None:
    # F. Darwin's reduction of Blomefield's records: about 20 in February, 10 in March and April, 7 to 9 in May to July.
    assert deviation(46) == pytest.approx(20, abs=0.5)
    assert deviation(75) == pytest.approx(10, abs=0.5)
    assert deviation(105) == pytest.approx(10, abs=0.5)
    assert all(7 <= deviation(day) <= 9 for day in (137, 166, 196))
    # Sweet cherry, median of 90 Swiss stations, mid-April: 10.2 (5.1 to 15.8). Hazel, February: 22.6.
    assert 5.1 < deviation(108) < 15.8
    assert deviation(40) == pytest.approx(22.6, rel=0.25)


def test_spring_moves_north_and_uphill() -> None:
    # Europe: 44 km a day, about 2.5 d a degree, and 3 d per 100 m.
    assert shift_for_latitude(100, 55.5, 51.5) == 110
    assert shift_for_latitude(100, 51.5, 51.5, 200, 0) == pytest.approx(106)
    assert shift_for_latitude(100, 41.0, 40.0, region="north america") == 104
    assert shift_for_latitude(280, 55.5, 51.5) == 280


def test_half_a_year_south_of_the_equator() -> None:
    assert shift_for_latitude(100, -40, 50) == 282.5
    assert shift_for_latitude(282.5, -44, -40) == pytest.approx(292.5)


@given(st.integers(1, 730), st.floats(36, 65), st.floats(0, 800))
def test_shifting_keeps_the_order_of_dates(day: int, latitude: float, altitude: float) -> None:
    first, then = (shift_for_latitude(d, latitude, 51.5, altitude) for d in (day, day + 1))
    assert then > first


def test_no_shift_is_invented_for_another_region() -> None:
    with pytest.raises(ValueError, match="no figures"):
        shift_for_latitude(100, 45, 40, region="japan")


def window(start: str, end: str) -> Window:
    return read_value(
        trait_table().traits["flower"], {"from": start, "to": end}, {"region": "europe", "latitude": 51.5}
    )  # type: ignore[return-value]


def test_a_window_moves_to_its_site() -> None:
    may = window("05-01", "05-31")
    assert shifted(may, 51.5, None) == may and shifted(may, None, 400) == may
    north = shifted(may, 55.5, 50)
    # 2.5 days a degree in Europe.
    assert north.start.typical - may.start.typical == pytest.approx(10)
    assert north.end.typical - may.end.typical == pytest.approx(10)
    high = shifted(may, 51.5, 250)
    assert high.start.typical - may.start.typical == pytest.approx(6)  # 3 days in 100 m
    assert shifted(may, 52.0, 60) == may, "less than the figures are good for"


def test_a_window_south_of_the_equator() -> None:
    may = window("05-01", "05-31")
    south = shifted(may, -41, None)
    assert south.start.typical - may.start.typical == pytest.approx(182.5)
    autumn = shifted(window("11-01", "12-15"), -41, None)
    assert 1 <= autumn.start.typical <= 365 and autumn.length == pytest.approx(44, abs=1)


@pytest.mark.parametrize(
    ("latitude", "longitude", "region"),
    [(51.5, -0.1, "europe"), (42.4, -71.1, "north america"), (-41.3, 174.8, "elsewhere"), (51.5, None, None)],
)
def test_regions(latitude: float, longitude: float | None, region: str | None) -> None:
    assert region_of(latitude, longitude) == region
