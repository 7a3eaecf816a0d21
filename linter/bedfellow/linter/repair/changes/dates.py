"""Dates and tasks: when a plant comes or goes out, until when it stays, and which work is done in which month."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bedfellow.linter.repair.changes.repair import Repair, added
from bedfellow.linter.repair.edit import Edit
from bedfellow.rules.border.border import Border
from bedfellow.rules.finding import Finding
from bedfellow.rules.words import listed, month
from bedfellow.schema.place import Path
from bedfellow.schema.values import FIRST_DAYS, YEAR, month_of

AUTUMN = 10  # northern month in which a filler that has served is cleared: common practice


def lifted(finding: Finding, border: Border) -> Iterator[Repair]:
    """Stock with bare roots in the next month in which it is lifted, or the same in a container."""
    first, last = int(str(finding.evidence["first"])), int(str(finding.evidence["last"]))
    resting = [(first + n - 1) % 12 + 1 for n in range((last - first) % 12 + 1)]
    yield from _in_months(finding, border, resting)
    planting = border.by_key[finding.keys[0]]
    words = f"Order {planting.title} in a container"
    edit = Edit((*planting.path, "root_form"), "container")
    yield Repair(words, (edit,), True, finding.keys, ("a container costs more than bare roots",))


def in_its_time(finding: Finding, border: Border) -> Iterator[Repair]:
    """The next month in which the plant is planted."""
    months = finding.evidence.get("months")
    if isinstance(months, list | tuple):
        yield from _in_months(finding, border, [int(number) for number in months])


def _in_months(finding: Finding, border: Border, months: list[int]) -> Iterator[Repair]:
    """The date of a line in the first of some months after it; the plan's own date is left, and the line gets one."""
    planting = border.by_key[finding.keys[0]]
    line = planting.line
    date = line.planted or line.delivery or border.plan.planted
    if date is None or not months:
        return
    year, number = date
    wait = min((one - number) % 12 for one in months)
    year, number = year + (number + wait - 1) // 12, (number + wait - 1) % 12 + 1
    at: Path = finding.at if len(finding.at) > 1 else (*planting.path, "planted")
    verb = "Order" if at[-1] == "delivery" else "Plant"
    words = f"{verb} {planting.title} in {month(number)} {year}"
    waits = f"{wait} {'month' if wait == 1 else 'months'} later"
    yield Repair(words, (Edit(at, f"{year}-{number:02}"),), True, finding.keys, (waits,))


def task_in(finding: Finding, border: Border) -> Iterator[Repair]:
    """A task in the month from which it does no harm."""
    number = finding.evidence.get("until") if finding.code == "WINTER-03" else finding.evidence.get("from")
    if not isinstance(number, int):
        return
    words = f"Do '{finding.evidence['task']}' in {month(number)}"
    yield Repair(words, (Edit((*finding.at, "month"), number),), True, finding.keys)


def after_frost(finding: Finding, border: Border) -> Iterator[Repair]:
    """Out the day after the last frost of an average year, and two weeks after it."""
    last = border.plan.site.last_frost
    planting = border.by_key[finding.keys[0]]
    if last is None:
        return
    for later in (1, 15):
        day = (last + later - 1) % YEAR + 1
        number = month_of(day)
        date = day - FIRST_DAYS[number - 1] + 1
        words = f"Put {planting.title} out on {date} {month(number)}, and later in a cold spring"
        yield Repair(words, (Edit(finding.at, f"{number:02}-{date:02}"),), True, finding.keys)


def closing(finding: Finding, border: Border) -> Iterator[Repair]:
    """The autumn in which what fills meanwhile goes."""
    season = finding.evidence.get("season")
    if not isinstance(season, int) or border.plan.planted is None:
        return
    number, first = border.month_here(AUTUMN), border.plan.planted[0]
    year = next(year for year in range(first, first + season + 2) if border.season_of((year, number)) == season)
    plantings = [border.by_key[key] for key in finding.keys]
    words = f"Take out {listed([planting.title for planting in plantings])} in {month(number)} {year}"
    edits = tuple(Edit((*planting.path, "until"), f"{year}-{number:02}") for planting in plantings)
    yield Repair(words, edits, True, finding.keys)


def cut_stems(finding: Finding, border: Border) -> Iterator[Repair]:
    """A task that renews stems that colour when young."""
    yield _task(finding, border, "cut back to a low framework", border.month_here(3), every=1)


def stake(finding: Finding, border: Border) -> Iterator[Repair]:
    """A task that stakes what falls over."""
    yield _task(finding, border, "stake", border.month_here(5), every=1)


def water(finding: Finding, border: Border) -> Iterator[Repair]:
    """A task that waters in the first two summers."""
    yield _task(finding, border, "water through the first two summers", border.month_here(6))


def _task(finding: Finding, border: Border, task: str, number: int, every: int | None = None) -> Repair:
    keys = list(finding.keys)
    item: dict[str, Any] = {"task": task, **({"plants": keys} if keys else {}), "month": number}
    item |= {"every": every} if every else {}
    named = listed([border.by_key[key].title for key in keys])
    words = f"Add a task: {task}{f' {named}' if named else ''} in {month(number)}"
    return Repair(
        words,
        (added(border, "tasks", item),),
        True,
        finding.keys,
        ("work each year" if every else "work in two summers",),
    )
