"""How large each plant of a plan is in any season, and the solid that it fills."""

from __future__ import annotations

from functools import cached_property
from math import ceil
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border import supply
from bedfellow.rules.border.conditions import thrift
from bedfellow.rules.border.crown import Crown, crown_of
from bedfellow.rules.border.growth import STOOL, Size, edge
from bedfellow.rules.border.planting import Planting, line_of, members, stated, unknown
from bedfellow.rules.border.sizes import Cut, clump, establishes, no_larger, on_curve, regrown, scaled, stock
from bedfellow.schema.values import FIRST_DAYS, YEAR, Measure
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
YEARS = 15.0  # to ultimate size
INDEFINITE = 3  # class of spread from which a clump goes on at its edge
LAST_TO_GROW = 5  # what is planted after May has its first growing season in the next year
CUT_IN, WINTER_ENDS = 3, 3  # March
# Radius in m that a plant of which nothing is known is allowed, half of it in a drift: common practice.
STRANGER = 0.6


class Stature:
    """The plants of a plan with their traits, grown to any season.

    unknown_names: lines whose plant is not known; retained: plants that were there before and are kept, known or not;
    standing: plantings and retained plants, all that takes up room, light and view.
    """

    def __init__(self, plan: Any, store: Store) -> None:
        self.plan = plan
        kept = [plant for plant in plan.retained if plant.action == "keep"]
        found = store.find({line.name for line in (*plan.lines, *kept)})
        self.unknown_names = tuple(line for line in plan.lines if found.get(line.name) is None)
        ordered = {entry.key: entry.supplied for entry in plan.schedule}
        self.plantings = tuple(
            Planting(number, line, traits.with_overrides(stated(line)), members(line), ordered.get(line.key))
            for number, line in enumerate(plan.lines)
            if (traits := found.get(line.name)) is not None
        )
        self.retained = tuple(
            Planting(number, line_of(plant), found.get(plant.name) or unknown(plant.name), (plant.at,), kept=plant)
            for number, plant in enumerate(kept, len(plan.lines))
        )
        self.standing = (*self.plantings, *self.retained)
        self.by_key = {planting.key: planting for planting in reversed(self.standing)}
        self.store = store
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

    # ---- the years

    @property
    def south(self) -> bool:
        """South of the equator, where seasons fall half a year later."""
        return (self.plan.site.latitude or 0.0) < 0

    @property
    def later(self) -> int:
        """Days by which the seasons fall later than in the north: half a year, or none."""
        return YEAR // 2 if self.south else 0

    def month_here(self, northern: int) -> int:
        """The month (1 to 12) that has the season here of a month in the north."""
        return (northern + 5) % 12 + 1 if self.south else northern

    def _spring(self, month: tuple[int, int]) -> tuple[int, int]:
        """A (year, month) as the north has it, where spring and autumn of a growing season lie in one year."""
        year, number = month
        return (year + (number > 6), (number + 5) % 12 + 1) if self.south else month

    def season_of(self, month: tuple[int, int]) -> int | None:
        """The growing season that a (year, month) lies in, or, in winter, that follows; None if nobody says when is planted."""
        if self.plan.planted is None:
            return None
        first, number = self._spring(self.plan.planted)
        return self._spring(month)[0] - first + (number <= LAST_TO_GROW)

    def years(self, planting: Planting, season: int) -> int:
        """Growing seasons that a planting has had by the nth of the plan; below 1 where it is planted only later."""
        planted = planting.line.planted
        if planted is None or self.plan.planted is None:
            return season
        waits = (self.season_of(planted) or 0) + (self._spring(planted)[1] > LAST_TO_GROW) - 1
        return season - max(0, waits)

    # ---- names and sources

    def near_names(self, name: str) -> tuple[str, ...]:
        """Known names nearest to one that is not known."""
        return tuple(self.store.near(name))

    def source(self, planting: Planting, trait: str) -> str:
        """The title of the work that the value in use of a trait comes from; ``the plan``, or ``memory``."""
        fact = planting.traits.fact(trait)
        if fact is None or fact.source == MEMORY:
            return MEMORY
        return "the plan" if fact.level == "plan" else self.store.source(fact.source)

    # ---- how large

    def size(self, planting: Planting, season: int) -> Size | None:
        """Size in the nth season, 0 the day of planting; None where height or spread is not known."""
        known = (planting.number, season)
        if known not in self._sizes:
            self._sizes[known] = self._grow(planting, season)
        return self._sizes[known]

    def wanting_size(self, planting: Planting) -> tuple[str, ...]:
        """Which of height and spread is not known, where ``size`` is None."""
        return tuple(name for name in ("height", "spread") if self._full(planting, name) is None)

    def _grow(self, planting: Planting, season: int, pruned: bool = True) -> Size | None:
        height, spread = self._full(planting, "height"), self._full(planting, "spread")
        full = Size(height, spread) if height and spread else None
        if planting.kept:
            return self._grow_on(planting, full, season)
        if full is None:
            return None
        years = max(0, self.years(planting, season))
        if planting.herbaceous:
            return clump(planting, full, years)
        grown = self._woody(planting, full, stock(planting, full), years)
        if not pruned:
            return grown
        cut = self.cut(planting)
        if cut is not None:
            grown = regrown(planting, grown, cut.seasons_since(years))
        return no_larger(grown, *self._kept_to(planting, season))

    def _grow_on(self, planting: Planting, full: Size | None, season: int) -> Size | None:
        """A retained plant from the size that the plan states of it; of height and crown one follows from the other.

        Its crown is taken round its stem, with the mean of the radii stated.
        """
        plant = planting.kept
        height, spread = plant.height, 2 * sum(plant.crown) / len(plant.crown) if plant.crown else None
        if full is not None:
            height = height or (spread and spread * full.height.typical / full.spread.typical)
            spread = spread or (height and height * full.spread.typical / full.height.typical)
        if not height or not spread:
            return None
        now = Size(Measure(height, height, height), Measure(spread, spread, spread))
        return now if full is None or planting.herbaceous else self._woody(planting, full, now, season)

    def cut(self, planting: Planting) -> Cut | None:
        """How the plan has a shrub cut to the ground or nearly; None where it does not."""
        line = planting.line
        if planting.herbaceous or not (line.coppiced or line.cut_back):
            return None
        back = line.cut_back
        month = (back and back.month) or self.month_here(CUT_IN)
        return Cut((back and back.to) or STOOL, (back and back.every) or 1, FIRST_DAYS[month - 1] + 14.0)

    def kept_from(self, planting: Planting) -> int | None:
        """The season from which the plan keeps a planting to a size, 0 where it always does; None where it does not."""
        kept = planting.line.clipped or planting.line.pruned_to
        if not kept:
            return None
        since = self.season_of(kept.since) if isinstance(kept.since, tuple) else kept.since
        return since or 0

    def _kept_to(self, planting: Planting, season: int) -> tuple[float | None, float | None]:
        kept, since = planting.line.clipped or planting.line.pruned_to, self.kept_from(planting)
        return (kept.height, kept.width) if since is not None and season >= since else (None, None)

    def _full(self, planting: Planting, trait: str) -> Measure | None:
        """A height or spread in this garden's soil and wind; what the plan itself states is left as it is.

        None where it is not known, or nothing that a plant can have.
        """
        fact = planting.traits.fact(trait)
        if fact is None or not isinstance(fact.value, Measure) or fact.value.typical <= 0:
            return None
        if fact.level == "plan":
            return fact.value
        taller, wider = thrift(self.plan.site, planting.traits, not planting.herbaceous)
        return scaled(fact.value, taller if trait.startswith("height") else wider)

    def _woody(self, planting: Planting, grown: Size, planted: Size | None, season: int) -> Size:
        traits = planting.traits
        years = traits.measure("years_to_ultimate")
        pace = years.typical if years and years.typical > 0 else YEARS
        found = []
        for name, ultimate in zip(Size._fields, grown, strict=True):
            ten = self._full(planting, f"{name}_10")
            # A size that the plan states stands before a younger one that it does not.
            if _of_plan(planting, name) and not _of_plan(planting, f"{name}_10"):
                ten = None
            start = getattr(planted, name) if planted else None
            found.append(on_curve(ultimate, pace, season, ten, start))
        return Size(*found)

    def reach(self, planting: Planting, season: int) -> Measure | None:
        """m from the middle of a plant to the edge of its leaves: of one that spreads without end beyond its grown clump.

        The edge advances from the season in which the clump is established, and anew after each division.
        """
        size, rate = self.size(planting, season), planting.traits.step("spread_rate")
        if size is None:
            return None
        radius = scaled(size.spread, 0.5)
        if not planting.herbaceous or rate is None or rate < INDEFINITE:
            return radius
        seasons = max(0, self.years(planting, season) - ceil(establishes(planting)))
        for task in self.plan.tasks:
            if "divid" in task.task.lower() and planting.key in task.plants:
                seasons %= max(1, ceil(task.every or 1))
        return Measure(*(one + more for one, more in zip(radius, edge(rate, seasons), strict=True)))

    def foliage_height(self, planting: Planting, season: int) -> float | None:
        """Typical height of the leafy mass in metres."""
        size = self.size(planting, season)
        return None if size is None else _leafy(planting, size)

    def crown(self, planting: Planting, season: int, end: str = "typical") -> Crown | None:
        """The leafy solid in the nth season, at the low, typical or high end of its size."""
        known = (planting.number, season, end)
        if known not in self._crowns:
            self._crowns[known] = self._crown(planting, season, end)
        return self._crowns[known]

    def _crown(self, planting: Planting, season: int, end: str) -> Crown | None:
        size = self.size(planting, season)
        return None if size is None else self._solid(planting, size, end)

    def _solid(self, planting: Planting, size: Size, end: str = "typical") -> Crown | None:
        leafy = _leafy(planting, size)
        typical = size.height.typical
        spread = getattr(size.spread, end)
        height = leafy * getattr(size.height, end) / typical if typical > 0 else 0.0
        if height <= 0 or spread <= 0:
            return None
        return crown_of(habit(planting), height, spread, self._base(planting, height))

    @staticmethod
    def _base(planting: Planting, height: float) -> float:
        clear = planting.line.clear_stem or supply.clear_stem(planting.line.form, planting.supplied)
        if clear:
            return min(float(clear), 0.8 * height)
        natural, full = planting.traits.measure("crown_base"), planting.traits.measure("height")
        if natural is None or full is None or not planting.woody:
            return 0.0
        return min(natural.typical * height / full.typical, 0.8 * height)


def habit(planting: Planting) -> str:
    """The outline of a plant, by its life form where it is not known."""
    return planting.traits.word("habit") or HABIT.get(planting.life_form, "clump")


def _leafy(planting: Planting, size: Size) -> float:
    """m of the leafy mass at the typical size."""
    leafy, full = planting.traits.measure("foliage_height"), planting.traits.measure("height")
    return size.height.typical * (leafy.typical / full.typical if leafy and full else 1.0)


def _of_plan(planting: Planting, trait: str) -> bool:
    fact = planting.traits.fact(trait)
    return fact is not None and fact.level == "plan"
