"""Growth against the printed curve and common practice."""

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.rules.border.growth import (
    ROOT_BALLS,
    chapman_richards,
    coppiced_height,
    edge,
    height_share,
    herbaceous_share,
    root_ball,
    woody_size,
)


@pytest.mark.parametrize(("years", "height"), [(5, 2.639), (10, 6.061), (20, 11.683), (50, 18.525)])
def test_the_curve_of_richards(years: float, height: float) -> None:
    # Richards 1959, A flexible growth function for empirical use: A 20, k 0.06, p 1.5, computed.
    assert chapman_richards(years, 20, 0.06, 1.5) == pytest.approx(height, abs=0.001)


def test_the_curve_turns_where_theory_says() -> None:
    turn = log(1.5) / 0.06
    assert turn == pytest.approx(6.758, abs=0.001)
    pace = [chapman_richards(t + 1e-3, 20, 0.06) - chapman_richards(t, 20, 0.06) for t in (turn - 1, turn, turn + 1)]
    assert pace[1] > pace[0]
    assert pace[1] > pace[2]


sizes = st.floats(0.3, 20)


@given(sizes, st.floats(2, 50), st.floats(0, 0.9))
def test_woody_size_starts_as_planted_and_is_grown_in_time(ultimate: float, years: float, part: float) -> None:
    planted = part * ultimate
    assert woody_size(ultimate, years, planted, 0) == pytest.approx(planted, abs=1e-9)
    assert woody_size(ultimate, years, planted, years) == pytest.approx(0.95 * ultimate)
    sizes_by_year = [woody_size(ultimate, years, planted, year) for year in range(21)]
    assert sizes_by_year == sorted(sizes_by_year)
    assert sizes_by_year[-1] <= ultimate


@given(sizes, st.floats(0.01, 0.4), st.floats(0.45, 1.2), st.floats(0, 1.3))
def test_a_known_size_at_ten_is_met(ultimate: float, part: float, part_at_ten: float, bought: float) -> None:
    usual, at_ten = part * ultimate, part_at_ten * ultimate
    assert woody_size(ultimate, 30, usual, 10, at_ten) == pytest.approx(at_ten)
    # A plant that is grown by year 10 may have been so for years.
    assert woody_size(ultimate, 2, usual, 2, max(ultimate, at_ten)) == pytest.approx(max(ultimate, at_ten))
    # Small stock has caught up by then; large stock is ahead, never beyond what the plant can become.
    found = woody_size(ultimate, 30, bought * usual, 10, at_ten, usual)
    assert found == pytest.approx(at_ten) if bought <= 1 else found >= at_ten * (1 - 1e-9)
    assert found <= max(ultimate, at_ten) * (1 + 1e-9)


# McPherson et al. 2016, Urban Tree Database, PSW-GTR-253 with errata, street trees of northern California (NoCalC): years
# and metres. Liquidambar styraciflua by its equations of diameter and height, 15.1 m published for year 33; Acer palmatum.
@pytest.mark.parametrize(
    ("heights", "grown", "years"),
    [({5: 5.66, 10: 8.40, 20: 12.30, 33: 15.1}, 15.1 / 0.95, 33), ({5: 2.75, 10: 3.19, 20: 4.44, 30: 5.95}, 7.0, 40)],
)
def test_trees_measured_in_streets(heights: dict[int, float], grown: float, years: int) -> None:
    for year, height in heights.items():
        found = woody_size(grown, years, min(1.2, 0.2 * grown), year, heights[10])
        assert found == pytest.approx(height, rel=0.10 if year > 5 else 0.20), year


def test_crowns_measured_in_streets() -> None:
    # The same, Acer palmatum: crowns widen almost evenly, so that the curve is short of them after year 10.
    for year, crown in {5: 1.43, 10: 2.40, 20: 4.68, 30: 6.83}.items():
        found = woody_size(7.2, 40, 0.3, year, 2.40)
        assert (1 - 0.35) * crown <= found <= 1.1 * crown, (year, found)


def test_a_plant_supplied_full_grown_stays() -> None:
    assert woody_size(2.0, 10, 2.2, 5) == 2.2


def test_impossible_sizes_are_refused() -> None:
    with pytest.raises(ValueError, match="positive"):
        woody_size(0, 10, 0.3, 5)


def test_a_clump_fills_out_over_its_seasons() -> None:
    assert [round(herbaceous_share(season, 3), 2) for season in range(5)] == [0, 0.52, 0.78, 1, 1]
    assert herbaceous_share(1, 1) == 1
    # Peonies and hellebores take four to five seasons: in the second they are well short.
    assert herbaceous_share(2, 5) < 0.6


def test_stems_rise_stand_and_go() -> None:
    shares = [height_share(day, 90, 170, 300) for day in (80, 90, 130, 170, 299, 301)]
    assert shares == pytest.approx([0, 0, 0.5, 1, 1, 0])


def test_leaves_that_come_in_autumn_cross_new_year() -> None:
    # Lords-and-ladies: up in November, full in March, gone in June.
    assert height_share(360, 310, 75, 160) > 0.1
    assert height_share(40, 310, 75, 160) > height_share(360, 310, 75, 160)
    assert height_share(75, 310, 75, 160) == 1
    assert height_share(200, 310, 75, 160) == 0


@pytest.mark.parametrize("later", [0, 182])
def test_a_coppiced_shrub_returns_by_august(later: int) -> None:
    # Cut in mid-March; south of the equator in mid-September, back in February of the next year.
    heights = [coppiced_height((day + later) % 365, 2.0, 74 + later) for day in (60, 74, 152, 227, 364)]
    assert heights == [pytest.approx(2), pytest.approx(0.2), pytest.approx(1.11, abs=0.1), pytest.approx(2), 2]
    assert coppiced_height(80, 0.1, 74) == 0.1


def test_the_edge_of_a_spreader_advances_by_its_class() -> None:
    # The classes: under 0.02, to 0.05, to 0.15, to 0.40 m a year, and above.
    ends = [edge(rate, 1) for rate in range(5)]
    assert [(low, high) for low, _, high in ends[:4]] == [(0, 0.02), (0.02, 0.05), (0.05, 0.15), (0.15, 0.40)]
    assert ends[4].low == 0.40 and all(low < typical < high for low, typical, high in ends)
    assert edge(3, 4) == pytest.approx((0.6, 1.1, 1.6)) and edge(3, -1) == (0, 0, 0)


def test_root_balls_by_pot() -> None:
    assert root_ball(10) == 0.28
    for litres, across in ROOT_BALLS.items():
        assert root_ball(litres * 1.000001) == pytest.approx(across, rel=0.06)
    with pytest.raises(ValueError, match="pot"):
        root_ball(0)
