"""How much sun reaches each plant of a plan through all that stands about it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.border.crown import Crown
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.border.seasons import Seasons
from bedfellow.schema.values import FIRST_DAYS

if TYPE_CHECKING:
    from bedfellow.rules.border.light import Light
    from bedfellow.rules.border.rays import Array, Screens, Solids
    from bedfellow.traits_db.snapshot import Store

# Share of the beam that passes a crown in leaf and bare: the middle of the eleven trees of Wilkinson 1992 (.11-.27,
# .30-.54); evergreens and leafy herbs from common practice.
PASSES_IN_LEAF, PASSES_BARE, PASSES_EVERGREEN, PASSES_HERB, PASSES_AIRY = 0.20, 0.50, 0.12, 0.30, 0.80
HALF_UP = 0.5

NOBODY = -1  # in place of a planting's number, for a place that belongs to none
HAND = 0.1  # m above the ground
MOST_CELLS = 50_000  # of a map of the ground


class Month(NamedTuple):
    """Sun at a place on the middle day of a month (1 to 12): hours above 5°, of these before 10 h and from 11 to 16 h; share
    of the beam and of the light of the sky that the open site receives, 0 to 1."""

    month: int
    hours: float
    morning: float
    midday: float
    beam: float
    sky: float


class Sun(NamedTuple):
    """What a planting gets on one day: hours, of these before 10 h, and share of the open site's beam."""

    hours: float
    morning: float
    share: float


class Shade(Seasons):
    """The plants of a plan and its structures as bodies that shade one another."""

    def __init__(self, plan: Any, store: Store) -> None:
        super().__init__(plan, store)
        self._solids: dict[tuple[int, tuple[float, ...], bool], tuple[Solids, Array]] = {}
        self._lit: dict[tuple[int, int], list[float] | None] = {}
        self._passed: dict[int, tuple[float, float]] = {}

    def light(self, plantings: Sequence[Planting], season: int) -> dict[int, tuple[float, float, float, float]]:
        """Per planting number: hours on 21 June, of these from 11 to 16 h, hours on 15 March, share of the open beam.

        Taken at 0.9 of the foliage height, mean over the crown or drift, its own members left out.
        """
        missing = [planting for planting in plantings if (season, planting.number) not in self._lit]
        places, owners = self._receivers(missing, season)
        found = _means(owners, _columns(self._light(places, owners, season))) if places else {}
        self._lit.update({(season, planting.number): found.get(planting.number) for planting in missing})
        rows = {planting.number: self._lit[season, planting.number] for planting in plantings}
        return {number: (row[0], row[1], row[2], row[3]) for number, row in rows.items() if row}

    def sun(
        self, plantings: Sequence[Planting], season: int, on_days: Sequence[float], crowns_only: bool = False
    ) -> dict[int, list[Sun]]:
        """Per planting number what it gets on each day, as ``light`` takes it.

        crowns_only: in the shade of what is woody alone, as if there were neither structures nor perennials.
        """
        import numpy as np

        from bedfellow.rules.border.light import daily

        receivers, owners = self._receivers(plantings, season)
        if not receivers:
            return {}
        solids, passes = self._standing(season, on_days, False, woody_only=crowns_only)
        site = self.plan.site
        got = daily(
            np.array(receivers), np.array(owners), site.latitude, self._faces(), solids, passes,
            None if crowns_only else self.screens(), () if crowns_only else site.horizon or (), on_days, step_minutes=30.0,
        )  # fmt: skip
        columns = np.concatenate([got.hours, got.morning, got.beam / np.maximum(got.open_beam, 1e-12)], axis=1)
        count = len(on_days)
        return {
            owner: [Sun(row[day], row[count + day], row[2 * count + day]) for day in range(count)]
            for owner, row in _means(owners, columns).items()
        }

    def _receivers(
        self, plantings: Sequence[Planting], season: int
    ) -> tuple[list[tuple[float, float, float]], list[int]]:
        """Where light is taken, at 0.9 of the foliage height, and the number of the planting of each place."""
        places = [
            ((x, y, 0.9 * crown.top), planting.number)
            for planting in plantings
            if (crown := self.crown(planting, season))
            for x, y in _spots(planting, crown)
        ]
        return [place for place, _ in places], [number for _, number in places]

    def light_at(
        self, place: tuple[float, float, float], season: int, owner: int = NOBODY
    ) -> tuple[float, float, float, float]:
        """The same at a place, (x, y, height above ground) in metres; owner: the planting whose shade does not count."""
        june, midday, march, share = _means([owner], _columns(self._light([place], [owner], season)))[owner]
        return june, midday, march, share

    def light_by_month(self, place: tuple[float, float, float], season: int) -> list[Month]:
        """Twelve months of sun at a place, (x, y, height above ground) in metres, as they fall here: on each mid-month."""
        import numpy as np

        from bedfellow.rules.border.light import daily, sky

        middles = tuple(float(FIRST_DAYS[month] + 14) for month in range(12))
        solids, passes = self.solids(season, middles)
        receivers, nobody = np.array([place]), np.array([NOBODY])
        got = daily(
            receivers, nobody, self.plan.site.latitude, self._faces(), solids, passes, self.screens(),
            self.plan.site.horizon or (), middles,
        )  # fmt: skip
        return [
            Month(
                month + 1, float(got.hours[0, month]), float(got.morning[0, month]), float(got.midday[0, month]),
                float(got.beam[0, month] / max(got.open_beam[month], 1e-12)),
                float(sky(receivers, nobody, self._faces(), solids, passes[:, month], self.screens(), self.plan.site.horizon or ())[0]),
            )
            for month in range(12)
        ]  # fmt: skip

    def light_map(self, season: int, cell: float = 0.25) -> tuple[list[float], list[float], list[list[float | None]]]:
        """(x of columns, y of rows, share of the open site's beam from April to September a hand above the ground).

        Rows from the front; None outside the beds. In the south from October to March. Cells are larger on endless ground.
        """
        import numpy as np

        from bedfellow.schema.geometry import inside

        corners = [point for bed in self.plan.borders for point in bed.outline]
        wide, deep = (max(ends) - min(ends) for ends in zip(*corners, strict=True))
        cell = max(cell, sqrt(wide * deep / MOST_CELLS), max(wide, deep) / MOST_CELLS)
        columns, rows = (
            [float(value) for value in np.arange(min(ends) + cell / 2, max(ends), cell)]
            for ends in zip(*corners, strict=True)
        )
        grid = [(x, y) for y in rows for x in columns]
        within = [any(inside(point, bed.outline) for bed in self.plan.borders) for point in grid]
        places = [(x, y, HAND) for (x, y), lies in zip(grid, within, strict=True) if lies]
        shares = iter(self._light(places, [NOBODY] * len(places), season).share if places else ())
        values = [round(float(next(shares)), 3) if lies else None for lies in within]
        return columns, rows, [values[n * len(columns) : (n + 1) * len(columns)] for n in range(len(rows))]

    def _light(self, places: Sequence[tuple[float, float, float]], owners: Sequence[int], season: int) -> Light:
        import numpy as np

        from bedfellow.rules.border.light import days, light

        solids, passes = self.solids(season, days(self.plan.site.latitude))
        return light(
            np.array(places), np.array(owners), self.plan.site.latitude, self._faces(), solids, passes, self.screens(),
            self.plan.site.horizon or (),
        )  # fmt: skip

    def _faces(self) -> float:
        site = self.plan.site
        if site.faces is not None:
            return float(site.faces)
        return (float(site.north) + 180) % 360 if site.north is not None else 180.0

    def solids(self, season: int, on_days: Sequence[float], risen: bool = False) -> tuple[Solids, Array]:
        """All crowns in the nth season and what each lets through on each day, (n, days).

        risen: plants that rise yearly have the height they have reached on the first of the days.
        """
        known = (season, tuple(on_days), risen)
        if known not in self._solids:
            self._solids[known] = self._standing(season, known[1], risen)
        return self._solids[known]

    def _standing(
        self, season: int, on_days: Sequence[float], risen: bool, woody_only: bool = False
    ) -> tuple[Solids, Array]:
        import numpy as np

        from bedfellow.rules.border.rays import solids

        rows, passes = [], []
        for planting in self.standing:
            crown = self.crown_on(planting, season, on_days[0]) if risen else self.crown(planting, season)
            if crown is None or planting.supported or not self.present(planting, season):
                continue
            if woody_only and not (planting.woody or planting.kept):
                continue
            through = [self._passes(planting, season, day, risen) for day in on_days]
            shape = (crown.base, crown.top, crown.c0, crown.c1, crown.c2, crown.mean_chord(), planting.number)
            for point in planting.points:
                rows.append((*point, *shape))
                passes.append(through)
        return solids(rows), np.array(passes, dtype=float).reshape(len(rows), len(on_days))

    def _passes(self, planting: Planting, season: int, day: float, risen: bool) -> float:
        """Share of the beam that passes the whole crown on a day; 1 when nothing stands there.

        Where the crowns have their full height on every day, one that has not half of it counts as not there.
        """
        if not risen and self.risen(planting, season, day) < HALF_UP:
            return 1.0
        if planting.number not in self._passed:
            self._passed[planting.number] = (_passed(planting, True), _passed(planting, False))
        in_leaf, bare = self._passed[planting.number]
        return in_leaf if self.in_leaf(planting, day) else bare

    def screens(self) -> Screens | None:
        from bedfellow.rules.border.rays import screens

        rows = []
        for structure in self.plan.structures:
            if structure.height is None or len(structure.points) < 2:
                continue
            points = list(structure.points)
            if structure.kind == "building" and len(points) > 2:
                points.append(points[0])
            for (x0, y0), (x1, y1) in pairwise(points):
                rows.append((x0, y0, x1, y1, 0.0, structure.height, structure.openness or 0.0))
        return screens(rows) if rows else None


def _passed(planting: Planting, leafy: bool) -> float:
    """Share of the beam that passes the whole crown, in leaf or bare."""
    traits = planting.traits
    if planting.rises_yearly and not leafy:
        return 1.0
    if traits.yes("see_through"):
        return PASSES_AIRY
    named = traits.measure("transmittance_in_leaf" if leafy else "transmittance_bare")
    if named is not None:
        return named.typical
    if planting.rises_yearly:
        return PASSES_HERB
    return PASSES_EVERGREEN if planting.evergreen else PASSES_IN_LEAF if leafy else PASSES_BARE


def _spots(planting: Planting, crown: Crown, most: int = 6) -> list[tuple[float, float]]:
    """Where light is taken: about the crown of a single plant, over the members of a drift."""
    points = planting.points
    if len(points) == 1:
        (x, y), reach = points[0], crown.greatest_radius / 2
        return [(x, y), (x + reach, y), (x - reach, y), (x, y + reach), (x, y - reach)]
    step = max(1, ceil(len(points) / most))
    return list(points[::step])


def _columns(got: Light) -> Array:
    import numpy as np

    return np.column_stack([got.june_hours, got.midday_june_hours, got.march_hours, got.share])


def _means(owners: list[int], columns: Array) -> dict[int, list[float]]:
    """Mean of the columns over the places of each owner."""
    rows: dict[int, list[int]] = {}
    for index, owner in enumerate(owners):
        rows.setdefault(owner, []).append(index)
    return {owner: [float(value) for value in columns[places].mean(axis=0)] for owner, places in rows.items()}
