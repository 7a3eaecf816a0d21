"""Pages for whoever looks after the planting: tasks, watering, pruning."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import cautions, parts, rows, times, watering
from bedfellow.linter.report.handover.parts import Part, Row
from bedfellow.rules.words import capital, month

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.jobs import Job
    from bedfellow.linter.report.handover.pack import Pack

NESTS = "Look for nests before cutting; in many places the law protects them."
WATERED = (
    "key", "plant", "number", "size as bought", "L each", "L in all", "1st summer: days", "2nd summer: days", "note",
)  # fmt: skip


def tasks(pack: Pack) -> Iterator[Part]:
    """Month by month, then by the month of the year."""
    start = times.told(pack.start)
    if pack.border.plan.planted:
        yield parts.text(f"Month by month for two years from planting in {start}.")
    else:
        yield parts.text(f"The plan does not say when it is planted: months are counted from {start}.")
    yield parts.quiet(
        "From: the plan; a trait of the plant with its source (memory: no published source was read for it); or common practice. "
        "The same work is in calendar.ics."
    )
    due = [(when, job) for job in pack.jobs for when in job.due(pack.start, times.WATCHED)]
    due.sort(key=lambda entry: (entry[0], entry[1].day))
    told: list[Row] = [[times.told(when), *_work(job, pack)] for when, job in due]
    yield parts.table(("when", "what", "plants", "from"), told, (0, 3, 3, 2), 8, (), (0, 1, 2, 3))
    undated = [_work(job, pack) for job in pack.jobs if job.first is None]
    if undated:
        yield parts.heading("When it is needed")
        yield parts.table(("what", "plants", "from"), undated, (3, 3, 2), 8, (), (0, 1, 2))
    yield parts.heading("Later years")
    end = times.after(pack.start, times.WATCHED)
    coming = [(job.first[1], job) for job in pack.jobs if job.first and rows.comes_later(pack, job)]
    coming.sort(key=lambda entry: entry[0])
    later: list[Row] = [[month(when), rows.often(job, end), *_work(job, pack)] for when, job in coming]
    head = ("month", "how often", "what", "plants", "from")
    yield parts.table(head, later, (0, 1.3, 3, 3, 2), 8, (), (0, 1, 2, 3, 4)) if later else parts.text("None is known.")


def _work(job: Job, pack: Pack) -> Row:
    what = f"{capital(job.what)}" + (f". {job.caution}" if job.caution else "")
    if job.what.startswith(watering.WATER):
        return [what, "all but those that rest", job.basis]
    by_key = pack.border.by_key
    plants = list(dict.fromkeys(by_key[key].traits.name if key in by_key else key for key in job.keys))
    return [what, parts.names(plants) if plants else "", job.basis]


def watered(pack: Pack) -> Iterator[Part]:
    """How often and how much, line by line."""
    months = [pack.border.month_here(number) for number in watering.SUMMER]
    yield parts.text(
        f"For two summers, from {month(months[0])} to {month(months[-1])}: in dry weather every so many days, at the foot of each "
        "plant and slowly; after a day of steady rain begin to count anew. On the day of planting all but dry bulbs is watered in. "
        "A plant whose size as bought is not stated is reckoned as small."
    )
    yield parts.caution(watering.CAUTION)
    found: list[Row] = [
        [row.key, parts.name_of(row.name), row.number, row.supplied, _figure(row.litres), _figure(row.litres * row.number),
         _figure(row.first), _figure(row.second), row.note]
        for row in pack.watered
    ]  # fmt: skip
    yield parts.table(WATERED, found, (0, 2.6, 0, 1, 0, 0, 0.9, 0.9, 2), 8, (2, 4, 5, 6, 7))


def _figure(value: float | None) -> str:
    return f"{value:g}" if value else "–"


def cut(pack: Pack) -> Iterator[Part]:
    """A card for each plant."""
    yield parts.caution(f"{cautions.HEIGHT} {cautions.LOCAL} {NESTS}")
    cards = []
    for card in pack.cards:
        ways = [(capital(when), how, basis) for when, how, basis in card.ways]
        cards.append(
            {
                "name": parts.name_of(card.name),
                "keys": parts.shown(parts.few(card.keys)),
                "ways": [list(map(parts.shown, way)) for way in ways or [rows.NOT_CUT]],
                "size": parts.shown(f"{capital(card.size)}."),
                "care": list(map(parts.shown, card.care)),
            }
        )
    yield {"kind": "cards", "cards": cards}
