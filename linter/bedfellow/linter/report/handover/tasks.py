"""The tasks of aftercare: the plan's own, and what the traits of its plants and common practice add where the plan is silent."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import times
from bedfellow.linter.report.handover.care import Care
from bedfellow.linter.report.handover.jobs import YEARLY, Job, together
from bedfellow.linter.report.handover.orders import SELF_SOWN
from bedfellow.linter.report.handover.pruning import PRACTICE
from bedfellow.linter.report.handover.watering import water_jobs
from bedfellow.rules.words import metres
from bedfellow.schema.values import FIRST_DAYS

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.times import Month
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

MULCHED, CLEARED = 3, 11  # months in the north: common practice


def tasks(border: Border, start: Month) -> tuple[Job, ...]:
    """All work, the same on several plants told once, by the month in which it is due first.

    What would first be due when its plants are gone is left out.
    """
    return together(job for job in _all(border, start) if not (job.first and job.last and job.first > job.last))


def _all(border: Border, start: Month) -> Iterator[Job]:
    yield from _stated(border, start)
    yield from _mulch(border, start)
    for planting in border.plantings:
        end = _end(border, planting, start)
        if planting.line.status not in SELF_SOWN:
            yield from _put_in(border, planting, start)
            yield from _taken_out(planting, end)
        yield from Care(border, planting, start, end).jobs()
    yield from water_jobs(border, start)


def _stated(border: Border, start: Month) -> Iterator[Job]:
    for task in border.plan.tasks:
        first = times.next_in(start, task.month) if task.month else None
        every = round(YEARLY * (task.every or 1))
        yield Job(task.task, tuple(task.plants), first, every if first else None, "the plan")


def _mulch(border: Border, start: Month) -> Iterator[Job]:
    mulch = border.plan.mulch
    if mulch is None or mulch.depth == 0:
        return
    depth = f", {metres(mulch.depth)} deep" if mulch.depth else ""
    what = f"mulch with {mulch.material}" if mulch.material else "mulch"
    yield Job(f"{what}{depth}, clear of stems", (), start, None, "the plan")
    if not any("mulch" in task.task.lower() for task in border.plan.tasks):
        first = times.next_in(times.after(start, 6), border.month_here(MULCHED))
        yield Job("top the mulch up where it has worn thin, clear of stems", (), first, YEARLY, PRACTICE)


def _put_in(border: Border, planting: Planting, start: Month) -> Iterator[Job]:
    line, key = planting.line, (planting.key,)
    if line.delivery:
        what = "take delivery, and look at every plant before it is signed for"
        yield Job(what, key, line.delivery, None, "the plan")
    month = times.planted_in(border, planting, start)
    basis = "the plan" if border.plan.planted or line.planted else "the month of this pack: the plan does not say it"
    if line.out:
        yield Job("plant out", key, month, None, "the plan", day=line.out - FIRST_DAYS[month[1] - 1] + 1)
    elif times.dry_bulb(planting):
        depth = planting.traits.measure("planting_depth")
        deep = line.depth or (depth.typical if depth else None)
        if month != start and not line.planted:
            basis = f"planting window: {border.source(planting, 'planting_window')}"
        yield Job("plant the bulbs" + (f", {100 * deep:.0f} cm deep" if deep else ""), key, month, None, basis)
    else:
        yield Job("plant", key, month, None, basis)


def _taken_out(planting: Planting, end: Month | None) -> Iterator[Job]:
    if end is not None:
        way = f", to make way for {planting.line.makes_way_for}" if planting.line.makes_way_for else ""
        basis = "the plan" if planting.line.until else f"a filler or annual without an end in the plan; {PRACTICE}"
        yield Job(f"take out{way}", (planting.key,), end, None, basis)


def _end(border: Border, planting: Planting, start: Month) -> Month | None:
    """The month in which a planting that does not stay is taken out; None for one that stays."""
    if not planting.temporary:
        return None
    if planting.line.until:
        return planting.line.until  # type: ignore[no-any-return]
    last = max((season for season in range(1, 11) if border.present(planting, season)), default=1)
    begin = times.planted_in(border, planting, start)
    return times.in_season(border, begin, last, border.month_here(CLEARED))
