"""How large each plant of a plan is in any season, and the solid that it fills."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.border.crown import Crown, crown_of
from bedfellow.rules.border.growth import herbaceous_share, woody_size
from bedfellow.rules.border.planting import Planting, members, stated
from bedfellow.schema.values import Measure
from bedfellow.traits_db.facts import MEMORY

if TYPE_CHECKING:
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
# Radius in m that a plant of which nothing is known is allowed, half of it in a drift: common practice.
STRANGER = 0.6
# A shrub as bought, where the plan does not say: common practice.
SUPPLIED_SHARE, SUPPLIED_LEAST, SUPPLIED_MOST = 0.2, 0.2, 1.2


class Size(NamedTuple):
    """Height and spread in metres, each low, typical, high."""

    height: Measure
    spread: Measure


class Stature:
    """The plants of a plan with their traits, grown to any season.

    unknown_names: lines whose plant is not known.
    """

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

    @property
    def complete(self) -> bool:
        """Every line was read and has a place."""
        return bool(self.plan.complete) and all(planting.points or planting.supported for planting in self.plantings)

    @cached_property
    def strangers(self) -> tuple[tuple[float, float, float], ...]:
        """Where plants that are not known stand: (x, y, radius) in metres, as wide as such a plant may well be.

        What they would do is counted in favour of the plan, so that one name not found leaves the whole judged.
        """
        return tuple(
            (x, y, STRANGER / 2 if line.outline else STRANGER) for line in self.unknown_names for x, y in members(line)
        )

    def near_names(self, name: str) -> tuple[str, ...]:
        """Known names nearest to one that is not known."""
        return tuple(self._store.near(name))

    def source(self, planting: Planting, trait: str) -> str:
        """The title of the work that the value in use of a trait comes from; ``the plan``, or ``memory``."""
        fact = planting.traits.fact(trait)
        if fact is None or fact.source == MEMORY:
            return MEMORY
        return "the plan" if fact.level == "plan" else self._store.source(fact.source)

    def size(self, planting: Planting, season: int) -> Size | None:
        """Size in the nth season; None where height or spread is not known."""
        known = (planting.number, season)
        if known not in self._sizes:
            self._sizes[known] = self._grow(planting, season)
        return self._sizes[known]

    def wanting_size(self, planting: Planting) -> tuple[str, ...]:
        """Which of height and spread is not known, where ``size`` is None."""
        return tuple(name for name in ("height", "spread") if planting.traits.measure(name) is None)

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
