"""The whole pack of one plan as plain rows, before anything is written."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from bedfellow.linter.report.handover import (
    cards,
    cautions,
    gaps,
    interest,
    orders,
    setting_out,
    standing,
    supports,
    tasks,
    times,
    watering,
)
from bedfellow.linter.report.parts import title_of
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.handover.jobs import Job
    from bedfellow.linter.report.handover.times import Month
    from bedfellow.rules.border.border import Border

T = TypeVar("T")
STEPS = 8


@dataclass(frozen=True, slots=True)
class Pack:
    """start: the month of planting, or of the pack where the plan does not say it; currency: empty where it is not stated."""

    result: Result
    border: Border
    title: str
    today: datetime.date
    start: Month
    currency: str
    orders: tuple[orders.Ordered, ...]
    supports: tuple[supports.Support, ...]
    setting_out: setting_out.SettingOut
    jobs: tuple[Job, ...]
    shown: tuple[interest.Shown, ...]
    watered: tuple[watering.Watered, ...]
    cards: tuple[cards.Card, ...]
    harmful: tuple[cautions.Harmful, ...]
    bare: tuple[gaps.Bare, ...]
    frontage: tuple[gaps.Held, ...]
    leaving: tuple[str, ...]
    lacking: tuple[str, ...]
    revisions: tuple[standing.Revision, ...]

    def named(self, keys: Sequence[str]) -> str:
        """Plants by their full names and keys, in a sentence."""
        return listed([self.border.by_key[key].title if key in self.border.by_key else key for key in keys])


def pack_of(result: Result, digest: str, tell: Callable[[int], None] = lambda done: None) -> Pack:
    """Everything there is to hand over; the result has a border with a plant in it.

    digest: of the plan's bytes (`standing.digest_of`); tell: told the steps done, of STEPS.
    """
    border = result.border
    assert border is not None
    today = datetime.date.fromisoformat(result.today)
    start = times.beginning(border, today)
    done = 0

    def step(value: T) -> T:
        nonlocal done
        done += 1
        tell(done)
        return value

    brief = border.plan.brief
    rows = step(orders.ordered(border, start))
    return Pack(
        result=result,
        border=border,
        title=title_of(result),
        today=today,
        start=start,
        currency=(brief.currency if brief else None) or "",
        orders=rows,
        supports=supports.supports(border),
        setting_out=step(setting_out.setting_out(border)),
        jobs=step(tasks.tasks(border, start)),
        shown=step(interest.shown(border)),
        watered=step(watering.watered(border)),
        cards=step(cards.cards(border)),
        harmful=cautions.harmful(border),
        bare=step(gaps.bare(border)),
        frontage=step(gaps.frontage(border)),
        leaving=gaps.leaving(border),
        lacking=standing.lacking(result, rows),
        revisions=standing.revisions(result, digest),
    )
