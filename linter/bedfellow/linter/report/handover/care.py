"""What one planting wants in a year by its line, its traits and common practice, where no task of the plan says it already."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import times
from bedfellow.linter.report.handover.jobs import YEARLY, Job
from bedfellow.linter.report.handover.pruning import PRACTICE, REACH, pruned
from bedfellow.linter.report.handover.supports import TALL, TIED
from bedfellow.rules.care.work import PROPS, RENEWS
from bedfellow.rules.words import listed
from bedfellow.schema.values import month_of

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.times import Month
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

# Months in the north: common practice.
DIVIDED, SEEDLINGS, STAKED, TIED_IN, FROST = 3, 4, 5, 6, 10
PROLIFIC = 3  # step of self-seeding
AT_HEIGHT = "Above reach: work at height is for those trained for it."
WINTERS = {
    "lifted": "lift before the first frost and keep dry and frost-free",
    "fleeced": "wrap in fleece before the first frost",
    "under glass": "bring under glass before the first frost",
}


@dataclass(frozen=True, slots=True)
class Care:
    """A planting, when the plan begins, and when it is taken out, if it is."""

    border: Border
    planting: Planting
    start: Month
    end: Month | None

    def jobs(self) -> Iterator[Job]:
        """All of it."""
        yield from self._pruning()
        yield from self._staking()
        yield from self._heads()
        yield from self._dividing()
        yield from self._winter()
        yield from self._seedlings()

    def _again(self, what: str, season: int, month: int, basis: str, years: int = 1, caution: str = "") -> Job:
        """Work from a season on, in a month here, every so many years."""
        first = times.in_season(self.border, self.start, season, month)
        return Job(what, (self.planting.key,), first, YEARLY * years, basis, self.end, caution=caution)

    def _source(self, trait: str) -> str:
        return f"{trait.replace('_', ' ')}: {self.border.source(self.planting, trait)}"

    def _told(self, *words: str) -> bool:
        """A task of the plan says it of this planting, or of all."""
        return any(
            any(word in task.task.lower() for word in words) and (not task.plants or self.planting.key in task.plants)
            for task in self.border.plan.tasks
        )

    def _pruning(self) -> Iterator[Job]:
        size = self.border.size(self.planting, 10)
        high = self.planting.woody and size is not None and size.height.typical > REACH
        for way in pruned(self.border, self.planting):
            caution = AT_HEIGHT if high and not way.low else ""
            if not way.months:
                yield Job(way.how, (self.planting.key,), None, None, way.basis, caution=caution)
            for month in way.months:
                yield self._again(way.how, way.first, month, way.basis, way.every, caution)

    def _staking(self) -> Iterator[Job]:
        planting, size = self.planting, self.border.size(self.planting, 3)
        tall = size is not None and size.height.typical >= TALL
        if planting.traits.yes("needs_staking") and tall and not planting.supported and not self._told(*PROPS):
            month = self.border.month_here(STAKED)
            yield self._again("put in stakes or hoops while it is short", 1, month, self._source("needs_staking"))
        tied = planting.line.trained or planting.traits.word("climbing_method") in TIED
        if planting.life_form == "climber" and tied and not self._told("tie"):
            month = self.border.month_here(TIED_IN)
            yield self._again("tie in new shoots, and loosen what has grown tight", 1, month, PRACTICE)

    def _heads(self) -> Iterator[Job]:
        """Dead flowers are taken off where the plan says so, where it brings more, and where seed would be everywhere."""
        planting, traits = self.planting, self.planting.traits
        flower = self.border.window(planting, "flower")
        if flower is None or planting.line.deadheaded is False or self._told("head"):
            return
        if planting.line.deadheaded:
            for month in times.window_months(flower):
                yield self._again("take off dead flowers", 1, month, "the plan")
        elif traits.yes("reflowers_after_cutting") and not planting.woody:
            month = times.month_at((flower.start.typical + flower.end.typical) / 2)
            what = "cut off the first flowers as they fade: it flowers again"
            yield self._again(what, 1, month, self._source("reflowers_after_cutting"))
        elif self._seeds_everywhere():
            month = times.month_at(flower.end.typical)
            yield self._again("take off dead flowers before they seed", 1, month, self._source("self_seeding"))

    def _seeds_everywhere(self) -> bool:
        """It does, nothing says that it may, and its seedheads are not what it is grown for."""
        prolific = self.planting.traits.step("self_seeding") == PROLIFIC
        return prolific and not self.planting.line.self_sown and self.border.window(self.planting, "seedhead") is None

    def _dividing(self) -> Iterator[Job]:
        planting, divided = self.planting, self.planting.traits.measure("divide_every")
        if divided is None or planting.temporary or self._told(*RENEWS):
            return
        years = max(1, round(divided.typical))
        gone = self.border.window(planting, "die_back") if planting.life_form == "bulb" else None
        month = times.month_at(gone.end.typical) if gone else self.border.month_here(DIVIDED)
        season = years + 2 - self.border.years(planting, 1)
        what = "lift and divide where it has grown thin or crowded"
        yield self._again(what, season, month, self._source("divide_every"), years)

    def _winter(self) -> Iterator[Job]:
        what = WINTERS.get(self.planting.line.winter or "")
        if what:
            frost = self.border.plan.site.first_frost
            month = month_of(frost) if frost else self.border.month_here(FROST)
            first = times.next_in(times.planted_in(self.border, self.planting, self.start), month)
            basis = "the plan" if frost else f"the plan; the month is {PRACTICE}"
            yield Job(what, (self.planting.key,), first, YEARLY, basis, self.end)

    def _seedlings(self) -> Iterator[Job]:
        sown = self.planting.line.self_sown
        if sown is None or sown.status == "planted":
            return
        where = f" in {listed(sown.keep_out_of)}" if sown.keep_out_of else ""
        unwanted = sown.status == "not wanted" or bool(where)
        what = f"weed out seedlings{where}" if unwanted else "thin seedlings to those that stand well"
        yield self._again(what, 1, self.border.month_here(SEEDLINGS), f"the plan; the month is {PRACTICE}")
