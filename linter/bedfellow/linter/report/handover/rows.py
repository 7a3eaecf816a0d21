"""The tables of a pack, each with its headings: what the workbook, the CSV files and the document show.

A cell is text, a number or None. Text is somebody else's: `words` makes it fit to be shown anywhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import orders, sums, times
from bedfellow.linter.report.plain import plain
from bedfellow.rules.words import month

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.jobs import Job
    from bedfellow.linter.report.handover.pack import Pack

Cell = str | float | int | None
_NO_CHARACTERS = re.compile("[\ufdd0-\ufdef]|[^\x00-\U0010ffff]|[\ufffe\uffff]")
EVERY_MONTH = range(1, 13)
NOT_CUT = ("not cut", "no pruning is known to be needed", "no trait says otherwise")


def words(text: object) -> str:
    """Text on one line without control and direction characters, nor code points that are no characters."""
    return _NO_CHARACTERS.sub("\ufffd", plain(text))


@dataclass(frozen=True, slots=True)
class Table:
    """name: of its sheet and file; headings: a word a column; rows: as many cells each; money: numbers of columns with prices;
    cost: (quantity, price, cost), columns of which the last is the product of the others and is summed.
    """

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    money: tuple[int, ...] = ()
    cost: tuple[int, int, int] | None = None


ORDER = (
    "key", "name", "trade designation", "common name", "name in the plan", "on the drawing", "spare", "to order", "size as bought", "root form",
    "plants a m²", "metres apart", "distance is", "delivery", "planting", "can be planted", "unit price", "cost", "currency", "substitution", "note",
)  # fmt: skip


ASKED = ("name", "trade designation", "common name", "to order", "size as bought", "root form", "keys")


def schedules(pack: Pack) -> Iterator[Table]:
    """What is asked of a nursery, the lists of what is planted, then what holds climbers up."""
    asked = tuple(
        (row.name, row.trade, row.common, row.total, row.supplied, row.root_form, ", ".join(row.keys))
        for row in sums.by_plant(pack.orders)
    )
    yield Table("order", ASKED, asked)
    for kind in (orders.PLANTS, orders.BULBS, orders.TEMPORARY):
        rows = tuple(_ordered(row, pack.currency) for row in pack.orders if row.kind == kind)
        yield Table(kind, ORDER, rows, (16, 17), (7, 16, 17))
    held = tuple((row.what, row.for_plants, row.amount, row.note, row.basis) for row in pack.supports)
    yield Table("supports", ("what", "for", "amount", "note", "from"), held)


def _ordered(row: orders.Ordered, currency: str) -> tuple[Cell, ...]:
    distance = "" if row.distance is None else "stated" if row.distance_stated else "as its number fills its ground"
    return (
        row.key, row.name, row.trade, row.common, row.written, row.quantity, row.spare, row.total, row.supplied, row.root_form,
        row.density, row.distance, distance, row.delivery, row.planting, row.time, row.price, row.cost,
        currency if row.price is not None else "", row.substitution, row.note,
    )  # fmt: skip


def setting_out(pack: Pack) -> Table:
    """Metres to the centimetre: nobody sets a plant out more closely."""
    rows = tuple(
        (place.what, place.key, place.part, round(place.a, 2), round(place.b, 2), place.side, round(place.x, 2), round(place.y, 2),
         "" if place.sound else "check by x and y")
        for place in pack.setting_out.places
    )  # fmt: skip
    return Table(
        "setting out",
        ("what", "key", "part", "from A (m)", "from B (m)", "side of A to B", "x (m)", "y (m)", "note"),
        rows,
    )


def tasks(pack: Pack) -> Table:
    """Every occurrence in the first months, in order; then what goes on, and what has no month."""
    rows: list[tuple[Cell, ...]] = []
    due = [(when, job) for job in pack.jobs for when in job.due(pack.start, times.WATCHED)]
    for when, job in sorted(due, key=lambda entry: (entry[0], entry[1].day)):
        rows.append((times.told(when), job.what, ", ".join(job.keys), job.basis, job.caution))
    undated = [job for job in pack.jobs if job.first is None]
    rows += [("no month stated", job.what, ", ".join(job.keys), job.basis, job.caution) for job in undated]
    return Table("tasks", ("when", "what", "plants", "from", "caution"), tuple(rows))


def later(pack: Pack) -> Table:
    """What goes on after the first months, by the month of the year."""
    end = times.after(pack.start, times.WATCHED)
    coming = [(job.first[1], job) for job in pack.jobs if job.first and comes_later(pack, job)]
    rows = tuple(
        (month(when), often(job, end), job.what, ", ".join(job.keys), job.basis)
        for when, job in sorted(coming, key=lambda entry: entry[0])
    )
    return Table("later years", ("month", "how often", "what", "plants", "from"), rows)


def comes_later(pack: Pack, job: Job) -> bool:
    """It is due after the first months."""
    end = times.after(pack.start, times.WATCHED)
    return job.first is not None and (job.first >= end or job.goes_on(pack.start, times.WATCHED))


def often(job: Job, end: times.Month) -> str:
    """How often, and from when where that is after the end of the first months."""
    since = f", first in {job.first[0]}" if job.first and job.first >= end else ""
    if job.every is None:
        return f"once{since}"
    if job.every % 12:
        return f"every {job.every} months{since}"
    return f"{'yearly' if job.every == 12 else f'every {job.every // 12} years'}{since}"


def interest(pack: Pack) -> Table:
    """Plants by months, in words."""
    headings = ("key", "name", *(month(number) for number in EVERY_MONTH))
    return Table("interest", headings, tuple((row.key, row.name, *row.words) for row in pack.shown))


def watering(pack: Pack) -> Table:
    """Litres and days by line."""
    rows = tuple(
        (row.key, row.name, row.number, row.supplied, row.litres or None, round(row.litres * row.number, 1) or None, row.first, row.second, row.note)
        for row in pack.watered
    )  # fmt: skip
    headings = (
        "key",
        "name",
        "number",
        "size as bought",
        "litres a plant",
        "litres in all",
        "first summer: every so many days",
        "second summer: every so many days",
        "note",
    )
    return Table("watering", headings, rows)


def pruning(pack: Pack) -> Table:
    """A row a way of pruning of each card."""
    rows = tuple(
        (card.name, ", ".join(card.keys), *way, card.size, " ".join(card.care))
        for card in pack.cards
        for way in card.ways or (NOT_CUT,)
    )
    return Table("pruning", ("name", "keys", "when", "how", "from", "size", "care"), rows)


def every(pack: Pack) -> Iterator[Table]:
    """All tables, in the order of the workbook's sheets."""
    yield from schedules(pack)
    yield from (setting_out(pack), tasks(pack), later(pack), interest(pack), watering(pack), pruning(pack))


def texts(row: Sequence[Cell]) -> tuple[str, ...]:
    """A row as it is read."""
    return tuple("" if cell is None else words(f"{cell:g}" if isinstance(cell, float) else cell) for cell in row)
