"""Work in the garden with its dates: once, or again and again from a month on."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from bedfellow.linter.report.handover.times import Month, after, between

YEARLY = 12


@dataclass(frozen=True, slots=True)
class Job:
    """what: in words, without the plants; keys: of the plants it is about; first: month in which it is due first, None where
    nobody says when; every: months until it is due again, None once; last: the last month in which it may be due; day: of
    the month; basis: where it comes from; caution: who must be asked, if anybody.
    """

    what: str
    keys: tuple[str, ...]
    first: Month | None
    every: int | None
    basis: str
    last: Month | None = None
    day: int = 1
    caution: str = ""

    def due(self, begin: Month, months: int) -> Iterator[Month]:
        """The months in which it is due, of so many from the beginning."""
        if self.first is None:
            return
        end = after(begin, months)
        month = self.first
        if self.every and month < begin:
            month = after(month, self.every * math.ceil(between(month, begin) / self.every))
        while month < end and (self.last is None or month <= self.last):
            if month >= begin:
                yield month
            if not self.every:
                return
            month = after(month, self.every)

    def goes_on(self, begin: Month, months: int) -> bool:
        """It is still due after so many months."""
        return self.every is not None and (self.last is None or self.last >= after(begin, months))


def together(jobs: Iterable[Job]) -> tuple[Job, ...]:
    """The same work on several plants as one job, by the month in which it is due first; what has no month comes last."""
    found: dict[tuple[object, ...], Job] = {}
    for job in jobs:
        same = (job.what, job.first, job.every, job.last, job.day, job.basis, job.caution)
        known = found.get(same)
        keys = job.keys if known is None else (*known.keys, *(key for key in job.keys if key not in known.keys))
        found[same] = replace(job, keys=keys)
    return tuple(
        sorted(found.values(), key=lambda job: (job.first is None, job.first or (0, 0), job.day, job.what, job.keys))
    )
