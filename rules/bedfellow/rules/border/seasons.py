"""When each plant of a plan leafs, flowers and dies back at its site, and how long it is there at all."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.crown import Crown, crown_of
from bedfellow.rules.border.growth import coppiced_height, height_share
from bedfellow.rules.border.phenology import DAYS_A_DEGREE, IN_TOWN, Varying, deviation, region_of, shifted
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.border.stature import WINTER_ENDS, Stature, habit
from bedfellow.schema.values import FIRST_DAYS, YEAR, Window, month_of

if TYPE_CHECKING:
    from bedfellow.traits_db.snapshot import Store

# Days from the first leaf to full height of what rises from the ground: common practice.
RISE = 60
LEAFY = (105, 310)  # mid April to early November: deciduous leaves where no dates are known
FILLER_SEASONS = 2  # a filler without an end leaves after the second summer: common practice


class Seasons(Stature):
    """The plants of a plan through the year, by the calendar of the site."""

    def __init__(self, plan: Any, store: Store) -> None:
        super().__init__(plan, store)
        self._windows: dict[tuple[int, str], Window | None] = {}
        self._leaves: dict[int, tuple[float, float]] = {}

    def present(self, planting: Planting, season: int) -> bool:
        """The planting is there in the nth season: some are planted later, fillers leave, short-lived plants die out."""
        if planting.kept:
            return True  # nobody says how old it is
        years = self.years(planting, season)
        if years < min(season, 1):
            return False
        if planting.temporary:
            return season <= self._last_season(planting)
        life = planting.traits.measure("lifespan")
        return planting.line.status in ("allowed", "tolerated") or life is None or years <= life.high

    def _last_season(self, planting: Planting) -> int:
        """The last season of a temporary planting: the one before it leaves, the first or second where that is not said."""
        until = planting.line.until
        season = self.season_of(until) if until else None
        if until and season is not None:
            return max(1, season - (self._spring(until)[1] <= WINTER_ENDS))
        return FILLER_SEASONS if planting.line.fills else 1

    def in_months(self, day: float, first: int, last: int) -> bool:
        """A day of the year lies in the season here that these months (1 to 12, both included) are in the north."""
        northern = (day - 1 + (YEAR / 2 if self.south else 0)) % YEAR + 1
        return first <= month_of(int(northern)) <= last

    def cut_down(self, planting: Planting, month: int) -> bool:
        """By that month of a winter the plan's tasks have cut the planting down: from September on, or since New Year."""
        winter = [self.month_here(m) for m in (9, 10, 11, 12, 1, 2, 3)]
        before = winter[: winter.index(month) + 1] if month in winter else []
        return any(
            "cut" in task.task.lower() and planting.key in task.plants and task.month in before
            for task in self.plan.tasks
        )

    def window(self, planting: Planting, trait: str) -> Window | None:
        """A window of the plant as it falls at the site; None where it is not known, or known from another part of the world.

        Dates are shifted by latitude and altitude where the site's longitude says that it lies in the same region, by half a
        year across the equator, and everywhere by the sea, the town and the warmth that the site states.
        """
        known = (planting.number, trait)
        if known not in self._windows:
            self._windows[known] = self._here(planting.traits.window(trait))
        return self._windows[known]

    def _here(self, window: Window | None) -> Window | None:
        if window is None:
            return None
        site = self.plan.site
        earlier = DAYS_A_DEGREE * (site.warming or 0.0) + (IN_TOWN if site.urban else 0.0)
        region = region_of(site.latitude, site.longitude)
        # Without a longitude nobody knows whether the site lies where the dates were recorded: they stay as they are.
        if region is None and not self.south:
            return shifted(window, None, None, site.coast, earlier)
        if region != window.region and not self.south:
            return None
        return shifted(window, site.latitude, site.altitude, site.coast, earlier)

    def varying(self, window: Window) -> Varying:
        """The typical window, and how far its start and end lie off from year to year, by the season here."""
        span = window.start.typical, window.end.typical
        return span, (deviation(span[0] - self.later), deviation(span[1] - self.later))

    def wanting(self, planting: Planting, trait: str) -> str:
        """What is missing where ``window`` is None: the trait, or its dates in this part of the world."""
        window = planting.traits.window(trait)
        return trait if window is None else f"{trait}: dates of this region, not of {window.region}"

    def in_leaf(self, planting: Planting, day: float) -> bool:
        """Living leaves on a day of the year."""
        if planting.evergreen:
            return True
        start, end = self._leafy(planting)
        return start <= day <= end or start <= day + YEAR <= end

    def _leafy(self, planting: Planting) -> tuple[float, float]:
        """First and last day in leaf; dates from another part of the world serve where there are no better ones."""
        if planting.number not in self._leaves:
            self._leaves[planting.number] = self._in_leaf(planting)
        return self._leaves[planting.number]

    def _in_leaf(self, planting: Planting) -> tuple[float, float]:
        window = self.window(planting, "in_leaf") or planting.traits.window("in_leaf")
        start, end = LEAFY[0] + float(self.later), LEAFY[1] + float(self.later)
        if window is not None:
            start, end = window.start.typical, window.end.typical
        out = planting.line.out
        # What goes out in May has no leaves here before, whatever it has under glass.
        return next((float(day) for day in (out, out + YEAR) if start < day <= end), start) if out else start, end

    def risen(self, planting: Planting, season: int, day: float) -> float:
        """Share of its height in the nth season that a planting has on a day: on its way up from the ground, or cut back."""
        if planting.rises_yearly:
            if planting.evergreen:
                return 1.0
            start, end = self._leafy(planting)
            return height_share(day, start, min(start + RISE, end), end)
        cut = self.cut(planting)
        if cut is None or cut.seasons_since(self.years(planting, season)) != 0:
            return 1.0
        size = self.size(planting, season)
        full = size.height.typical if size else 0.0
        return coppiced_height(day, full, cut.day, cut.to) / full if full else 1.0

    def crown_on(self, planting: Planting, season: int, day: float) -> Crown | None:
        """The leafy solid on a day of the nth season: what rises yearly is on its way up, or gone; what is clipped may not
        have been so for the first time. The shoots that it makes between clippings are left out.
        """
        if self._not_yet_clipped(planting, season, day):
            size = self._grow(planting, season, pruned=False)
            return None if size is None else self._solid(planting, size)
        crown = self.crown(planting, season)
        share = 1.0 if crown is None else self.risen(planting, season, day)
        if crown is None or share >= 1:
            return crown
        if share <= 0.05:
            return None
        return crown_of(habit(planting), crown.top * share, 2 * crown.greatest_radius * max(share, 0.5), 0.0)

    def _not_yet_clipped(self, planting: Planting, season: int, day: float) -> bool:
        """The first clipping comes later in this season than that day."""
        kept = planting.line.clipped or planting.line.pruned_to
        if not kept or not kept.months or not kept.since or season != self.kept_from(planting):
            return False
        begin = self.later
        return (day - begin) % YEAR < min((FIRST_DAYS[month - 1] - begin) % YEAR for month in kept.months)


def within(window: Window, day: float) -> bool:
    """A day of the year lies in the typical window, which may cross New Year."""
    return any(window.start.typical <= candidate <= window.end.typical for candidate in (day, day + YEAR))
