"""Dates and their chances, against tables, quadrature and published spreads."""

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedfellow.rules.border.phenology import (
    CORRELATION,
    NINE_IN_TEN,
    chance_in_month,
    chance_of_none,
    deviation,
    early_and_late,
    probability_together,
    region_of,
    share_of_month,
    shift_for_latitude,
    shifted,
)
from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import FIRST_DAYS, Day, Window, read_value


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
    assert share_of_month((330, 380), 1) == pytest.approx(14 / 31)
    assert share_of_month((330, 380), 12) == 1
    assert share_of_month((330, 380), 6) == 0


def test_a_window_that_never_ends() -> None:
    assert chance_in_month([((1, 366), (9, 9))], 7, 1.0) == 1
    assert probability_together((1, 366), (100, 120), 7) == 1
    assert all(share_of_month((40, 405), month) == 1 for month in range(1, 13))


def test_how_surely_a_window_holds_a_month() -> None:
    # May has 31 days from day 121. A window from its middle on holds a tenth of it unless 12.4 days late: Φ(12.4 / 8).
    may = chance_in_month([((136, 170), (8, 8))], 5, 0.1)
    assert may == pytest.approx(NormalDist().cdf((152 - 3.1 - 136) / 8), abs=1e-6)
    assert chance_in_month([((136, 138), (8, 8))], 5, 0.1) == 0, "two days are no tenth of it"
    # One that ends in April and one that begins in June of one plant: it is early or late, never both.
    both = [((80, 115), (8, 8)), ((157, 190), (8, 8))]
    alone = [chance_in_month([window], 5, 0.1) for window in both]
    assert chance_in_month(both, 5, 0.1) == pytest.approx(sum(alone)) and min(alone) > 0.1
    assert chance_in_month([((350, 380), (10, 10))], 1, 0.25) == chance_in_month([((-15, 15), (10, 10))], 1, 0.25) > 0.7


windows_of_plants = st.lists(
    st.lists(st.tuples(st.floats(60, 200), st.floats(8, 90), st.floats(5, 20), st.floats(5, 20)), min_size=1, max_size=2),
    min_size=1, max_size=4,
)  # fmt: skip


@settings(max_examples=25)
@given(windows_of_plants, st.sampled_from([4, 6]))
def test_an_empty_month_against_years_drawn_at_random(drawn: list[list[tuple[float, ...]]], month: int) -> None:
    plants = [[((start, start + long), (early, late)) for start, long, early, late in windows] for windows in drawn]
    rng = np.random.default_rng(7)
    years = 40_000
    first, last = FIRST_DAYS[month - 1], FIRST_DAYS[month]
    empty, weather = np.ones(years, bool), rng.normal(size=years)
    for windows in plants:
        z = CORRELATION**0.5 * weather + (1 - CORRELATION) ** 0.5 * rng.normal(size=years)
        for (start, end), (early, late) in windows:
            # What a window has of the month where its start, and its end, is the one that limits it.
            least = 0.25 * (last - first)
            if end - start >= least:
                empty &= ~((start + early * z <= last - least) & (end + late * z >= first + least))
    assert chance_of_none(plants, month, 0.25) == pytest.approx(empty.mean(), abs=0.012)
    assert chance_of_none([], month, 0.25) == pytest.approx(1)


def test_early_and_late_years() -> None:
    early, late = early_and_late(((100, 150), (8, 10)))
    assert early == pytest.approx((100 - 13.16, 150 - 16.45), abs=0.01) and late[0] - 100 == 100 - early[0]
    assert NormalDist().cdf(NINE_IN_TEN) == pytest.approx(0.95, abs=1e-4)


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


def test_sea_town_and_warmth() -> None:
    snowdrop, lilac, aster = window("02-01", "02-28"), window("05-20", "06-10"), window("09-10", "10-10")

    def later(one: Window, **place: float) -> float:
        return shifted(one, None, None, **place).start.typical - one.start.typical  # type: ignore[arg-type]

    # Five days a degree for 405 British species; 4 days in a town.
    assert later(lilac, earlier=5.0) == pytest.approx(-5) and later(aster, earlier=5.0) == 0
    assert (later(snowdrop, coast=0.0), later(lilac, coast=0.0), later(aster, coast=0.0)) == pytest.approx((-5, 3, 0))
    assert later(snowdrop, coast=4_000) == pytest.approx(-3) and later(snowdrop, coast=12_000) == 0
    south = shifted(lilac, -41, None, earlier=10)
    assert south.start.typical == pytest.approx(lilac.start.typical + 182.5 - 10)


@given(st.integers(1, 730), st.floats(0, 10_000), st.floats(-10, 30))
def test_sea_and_warmth_keep_the_order_of_dates(day: int, coast: float, earlier: float) -> None:
    one = Window(Day(day, day, day), Day(day + 1, day + 1, day + 1))
    moved = shifted(one, None, None, coast, earlier)
    assert moved.end.typical > moved.start.typical


@pytest.mark.parametrize(
    ("latitude", "longitude", "region"),
    [(51.5, -0.1, "europe"), (42.4, -71.1, "north america"), (-41.3, 174.8, "elsewhere"), (51.5, None, None)],
)
def test_regions(latitude: float, longitude: float | None, region: str | None) -> None:
    assert region_of(latitude, longitude) == region
