"""How large each plant of a plan is in any season, and the solid that it fills."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.border import supply
from bedfellow.rules.border.conditions import thrift
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
YEARS = 15.0  # to ultimate size
# Radius in m that a plant of which nothing is known is allowed, half of it in a drift: common practice.
STRANGER = 0.6


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

    # ---- how large

    def size(self, planting: Planting, season: int) -> Size | None:
        """Size in the nth season, 0 the day of planting; None where height or spread is not known."""
        known = (planting.number, season)
        if known not in self._sizes:
            self._sizes[known] = self._grow(planting, season)
        return self._sizes[known]

    def wanting_size(self, planting: Planting) -> tuple[str, ...]:
        """Which of height and spread is not known, where ``size`` is None."""
        return tuple(name for name in ("height", "spread") if planting.traits.measure(name) is None)

    def _grow(self, planting: Planting, season: int) -> Size | None:
        height, spread = self._full(planting, "height"), self._full(planting, "spread")
        if height is None or spread is None:
            return None
        grown = Size(height, spread)
        if planting.herbaceous:
            return _clump(planting, grown, season)
        return _kept(self._woody(planting, grown, season), planting.line)

    def _full(self, planting: Planting, trait: str) -> Measure | None:
        """A height or spread in this garden's soil and wind; what the plan itself states is left as it is."""
        fact = planting.traits.fact(trait)
        if fact is None or not isinstance(fact.value, Measure):
            return None
        if fact.level == "plan":
            return fact.value
        taller, wider = thrift(self.plan.site, planting.traits, not planting.herbaceous)
        return _scaled(fact.value, taller if trait.startswith("height") else wider)

    def _woody(self, planting: Planting, grown: Size, season: int) -> Size:
        traits = planting.traits
        years = traits.measure("years_to_ultimate")
        stock = _stock(planting, grown)
        found = []
        for name, ultimate in zip(Size._fields, grown, strict=True):
            ten = self._full(planting, f"{name}_10")
            # A size that the plan states stands before a younger one that it does not.
            if _of_plan(planting, name) and not _of_plan(planting, f"{name}_10"):
                ten = None
            planted = getattr(stock, name) if stock else None
            found.append(_on_curve(ultimate, years.typical if years else YEARS, season, ten, planted))
        return Size(*found)

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
        clear = planting.line.clear_stem or supply.clear_stem(planting.line.form, planting.line.supplied)
        if clear:
            return min(float(clear), 0.8 * height)
        natural, full = planting.traits.measure("crown_base"), planting.traits.measure("height")
        if natural is None or full is None or not planting.woody:
            return 0.0
        return min(natural.typical * height / full.typical, 0.8 * height)


def _of_plan(planting: Planting, trait: str) -> bool:
    fact = planting.traits.fact(trait)
    return fact is not None and fact.level == "plan"


def _stock(planting: Planting, grown: Size) -> supply.Stock | None:
    """The woody plant on the day of planting; None where nothing is said of its size."""
    stated = planting.line.supplied
    if stated is None:
        return None
    if planting.life_form == "tree":
        return supply.tree(stated, grown.height.typical)
    return supply.shrub(stated, (grown.height.typical, grown.spread.typical))


def _on_curve(ultimate: Measure, years: float, season: float, ten: Measure | None, planted: Measure | None) -> Measure:
    """A woody height or spread after so many years, each end on a curve of its own."""
    bought = supply.usual(ultimate.typical)
    if ten is not None:
        bought = min(bought, 0.9 * ten.typical)
    ends = []
    for end in Measure._fields:
        usual = bought * getattr(ultimate, end) / ultimate.typical
        start = usual if planted is None else min(getattr(planted, end), getattr(ultimate, end))
        at_ten = None if ten is None else getattr(ten, end)
        ends.append(woody_size(getattr(ultimate, end), years, start, season, at_ten, usual))
    return Measure(min(ends), ends[1], max(ends))


def _clump(planting: Planting, grown: Size, season: float) -> Size:
    """A herbaceous plant in a season: a bulb has its height at once, others reach it as they establish."""
    traits = planting.traits
    stock = supply.herb(planting.line.supplied, (grown.height.typical, grown.spread.typical))
    establish = traits.measure("seasons_to_establish")
    seasons = establish.typical if establish else ESTABLISH.get(planting.life_form, 3)
    share, first = herbaceous_share(season, seasons), herbaceous_share(1, seasons)
    spread = Measure(*(max(had, share * full) for had, full in zip(stock.spread, grown.spread, strict=True)))
    young = traits.measure("first_season_height")
    if planting.life_form == "bulb":
        return Size(_scaled(grown.height, float(season > 0)), spread)
    if young is not None and season > 0 and first < 1:
        gone = (share - first) / (1 - first)
        return Size(
            Measure(*(one + gone * max(0.0, full - one) for one, full in zip(young, grown.height, strict=True))), spread
        )
    return Size(
        Measure(*(max(had, share * full) for had, full in zip(stock.height, grown.height, strict=True))), spread
    )


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
