"""Dates of plants at a site."""

from __future__ import annotations

import pytest

LINES = "- {key: F, name: Cornus mas, at: [5, 3]}\n- {key: A, name: Hylotelephium 'Herbstfreude', at: [3, 3]}\n"


@pytest.mark.parametrize(
    ("latitude", "site", "days"),
    [
        (51.5, "", 0),
        (51.5, ", urban: yes, warming: 1", -9),  # 4 and 5 days
        (55.5, "", 0),  # nobody says which continent it is
        (55.5, ", longitude: -3", 10),  # 2.5 days a degree in Europe
        (51.5, ", longitude: -3, altitude: 250", 6),  # 3 days in 100 m
        (55.5, ", longitude: -3, urban: yes", 6),
        (-41, "", 182.5),
        (-41, ", longitude: 174, warming: 2", 172.5),
    ],
)
def test_windows_at_the_site(grow, latitude: float, site: str, days: float) -> None:  # type: ignore[no-untyped-def]
    border = grow(LINES, site=site, latitude=latitude)
    moved = []
    for key in "FA":
        here, recorded = (border.window(border.by_key[key], "flower"), border.by_key[key].traits.window("flower"))
        moved.append((here.start.typical - recorded.start.typical + 60) % 365 - 60)
        assert here.end.typical >= here.start.typical
    # The stonecrop flowers in late summer, of which warmth and latitude are hardly a measure.
    assert moved[0] == pytest.approx(days, abs=0.01) and (abs(moved[1]) <= 0.2 * abs(days) or days > 100)


def test_dates_of_another_continent_are_not_judged(grow) -> None:  # type: ignore[no-untyped-def]
    border = grow(LINES, site=", longitude: -73", latitude=42)
    plant = border.by_key["F"]
    assert border.window(plant, "flower") is None and "not of europe" in border.wanting(plant, "flower")


def test_dates_vary_by_the_season_not_by_the_month(grow) -> None:  # type: ignore[no-untyped-def]
    north, south = grow(LINES), grow(LINES, latitude=-41)
    spreads = [border.varying(border.window(border.by_key["F"], "flower"))[1] for border in (north, south)]
    assert spreads[0] == pytest.approx(spreads[1], abs=0.3)


def test_leaves_of_daffodils_die_some_weeks_after_the_flowers(grow, store) -> None:  # type: ignore[no-untyped-def]
    # Pages of agricultural extension services: about 6 weeks after bloom, others 6 to 8; records are to a third of a month.
    names = [name for name in store.names() if name.startswith("Narcissus ")]
    border = grow("".join(f'- {{name: "{name}", at: [5, 3]}}\n' for name in names))
    windows = [(border.window(p, "flower"), border.window(p, "in_leaf")) for p in border.plantings]
    weeks = [(leaf.end.typical - flower.end.typical) % 365 / 7 for flower, leaf in windows if flower and leaf]
    assert len(weeks) > 3 and 6 <= sum(weeks) / len(weeks) <= 8 and all(4 <= week <= 9 for week in weeks), weeks
