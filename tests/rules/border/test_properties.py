"""What must hold of any border, whatever stands in it: mirrored, moved, turned to the south, added to, or absurd."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, isfinite

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bedfellow.rules.border.border import Border
from bedfellow.rules.border.light import directions_to
from bedfellow.rules.border.rays import transmitted
from bedfellow.rules.border.sun import declination, track
from bedfellow.schema.decode import plan_from
from bedfellow.schema.reader import read_text
from bedfellow.traits_db.snapshot import Store

NAMES = (
    "Cornus mas", "Taxus baccata", "Viburnum tinus", "Geranium macrorrhizum", "Paeonia lactiflora 'Sarah Bernhardt'",
    "Narcissus 'Tête-à-tête'", "Calamagrostis × acutiflora 'Karl Foerster'", "Lavandula angustifolia 'Hidcote'",
)  # fmt: skip
DEEP, WIDE = 4.0, 8.0
some = settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])


@dataclass(frozen=True, slots=True)
class Bed:
    """A bed WIDE by DEEP with its left front corner at `corner`, a fence behind it, an oak before or behind it."""

    plants: tuple[tuple[str, float, float], ...]
    oak: tuple[float, float]
    latitude: float = 51.5
    faces: float = 180.0
    corner: tuple[float, float] = (0.0, 0.0)
    wall: tuple[float, float] = (0.0, WIDE)

    def at(self, x: float, y: float) -> list[float]:
        return [x + self.corner[0], y + self.corner[1]]

    def border(self, store: Store) -> Border:
        ring = [self.at(*point) for point in ((0, 0), (WIDE, 0), (WIDE, DEEP), (0, DEEP))]
        lines = "".join(
            f'- {{key: P{n}, name: "{name}", at: {self.at(x, y)}}}\n' for n, (name, x, y) in enumerate(self.plants)
        )
        text = (
            f"format: 1\nplanted: 2026-10\nsite: {{latitude: {self.latitude}, faces: {self.faces}}}\nborder: {{outline: {ring}}}\n"
            f"structures: [{{kind: fence, from: {self.at(self.wall[0], DEEP)}, to: {self.at(self.wall[1], DEEP)}, height: 1.8}}]\n"
            f"retained: [{{name: Quercus robur, at: {self.at(*self.oak)}, height: 7, crown: 2.5, clear_stem: 2}}]\nplants:\n{lines}"
        )
        plan, told = plan_from(read_text(text, "x"))
        assert plan is not None and not told
        return Border(plan, store)


eighths = lambda low, high: st.integers(int(8 * low), int(8 * high)).map(lambda n: n / 8)  # noqa: E731
standing = st.tuples(st.sampled_from(NAMES), eighths(0, WIDE), eighths(0, DEEP))
beds = st.builds(
    Bed,
    st.lists(standing, min_size=1, max_size=7).map(tuple),
    st.tuples(eighths(0, WIDE), st.sampled_from([-2.0, 5.5])),
    st.sampled_from([38.0, 51.5, 64.0]),
    st.sampled_from([0.0, 90.0, 157.5, 180.0, 235.0]),
    wall=st.tuples(eighths(0, 3), eighths(4, WIDE)),
)


def mirrored(bed: Bed) -> Bed:
    """Right for left, which for a front that faces elsewhere than south or north turns it about that line too."""
    x, y = bed.oak
    return replace(
        bed, plants=tuple((name, WIDE - x, y) for name, x, y in bed.plants), oak=(WIDE - x, y), wall=(WIDE - bed.wall[1], WIDE - bed.wall[0])
    )  # fmt: skip


def lit(border: Border, season: int = 3) -> list[tuple[float, ...]]:
    return list(border.light(border.plantings, season).values())


def half_days(border: Border, day: float) -> np.ndarray:
    """Hours of sun before and after noon at each plant's top on a day, (n, 2)."""
    way = track(border.plan.site.latitude, day, 10, 5)
    solids, passes = border.solids(3, [day])
    tops = [(*p.points[0], crown.top) for p in border.plantings if (crown := border.crown(p, 3))]
    passed = transmitted(
        np.array(tops), np.arange(len(tops)), directions_to(way.elevation, way.azimuth, border.plan.site.faces), np.inf, solids,
        np.repeat(passes, len(way.hour), axis=1), border.screens(),
    )  # fmt: skip
    morning = np.clip((12 - way.hour) / way.step + 0.5, 0, 1)  # a step about noon belongs to both halves
    return passed @ np.column_stack([morning, 1 - morning]) * way.step


def opposite(day: float) -> float:
    """The day half a year on with the same height of the sun, on the other side of the equator."""
    low, high = day + 172.0, day + 192.0
    rises = declination(high) > declination(low)
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if (declination(middle) < -declination(day)) is rises else (low, middle)
    return low


@some
@given(beds)
def test_mirrored_east_to_west_morning_and_afternoon_change_places(store: Store, bed: Bed) -> None:
    here, there = bed.border(store), replace(mirrored(bed), faces=(360 - bed.faces) % 360).border(store)
    for day in (100.0, 172.0):
        assert half_days(there, day)[:, ::-1] == pytest.approx(half_days(here, day), abs=1e-6)
    # The middle of the day, 11 to 16 h, has no mirror image.
    assert np.delete(lit(there), 1, axis=1) == pytest.approx(np.delete(lit(here), 1, axis=1), abs=1e-6)


@some
@given(beds, st.tuples(st.integers(-40, 40), st.integers(-40, 40)))
def test_moving_everything_changes_nothing(store: Store, bed: Bed, by: tuple[int, int]) -> None:
    here, there = bed.border(store), replace(bed, corner=by).border(store)
    assert np.array(lit(there)) == pytest.approx(np.array(lit(here)), abs=1e-6)
    assert there.cover(3, 170) == pytest.approx(here.cover(3, 170), abs=1e-9)
    seen = []
    for border in (here, there):
        subjects = [(p, crown) for p in border.plantings if (crown := border.crown(p, 3))]
        seen.append([found.best() for found in border.seen(subjects, 3, 170, 9).values()])
        assert border.share_of_frontage(border.plantings, 3) == pytest.approx(here.share_of_frontage(here.plantings, 3))
    assert seen[0] == pytest.approx(seen[1], abs=1e-6)
    pairs = [
        [(p.first.key, p.second.key, round(p.distance, 9)) for p in border.neighbours(10)] for border in (here, there)
    ]
    assert pairs[0] == pairs[1]


@some
@given(beds, standing)
def test_one_more_plant_takes_light_and_view_and_gives_cover(
    store: Store, bed: Bed, more: tuple[str, float, float]
) -> None:
    fewer, all_of_them = bed.border(store), replace(bed, plants=(*bed.plants, more)).border(store)
    for season in (1, 10):
        before, after = np.array(lit(fewer, season)), np.array(lit(all_of_them, season))
        assert (after[: len(before)] <= before + 1e-9).all()
        assert all_of_them.cover(season, 170) >= fewer.cover(season, 170) - 1e-12


@some
@given(beds)
def test_the_south_is_the_north_half_a_year_on(store: Store, bed: Bed) -> None:
    # North and south change places: bearings are reflected, and with them left and right.
    north, south = (
        bed.border(store),
        replace(mirrored(bed), latitude=-bed.latitude, faces=(180 - bed.faces) % 360).border(store),
    )
    # On a day on which the sun stands as far south as it stands north here, which is not half a year on to the day.
    for day in (60, 110, 150, 200):
        there = opposite(day)
        assert abs(there - day - 182) < 9
        assert half_days(south, there) == pytest.approx(half_days(north, day), abs=1e-4)
    for day, half_a_year_on in ((20, 202), (110, 292), (200, 17), (330, 147)):
        assert south.cover(3, half_a_year_on) == pytest.approx(north.cover(3, day), abs=0.01)
        for one, other in zip(north.plantings, south.plantings, strict=True):
            assert north.in_leaf(one, day) is south.in_leaf(other, half_a_year_on)
            assert north.risen(one, 3, day) == pytest.approx(south.risen(other, 3, half_a_year_on), abs=0.03)
            assert north.size(one, 3) == south.size(other, 3)


@some
@given(beds)
def test_neighbours_are_all_that_a_look_at_every_pair_finds(store: Store, bed: Bed) -> None:
    border = bed.border(store)
    found = {(pair.first.number, pair.second.number): pair.distance for pair in border.neighbours(10)}
    circles = [(*p.points[0], size.spread.high / 2) for p in border.plantings if (size := border.size(p, 10))]
    every = {
        (i, j): hypot(circles[i][0] - circles[j][0], circles[i][1] - circles[j][1])
        for i in range(len(circles))
        for j in range(i + 1, len(circles))
    }
    near = {pair: distance for pair, distance in every.items() if distance < circles[pair[0]][2] + circles[pair[1]][2]}
    assert found == pytest.approx(near)


ABSURD = (
    "height: {value: 0, reason: none}", "spread: {value: 0, reason: none}", "height: {value: {low: 0, high: 1}, reason: wide}",
    "spread: {value: 9000, reason: a slip}", "height: {value: 9000, reason: a slip}", "spread_10: {value: 0, reason: none}",
    "height_10: {value: 80, reason: a slip}", "spread: {value: -1, reason: a slip}, height: {value: 1.0e-9, reason: none}",
)  # fmt: skip


def numbers(value: object) -> Sequence[float]:
    if isinstance(value, float):
        return [value]
    if isinstance(value, dict):
        return [number for entry in value.values() for number in numbers(entry)]
    return [number for entry in value for number in numbers(entry)] if isinstance(value, list | tuple) else []


@pytest.mark.parametrize("latitude", [-90, -67, 0, 51.5, 72, 90])
def test_nothing_breaks_at_the_ends_of_the_earth_or_of_sense(lint_text, latitude: float) -> None:  # type: ignore[no-untyped-def]
    lines = "".join(
        f"- {{key: A{n}, name: {NAMES[n % 3]}, at: [3, 2], traits: {{{words}}}}}\n" for n, words in enumerate(ABSURD)
    )
    lines += "".join(f'- {{key: B{n}, name: "{name}", at: [3, 2], supplied: 0 L}}\n' for n, name in enumerate(NAMES))
    lines += "- {key: C, name: Cornus mas, at: [[3, 2], [3, 2]], cut_back: {to: 40, every: 20, month: 12}, clipped: {height: 0, width: 0, from: 30, months: [1]}}\n"
    lines += "- {key: D, name: Taxus baccata, at: [3.5, 2], clear_stem: 40, form: half-standard, supplied: 900-1000 cm girth}\n"
    head = (
        f"format: 1\nplanted: 2026-06\nsite: {{latitude: {latitude}, faces: S, horizon: [[180, 90]], warming: 10, urban: yes, coast: 0}}\n"
        "border: {outline: [[0, 0], [6, 0], [6, 4], [0, 4]]}\nviewing: [{at: [3, 2], eye: 0.1}, {side: front}]\n"
        "retained: [{name: Quercus robur, at: [3, 2], height: 0, crown: 0}, {name: Quercus robur, at: [3, 2], height: 90, crown: 90}]\n"
    )
    result = lint_text(f"{head}plants:\n{lines}")
    assert not result.crashed
    for finding in result.findings:
        assert "nan" not in finding.message.split() and all(map(isfinite, numbers(dict(finding.evidence)))), (
            finding.message
        )
