"""A nursery's catalogue: which plant in which form and size, at what price, when, and how many.

Prices are kept in thousandths of their currency (ISO 4217), so that no sum is rounded by a binary fraction.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from sqlalchemy import bindparam, insert, or_, select

from bedfellow.schema.units import shown, whole_date
from bedfellow.traits_db.exchange.meaning import RowFault
from bedfellow.traits_db.exchange.rows import FORMULA, Row, WrongRow
from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.plants import Names
from bedfellow.traits_db.team.staging import Outcome
from bedfellow.traits_db.team.tables import FORMS, table
from bedfellow.traits_db.team.values import BATCH

COLUMNS = ("nursery", "plant", "form", "size", "price", "currency", "available_from", "available_to", "quantity")
_STATE = ("taxon_id", "price", "currency", "available_from", "available_to", "quantity")
_LARGEST = Decimal(10) ** 9


class OfferRow(NamedTuple):
    """One line of a catalogue. price: in the currency; taxon: the accepted name, "" where the plant is not known."""

    nursery: str
    plant: str
    form: str
    size: str
    price: Decimal
    currency: str
    available_from: str
    available_to: str
    quantity: int | None
    taxon: str


def unknown_columns(names: Sequence[str]) -> str | None:
    """What is wrong with the headings of a catalogue; None where nothing is."""
    missing = [name for name in ("plant", "form", "price", "currency") if name not in names]
    if missing:
        return f"there is no column '{missing[0]}'; a catalogue has {', '.join(COLUMNS)}"
    other = next((name for name in names if name not in COLUMNS), None)
    return f"the column '{other}' is not known; a catalogue has {', '.join(COLUMNS)}" if other else None


def import_offers(
    store: TeamStore,
    rows: Iterable[Row | WrongRow],
    nursery: str,
    who: str,
    why: str,
    replace: bool = False,
    good_rows: bool = False,
    dry_run: bool = False,
    tell: Callable[[int], None] = lambda done: None,
) -> Outcome:
    """Import a catalogue in one revision; nothing where any row is at fault, unless `good_rows`.

    nursery: of rows that name none. replace: what a nursery in the file offers no more is taken away.
    Plants that the store does not know are listed in `new_plants` of the outcome and kept as the nursery writes them.
    Raises BrokenFile and StoreTrouble, as `import_rows` does.
    """
    outcome = Outcome()
    wanted: dict[tuple[str, str, str, str], dict[str, Any]] = {}
    with store.connected() as connection:
        with connection.begin():
            names = Names(connection)
        lines: dict[tuple[str, str, str, str], int] = {}
        for row in rows:
            outcome.rows += 1
            try:
                if isinstance(row, WrongRow):
                    raise RowFault(row.message)
                place, state = _offer(row, nursery, names)
                if place in wanted:
                    raise RowFault(f"the offer is given twice; line {lines[place]} has it too")
            except RowFault as fault:
                outcome.fault(row.line, str(fault))
                continue
            wanted[place], lines[place] = state, row.line
            outcome.good += 1
            tell(outcome.rows)
    outcome.new_plants = sorted({place[1] for place, state in wanted.items() if state["taxon_id"] is None})
    if outcome.wrong and not good_rows:
        outcome.refused = True
        return outcome
    if dry_run:
        with store.reading() as connection:
            _count(outcome, *_compared(connection, wanted, replace))
        return outcome
    with store.writing(who, why, "import") as (connection, revision):
        there, moved, gone = _compared(connection, wanted, replace)
        _write(connection, revision, there, moved, gone)
        _count(outcome, there, moved, gone)
    outcome.revision = revision if moved or gone else None
    return outcome


def offers(store: TeamStore, plant: str | None = None, nursery: str | None = None, on: str | None = None) -> Iterator[OfferRow]:  # fmt: skip
    """Lines of the catalogue in order; of one plant (by any of its names), one nursery, or on sale on a day (ISO 8601)."""
    o, taxa = table("offer"), table("taxon")
    query = select(*(o.c[column] for column in COLUMNS), taxa.c.name).select_from(
        o.outerjoin(taxa, o.c.taxon_id == taxa.c.id)
    )
    with store.reading() as connection:
        if plant is not None:
            known = Names(connection).find(plant)
            query = query.where(or_(o.c.plant == plant, o.c.taxon_id == (known.id if known else 0)))
        if nursery is not None:
            query = query.where(o.c.nursery == nursery)
        if on is not None:
            query = query.where(o.c.available_from <= on, or_(o.c.available_to == "", o.c.available_to >= on))
        rows = connection.execute(query).all()
    found = [OfferRow(*row[:4], Decimal(row.price) / 1000, *row[5:9], row.name or "") for row in rows]
    yield from sorted(found, key=lambda offer: (offer.plant, offer.nursery, offer.form, offer.size))


def _offer(row: Row, nursery: str, names: Names) -> tuple[tuple[str, str, str, str], dict[str, Any]]:
    cells = {name: str(cell).strip() for name, cell in row.cells.items()}
    for name, cell in cells.items():
        if name not in COLUMNS:
            raise RowFault(f"'{name}' is not known; an offer has {', '.join(COLUMNS)}")
        if cell.startswith(FORMULA) and not re.match(r"[-+][0-9.]|\+ ?[A-Z][a-z]", cell):
            raise RowFault(f"{name}: {shown(cell)} looks like a formula of a spreadsheet; give the value")
        if len(cell) > 200 or not cell.isprintable():
            raise RowFault(f"{name}: {shown(cell)} is too long, or has control characters")
    for name in ("plant", "form", "price", "currency"):
        if name not in cells:
            raise RowFault(f"there is no {name}")
    nursery = cells.get("nursery", nursery)
    if not nursery:
        raise RowFault("there is no nursery; name it in the row or with --nursery")
    if cells["form"] not in FORMS:
        raise RowFault(f"form: {shown(cells['form'])} is none of {', '.join(FORMS)}")
    if re.fullmatch("[A-Z]{3}", cells["currency"]) is None:
        raise RowFault(f"currency: {shown(cells['currency'])} is no code of ISO 4217 such as GBP or EUR")
    first, last = (_date(name, cells.get(name, "")) for name in ("available_from", "available_to"))
    if last and last < first:
        raise RowFault(f"available to {last} is before {first}")
    plant = names.find(cells["plant"])
    state = {
        "taxon_id": plant.id if plant else None, "price": _price(cells["price"]), "currency": cells["currency"],
        "available_from": first, "available_to": last, "quantity": _quantity(cells.get("quantity", "")),
    }  # fmt: skip
    return (nursery, cells["plant"], cells["form"], cells.get("size", "")), state


def _price(text: str) -> int:
    try:
        price = Decimal(text)
    except InvalidOperation:
        hint = "; write it with a point" if re.fullmatch("[0-9]+,[0-9]+", text) else ", without the currency's sign"
        raise RowFault(f"price: {shown(text)} is no number{hint}") from None
    if not price.is_finite() or not 0 <= price < _LARGEST or price * 1000 % 1:
        raise RowFault(f"price: {shown(text)} is no price; at most three decimals")
    return int(price * 1000)


def _quantity(text: str) -> int | None:
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and int(text) < 2**31):
        raise RowFault(f"quantity: {shown(text)} is no number of plants")
    return int(text)


def _date(name: str, text: str) -> str:
    try:
        return whole_date(text).isoformat() if text else ""
    except ValueError as error:
        raise RowFault(f"{name}: {error}") from None


_There = dict[tuple[str, str, str, str], tuple[int, dict[str, Any]]]
_Wanted = dict[tuple[str, str, str, str], dict[str, Any]]


def _compared(connection: Any, wanted: _Wanted, replace: bool) -> tuple[_There, _Wanted, _There]:
    """What is there of the nurseries in the file, what is new or other, and what is offered no more."""
    o = table("offer").c
    nurseries = {place[0] for place in wanted}
    columns = (o.nursery, o.plant, o.form, o.size, o.id, *(o[name] for name in _STATE))
    there: _There = {
        tuple(row[:4]): (row.id, dict(zip(_STATE, row[5:], strict=True)))
        for row in connection.execute(select(*columns).where(o.nursery.in_(nurseries)))
    }
    moved = {place: state for place, state in wanted.items() if place not in there or there[place][1] != state}
    gone = {place: old for place, old in there.items() if place not in wanted} if replace else {}
    return there, moved, gone


def _count(outcome: Outcome, there: _There, moved: _Wanted, gone: _There) -> None:
    outcome.tally.added = sum(place not in there for place in moved)
    outcome.tally.changed = len(moved) - outcome.tally.added
    outcome.tally.removed = len(gone)
    outcome.tally.unchanged = outcome.good - len(moved)


def _write(connection: Any, revision: int, there: _There, moved: _Wanted, gone: _There) -> None:
    offer = table("offer")
    new = [{**dict(zip(COLUMNS, place, strict=False)), **state} for place, state in moved.items() if place not in there]
    other = [{"at": there[place][0], **state} for place, state in moved.items() if place in there]
    at = offer.c.id == bindparam("at")
    if new:
        connection.execute(insert(offer), new)
    if other:
        connection.execute(offer.update().where(at).values({name: bindparam(name) for name in _STATE}), other)
    if gone:
        connection.execute(offer.delete().where(at), [{"at": number} for number, _ in gone.values()])
    changes: list[tuple[tuple[str, str, str, str], dict[str, Any] | None, dict[str, Any] | None]] = [
        (place, there[place][1] if place in there else None, state) for place, state in moved.items()
    ]
    changes += [(place, old, None) for place, (_, old) in gone.items()]
    lines = [
        {
            "revision_id": revision, "subject": "offer", "taxon": plant, "item": json.dumps([nursery, form, size], ensure_ascii=False),
            "source": "", "layer": "", "was": _json(was), "became": _json(became),
        }
        for (nursery, plant, form, size), was, became in changes
    ]  # fmt: skip
    for start in range(0, len(lines), BATCH):
        connection.execute(insert(table("change")), lines[start : start + BATCH])


def _json(state: dict[str, Any] | None) -> str | None:
    return None if state is None else json.dumps(state, ensure_ascii=False)
