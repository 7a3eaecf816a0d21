"""The border: a plan with the traits of its plants, grown to any season. Lazy: what nobody asks for is not computed.

Border(plan, store)
  .plantings      lines whose plant is known        .unknown_names   lines whose plant is not
  .size(p, n)     height and spread in season n     .crown(p, n)     the solid it fills
  .neighbours(n)  pairs whose crowns may touch      .light(ps, n)    sun hours and share of the open beam
  .cover(n, day)  share of the ground under leaves
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import ceil, floor, hypot
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.border.crown import Crown, crown_of
from bedfellow.rules.border.growth import height_share, herbaceous_share, woody_size
from bedfellow.rules.border.planting import Planting, members, stated
from bedfellow.schema.values import YEAR, Measure, Window

if TYPE_CHECKING:
    from bedfellow.rules.border.light import Light
    from bedfellow.rules.border.rays import Array, Screens, Solids
    from bedfellow.traits_db.snapshot import Store

# Common practice, used where a trait is not known and the assumption cannot turn a finding.
HABIT = {
    "tree": "rounded",
    "shrub": "rounded",
    "subshrub": "mound",
    "grass": "clump",
    "bamboo": "vase",
    "fern": "rosette",
}
ESTABLISH = {"perennial": 3, "grass": 3, "fern": 4, "bulb": 1, "annual": 1, "biennial": 2}
# Share of the beam that passes a crown in leaf and bare: the middle of the eleven trees of Wilkinson 1992 (.11-.27,
# .30-.54); evergreens and leafy herbs from common practice.
PASSES_IN_LEAF, PASSES_BARE, PASSES_EVERGREEN, PASSES_HERB, PASSES_AIRY = 0.20, 0.50, 0.12, 0.30, 0.80
# A shrub as bought, where the plan does not say: common practice.
SUPPLIED_SHARE, SUPPLIED_LEAST, SUPPLIED_MOST = 0.2, 0.2, 1.2
# Days from the first leaf to full height of what rises from the ground: common practice.
RISE = 60
LEAFY = (105, 310)  # mid April to early November: deciduous leaves where no dates are known


class Size(NamedTuple):
    """Height and spread in metres, each low, typical, high."""

    height: Measure
    spread: Measure


class Pair(NamedTuple):
    """Two plantings and the distance in metres between their nearest members, with where these stand."""

    first: Planting
    second: Planting
    distance: float
    at: tuple[tuple[float, float], tuple[float, float]]


class Border:
    """A plan grown in space and time."""

    def __init__(self, plan: Any, store: Store) -> None:
        self.plan = plan
        found = store.find({line.name for line in plan.lines})
        self.unknown_names = tuple(line for line in plan.lines if found.get(line.name) is None)
        self.plantings = tuple(
            Planting(number, line, found[line.name].with_overrides(stated(line)), members(line))  # type: ignore[union-attr]
            for number, line in enumerate(plan.lines)
            if found.get(line.name) is not None
        )
        self.by_key = {planting.key: planting for planting in self.plantings}
        self._store = store
        self._sizes: dict[tuple[int, int], Size | None] = {}
        self._crowns: dict[tuple[int, int, str], Crown | None] = {}
        self._solids: dict[tuple[int, tuple[float, ...], bool], tuple[Solids, Array]] = {}

    @property
    def complete(self) -> bool:
        """Every line was read and its plant recognised."""
        return bool(self.plan.complete) and not self.unknown_names

    def near_names(self, name: str) -> tuple[str, ...]:
        """Known names nearest to one that is not known."""
        return tuple(self._store.near(name))

    # ---- how large

    def size(self, planting: Planting, season: int) -> Size | None:
        """Size in the nth season; None where height or spread is not known."""
        known = (planting.number, season)
        if known not in self._sizes:
            self._sizes[known] = self._grow(planting, season)
        return self._sizes[known]

    def _grow(self, planting: Planting, season: int) -> Size | None:
        traits = planting.traits
        height, spread = traits.measure("height"), traits.measure("spread")
        if height is None or spread is None:
            return None
        if not planting.woody and planting.life_form != "subshrub":
            establish = traits.measure("seasons_to_establish")
            seasons = establish.typical if establish else ESTABLISH.get(planting.life_form, 3)
            share = herbaceous_share(season, seasons)
            return Size(_scaled(height, share), _scaled(spread, share))
        grown = Size(self._woody(traits, height, "height_10", season), self._woody(traits, spread, "spread_10", season))
        return _kept(grown, planting.line)

    @staticmethod
    def _woody(traits: Any, ultimate: Measure, at_ten: str, season: int) -> Measure:
        ten = traits.measure(at_ten)
        if ten is not None and season == 10:
            return Measure(*ten)
        years = traits.measure("years_to_ultimate")
        start = min(SUPPLIED_MOST, max(SUPPLIED_LEAST, SUPPLIED_SHARE * ultimate.typical))
        start = min(start, 0.9 * ultimate.typical, 0.9 * ten.typical if ten else ultimate.typical)
        typical = woody_size(
            ultimate.typical, years.typical if years else 15, start, season, ten.typical if ten else None
        )
        scale = ten if ten is not None and season <= 10 else ultimate
        return _scaled(scale, typical / scale.typical)

    def foliage_height(self, planting: Planting, season: int) -> float | None:
        """Typical height of the leafy mass in metres."""
        size = self.size(planting, season)
        if size is None:
            return None
        leafy = planting.traits.measure("foliage_height")
        full = planting.traits.measure("height")
        if leafy is None or full is None:
            return size.height.typical
        return size.height.typical * leafy.typical / full.typical

    def crown(self, planting: Planting, season: int, end: str = "typical") -> Crown | None:
        """The leafy solid in the nth season, at the low, typical or high end of its size."""
        known = (planting.number, season, end)
        if known not in self._crowns:
            self._crowns[known] = self._crown(planting, season, end)
        return self._crowns[known]

    def _crown(self, planting: Planting, season: int, end: str) -> Crown | None:
        size = self.size(planting, season)
        leafy = self.foliage_height(planting, season)
        if size is None or leafy is None or leafy <= 0:
            return None
        typical = size.height.typical
        height = leafy * getattr(size.height, end) / typical if typical else leafy
        habit = planting.traits.word("habit") or HABIT.get(planting.life_form, "clump")
        return crown_of(habit, height, getattr(size.spread, end), self._base(planting, height))

    @staticmethod
    def _base(planting: Planting, height: float) -> float:
        clear = planting.line.clear_stem
        if clear:
            return min(float(clear), 0.8 * height)
        natural, full = planting.traits.measure("crown_base"), planting.traits.measure("height")
        if natural is None or full is None or not planting.woody:
            return 0.0
        return min(natural.typical * height / full.typical, 0.8 * height)

    # ---- when

    def in_leaf(self, planting: Planting, day: float) -> bool:
        """Living leaves on a day of the year."""
        if planting.evergreen:
            return True
        window = planting.traits.window("in_leaf")
        if window is None:
            return LEAFY[0] <= day <= LEAFY[1]
        return within(window, day)

    # ---- who is near whom

    def neighbours(self, season: int, cell: float = 1.0) -> Iterator[Pair]:
        """Pairs of plantings whose crowns, at the high end, may meet; each with its nearest members.

        Members are laid on a grid of square cells, each in the cells that its circle touches, so that the work grows
        with the number of plants and not with its square.
        """
        cells: dict[tuple[int, int], list[tuple[Planting, float, float, float]]] = {}
        for planting in self.plantings:
            size = self.size(planting, season)
            if size is None or planting.supported:
                continue
            radius = size.spread.high / 2
            for x, y in planting.points:
                for column in range(floor((x - radius) / cell), ceil((x + radius) / cell)):
                    for row in range(floor((y - radius) / cell), ceil((y + radius) / cell)):
                        cells.setdefault((column, row), []).append((planting, x, y, radius))
        nearest: dict[tuple[int, int], Pair] = {}
        for standing in cells.values():
            for index, (first, x1, y1, r1) in enumerate(standing):
                for second, x2, y2, r2 in standing[index + 1 :]:
                    if first.number == second.number:
                        continue
                    distance = hypot(x1 - x2, y1 - y2)
                    if distance >= r1 + r2:
                        continue
                    pair = Pair(first, second, distance, ((x1, y1), (x2, y2)))
                    if first.number > second.number:
                        pair = Pair(second, first, distance, ((x2, y2), (x1, y1)))
                    key = (pair.first.number, pair.second.number)
                    if key not in nearest or distance < nearest[key].distance:
                        nearest[key] = pair
        for key in sorted(nearest):
            yield nearest[key]

    # ---- light

    def light(self, plantings: Sequence[Planting], season: int) -> dict[int, tuple[float, float, float, float]]:
        """Per planting number: hours on 21 June, of these from 11 to 16 h, hours on 15 March, share of the open beam.

        Taken at 0.9 of the foliage height, mean over the crown or drift, its own members left out.
        """
        import numpy as np

        from bedfellow.rules.border.light import days, light

        receivers: list[tuple[float, float, float]] = []
        owners: list[int] = []
        for planting in plantings:
            crown = self.crown(planting, season)
            if crown is None:
                continue
            for x, y in _spots(planting, crown):
                receivers.append((x, y, 0.9 * crown.top))
                owners.append(planting.number)
        if not receivers:
            return {}
        solids, passes = self.solids(season, days(self.plan.site.latitude))
        got = light(
            np.array(receivers), np.array(owners), self.plan.site.latitude, self._faces(), solids, passes, self.screens(),
            self.plan.site.horizon or (),
        )  # fmt: skip
        return _means(owners, got)

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

    def _standing(self, season: int, on_days: Sequence[float], risen: bool) -> tuple[Solids, Array]:
        import numpy as np

        from bedfellow.rules.border.rays import solids

        rows, passes = [], []
        for planting in self.plantings:
            crown = self.crown_on(planting, season, on_days[0]) if risen else self.crown(planting, season)
            if crown is None or planting.supported:
                continue
            through = [self._passes(planting, day) for day in on_days]
            shape = (crown.base, crown.top, crown.c0, crown.c1, crown.c2, crown.mean_chord(), planting.number)
            for point in planting.points:
                rows.append((*point, *shape))
                passes.append(through)
        return solids(rows), np.array(passes, dtype=float).reshape(len(rows), len(on_days))

    def crown_on(self, planting: Planting, season: int, day: float) -> Crown | None:
        """The leafy solid on a day of the nth season: what rises yearly is on its way up, or gone."""
        crown = self.crown(planting, season)
        if crown is None or not planting.rises_yearly or planting.evergreen:
            return crown
        window = planting.traits.window("in_leaf")
        start, end = (window.start.typical, window.end.typical) if window else LEAFY
        share = height_share(day, start, min(start + RISE, end), end)
        if share <= 0.05:
            return None
        habit = planting.traits.word("habit") or HABIT.get(planting.life_form, "clump")
        return crown_of(habit, crown.top * share, 2 * crown.greatest_radius * max(share, 0.5), 0.0)

    def _passes(self, planting: Planting, day: float) -> float:
        """Share of the beam that passes the whole crown on a day; 1 when nothing stands there."""
        traits = planting.traits
        leafy = self.in_leaf(planting, day)
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

    # ---- along the front

    def frontage(self) -> tuple[float, float]:
        """Left and right end of the run of frontage in metres, over all beds."""
        xs = [x for bed in self.plan.borders for x, _ in bed.outline]
        return (min(xs), max(xs)) if xs else (0.0, 0.0)

    def seen_from_front(
        self, planting: Planting, shape: Crown, season: int, day: float, most_members: int
    ) -> tuple[Array, Array]:
        """What is seen of a planting on a day from the front: shares (m, 5) of m points over its members, and their weights.

        shape: the solid that is looked at; most_members: of a large drift about so many are looked at. The five eyes
        stand before each point and 1 and 2 m to either side. A planting without a place has no points.
        """
        import numpy as np

        from bedfellow.rules.border.sight import eyes_facing, silhouette, visible_share

        if not planting.points:
            return np.empty((0, 5)), np.empty(0)
        step = max(1, len(planting.points) // most_members)
        drawn = [silhouette(x, y, shape) for x, y in planting.points[::step]]
        targets = np.concatenate([points for points, _ in drawn])
        weights = np.concatenate([shares for _, shares in drawn])
        left, right = self.frontage()
        front = min(y for bed in self.plan.borders for _, y in bed.outline)
        solids, passes = self.solids(season, [day], risen=True)
        owners = np.full(len(targets), planting.number)
        return visible_share(targets, owners, eyes_facing(targets, left, right, front), solids, passes[:, 0]), weights

    def share_of_frontage(self, plantings: Iterable[Planting], season: int) -> float:
        """Share of the run of frontage that the crowns of these plantings take up."""
        left, right = self.frontage()
        runs = sorted(
            (max(left, x - crown.greatest_radius), min(right, x + crown.greatest_radius))
            for planting in plantings
            if (crown := self.crown(planting, season))
            for x, _ in planting.points
        )
        taken, reached = 0.0, left
        for start, end in runs:
            if end > reached:
                taken += end - max(start, reached)
                reached = end
        return taken / (right - left) if right > left else 0.0

    # ---- the ground

    def cover(self, season: int, day: float, low_leaves: float = 0.6) -> float:
        """Share of all beds under living leaves within low_leaves metres of the ground."""
        from bedfellow.rules.border.cover import covered, ground_of, share

        area = under = 0.0
        circles = [
            (x, y, crown.greatest_radius)
            for planting in self.plantings
            if self.in_leaf(planting, day) and (crown := self.crown(planting, season)) and crown.base <= low_leaves
            for x, y in planting.points
        ]
        for bed in self.plan.borders:
            ground = ground_of(bed.outline, size=0.1)
            area += ground.area
            under += ground.area * share(ground, covered(ground, circles))
        return under / area if area else 0.0


def within(window: Window, day: float) -> bool:
    """A day of the year lies in the typical window, which may cross New Year."""
    return any(window.start.typical <= candidate <= window.end.typical for candidate in (day, day + YEAR))


def _scaled(measure: Measure, factor: float) -> Measure:
    return Measure(measure.low * factor, measure.typical * factor, measure.high * factor)


def _kept(size: Size, line: Any) -> Size:
    """A plant that the plan keeps to a size is never larger than that."""
    kept = line.clipped or line.pruned_to
    if not kept:
        return size
    limits = (kept.height, kept.width)
    return Size(*(
        measure if limit is None else Measure(*(min(value, limit) for value in measure))
        for measure, limit in zip(size, limits, strict=True)
    ))  # fmt: skip


def _spots(planting: Planting, crown: Crown, most: int = 6) -> list[tuple[float, float]]:
    """Where light is taken: about the crown of a single plant, over the members of a drift."""
    points = planting.points
    if len(points) == 1:
        (x, y), reach = points[0], crown.greatest_radius / 2
        return [(x, y), (x + reach, y), (x - reach, y), (x, y + reach), (x, y - reach)]
    step = max(1, ceil(len(points) / most))
    return list(points[::step])


def _means(owners: list[int], got: Light) -> dict[int, tuple[float, float, float, float]]:
    sums: dict[int, list[float]] = {}
    for index, owner in enumerate(owners):
        row = sums.setdefault(owner, [0.0] * 5)
        for column, values in enumerate((got.june_hours, got.midday_june_hours, got.march_hours, got.share)):
            row[column] += float(values[index])
        row[4] += 1
    return {owner: (a / n, b / n, c / n, d / n) for owner, (a, b, c, d, n) in sums.items()}
