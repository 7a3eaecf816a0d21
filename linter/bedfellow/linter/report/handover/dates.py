"""The tasks as a calendar (iCalendar, RFC 5545): an event of one day for each job, again and again where it is due again."""

from __future__ import annotations

import datetime
from collections import Counter
from hashlib import sha256
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover.rows import words
from bedfellow.linter.report.handover.times import after
from bedfellow.rules.words import capital

if TYPE_CHECKING:
    from icalendar import Event

    from bedfellow.linter.report.handover.jobs import Job
    from bedfellow.linter.report.handover.pack import Pack

PRODUCT = "-//bedfellow//planting tasks//EN"
NAMED = 2  # plants in a headline


def calendar(pack: Pack) -> bytes:
    """Every job that has a month, each with an identity that stays when the plan is handed over again."""
    from icalendar import Calendar

    book = Calendar()
    book.add("prodid", PRODUCT)
    book.add("version", "2.0")
    book.add("x-wr-calname", words(pack.title))
    seen: Counter[tuple[str, int]] = Counter()
    for job in pack.jobs:
        if job.first is not None:
            same = (job.what, job.first[1])
            book.add_component(_event(pack, job, seen[same]))
            seen[same] += 1
    return bytes(book.to_ical())


def _event(pack: Pack, job: Job, again: int) -> Event:
    from icalendar import Event as Entry

    assert job.first is not None
    day = datetime.date(*job.first, job.day)
    event = Entry()
    event.add("uid", identity(pack.title, job, again))
    event.add("dtstamp", datetime.datetime.combine(pack.today, datetime.time(), datetime.UTC))
    event.add("dtstart", day)
    event.add("dtend", day + datetime.timedelta(days=1))
    event.add("summary", words(_headline(pack, job)))
    event.add("description", words(_description(pack, job)))
    event.add("transp", "TRANSPARENT")
    if job.every:
        event.add("rrule", _rule(job))
    return event


def identity(title: str, job: Job, again: int) -> str:
    """By the plan's title, or its file's name, the work and its month: plants that come to it or leave it are the same event still."""
    month = job.first[1] if job.first else 0
    text = "\0".join((title, job.what, str(month), str(again)))
    return f"{sha256(text.encode('utf-8', 'surrogatepass')).hexdigest()[:32]}@bedfellow"


def _rule(job: Job) -> dict[str, object]:
    assert job.every is not None
    rule: dict[str, object] = (
        {"freq": "yearly", "interval": job.every // 12}
        if job.every % 12 == 0
        else {"freq": "monthly", "interval": job.every}
    )
    if job.last:
        rule["until"] = datetime.date(*after(job.last, 1), 1) - datetime.timedelta(days=1)
    return rule


def _headline(pack: Pack, job: Job) -> str:
    what = capital(job.what)
    names = list(
        dict.fromkeys(pack.border.by_key[key].traits.name if key in pack.border.by_key else key for key in job.keys)
    )
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return f"{what}: {', '.join(names[:NAMED])}{more}" if names else what


def _description(pack: Pack, job: Job) -> str:
    parts = [f"{pack.named(job.keys)}." if job.keys else "", f"From: {job.basis}.", job.caution]
    if pack.border.plan.planted is None:
        parts.append("The plan does not say when it is planted; months are counted from the date of the pack.")
    return " ".join(part for part in parts if part)
