"""Pages for the crew that plants: setting out, schedules, and what the planting shows and does not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import cautions, interest, orders, parts, rows, sums
from bedfellow.linter.report.handover.parts import Part, Row
from bedfellow.rules.words import month

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.pack import Pack

SCHEDULE = (
    "key", "plant", "number", "size as bought", "roots", "a m²", "m apart", "delivery", "planting", "usual months", "each", "cost",
    "instead", "note",
)  # fmt: skip
WIDTHS = (0, 3, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 1, 2)


def setting_out(pack: Pack) -> Iterator[Part]:
    """The fixed points in words, and every place."""
    out = pack.setting_out
    if out.fixed is None:
        yield parts.text("The plan states neither a bed nor a wall, fence or building to measure from.")
        return
    a, b = (f"{fixed.letter} is {fixed.words} (x {fixed.at[0]:.2f}, y {fixed.at[1]:.2f})" for fixed in out.fixed)
    yield parts.text(
        f"Two fixed points: {a}, {b}. They lie {out.base:.2f} m apart; measure that first. Hold a tape at each: a place lies where "
        "the two distances meet, on the side that is told, seen from A towards B. The tapes meet on the other side of the line "
        "from A to B too; that place is wrong."
    )
    yield parts.text(
        "x runs to the right along the front, y away from it, both from the plan's own zero. Where the tapes would cross at less "
        "than 30° or more than 150°, or a wall is in their way, the place is to be checked by x and y. A drift is set out by its corners."
    )
    yield parts.caution(cautions.SERVICES)
    table = rows.setting_out(pack)
    places: list[Row] = [
        [parts.name_of(str(row[0])) if row[1] else row[0], row[1], row[2], *(f"{value:.2f}" for value in row[3:5]), row[5],
         *(f"{value:.2f}" for value in row[6:8]), row[8]]
        for row in table.rows
    ]  # fmt: skip
    yield parts.table(table.headings, places, (3, 0, 1.6, 0, 0, 0, 0, 0, 0), 8, (3, 4, 6, 7))


def schedules(pack: Pack) -> Iterator[Part]:
    """What is asked of a nursery, then what is planted, list by list, each with what it costs."""
    wanted = sums.by_plant(pack.orders)
    if len(wanted) < len(pack.orders):
        yield parts.heading("To order, by plant")
        asked: list[Row] = [
            [_name(row.name, row.trade, row.common), row.total, row.supplied, row.root_form, parts.few(row.keys, 12)] for row in wanted
        ]  # fmt: skip
        yield parts.table(
            ("plant", "number", "size as bought", "roots", "for"), asked, (3, 0, 1, 0, 3), 7.5, (1,), (0, 1, 4)
        )
    for kind in (orders.PLANTS, orders.BULBS, orders.TEMPORARY):
        found = [row for row in pack.orders if row.kind == kind]
        yield parts.heading(kind.capitalize())
        if found:
            yield parts.table(SCHEDULE, map(_ordered, found), WIDTHS, 7.5, (2, 5, 6, 10, 11), (0, 1, 2))
        yield parts.text(_total(pack, found) if found else "None.")
    yield parts.heading("Supports")
    held = [(row.what, row.for_plants, row.amount, row.note, row.basis) for row in pack.supports]
    if held:
        yield parts.table(("what", "for", "amount", "note", "from"), held, (3, 1.5, 1.5, 3, 2), 7.5)
    else:
        yield parts.text("No climber or plant that falls is known to want any.")
    yield parts.quiet(
        "Names are accepted names as the ICNCP writes them, trade designations in capitals. A distance with ~ follows from the "
        "number of plants on their ground; one without is stated in the plan. Spare plants are counted in the number and stand after it."
    )


def _ordered(row: orders.Ordered) -> Row:
    name = _name(row.name, row.trade, row.common, row.written)
    spare = f" (+{row.spare})" if row.spare else ""
    apart = "" if row.distance is None else f"{'' if row.distance_stated else '~'}{row.distance:.2f}"
    return [
        row.key, name, f"{row.total}{spare}", row.supplied, row.root_form, row.density, apart, row.delivery,
        row.planting, row.time, None if row.price is None else f"{row.price:.2f}", None if row.cost is None else f"{row.cost:.2f}",
        row.substitution, row.note,
    ]  # fmt: skip


def _name(name: str, trade: str, common: str, written: str = "") -> parts.Spans:
    """A plant's accepted name, what it is sold as, called, and named in the plan."""
    return parts.name_of(name, trade.upper(), common and f"({common})", written and f"[in the plan: {written}]")


def _total(pack: Pack, found: Sequence[orders.Ordered]) -> str:
    number, total = sum(row.total for row in found), sums.total(found)
    if all(row.price is None for row in found):
        return f"{number:,} in all. The plan states no prices."
    currency = f" {pack.currency}" if pack.currency else " (no currency stated)"
    lines = "1 line" if total.unpriced == 1 else f"{total.unpriced} lines"
    more = f"; {lines} without a price on top" if total.unpriced else ""
    return f"{number:,} in all, {total.cost:,.2f}{currency}{more}."


def looked_at(pack: Pack) -> Iterator[Part]:
    """Month by month, in words."""
    yield parts.text(
        "In an average year at this site; dates move by some weeks from year to year. The strongest come first."
    )
    by_month = interest.by_month(pack.shown)
    shows: list[Row] = [[month(number), _showing(by_month[number])] for number in rows.EVERY_MONTH]
    yield parts.table(("month", "what shows"), shows, (0, 1), 8)
    evergreen = sorted({p.traits.name for p in pack.border.plantings if p.evergreen}, key=str.casefold)
    if evergreen:
        yield parts.spans(
            [["regular", "In leaf all year: "], *parts.names(evergreen, len(evergreen)), ["regular", "."]]
        )
    else:
        yield parts.text("No plant of this plan is known to be evergreen.")


def _showing(found: Sequence[tuple[interest.Shown, str]]) -> parts.Spans:
    spans: parts.Spans = []
    for name, words in dict.fromkeys((row.name, words) for row, words in found):
        spans += [
            *([["regular", "; "]] if spans else []),
            *parts.name_of(name),
            ["regular", f": {parts.shown(words)}"],
        ]
    return spans or [["regular", "nothing but leaves"]]


def gaps(pack: Pack) -> Iterator[Part]:
    """What will look empty."""
    yield parts.heading("Months, in the third season")
    held: list[Row] = [[month(entry.month), f"{entry.frontage:.0%}", entry.plants] for entry in pack.frontage]
    head = ("month", "frontage with something to look at", "lines that have it")
    yield parts.table(head, held, (0, 0, 0), 8.5, (1, 2))
    yield parts.quiet("Evergreen leaves count as something to look at.")
    thin = [finding.message for finding in pack.result.findings if finding.code.startswith("SEASON-")]
    if thin:
        yield parts.listing(thin)
    if pack.bare:
        yield parts.heading("Ground that lies open")
        found: list[Row] = [[str(row.season), f"{row.summer:.0%}", f"{row.winter:.0%}"] for row in pack.bare]
        yield parts.table(("season", "at midsummer", "in late winter"), found, (0, 0, 0), 8.5, (1, 2))
        yield parts.quiet(
            "Share of the beds over which no leaves stand, with plants as large as they typically are by then."
        )
    yield parts.heading("Places that plants leave")
    yield parts.listing(pack.leaving) if pack.leaving else parts.text("None is known of.")
