"""Values as a team's store keeps them, many at a time: what is there, what differs, and the change with its history."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any, NamedTuple

from sqlalchemy import ARRAY, Connection, Integer, String, bindparam, func, insert, literal, select, tuple_

from bedfellow.schema.values import pack
from bedfellow.traits_db.records import Statement
from bedfellow.traits_db.team.tables import table

BATCH = 1000


class State(NamedTuple):
    """One source's word as it is kept. value: JSON of ``schema.values.pack``."""

    value: str
    method: str
    confidence: str
    date: str


class Entry(NamedTuple):
    """A place in the store, and the state it shall have; None takes it away. taxon: the accepted name."""

    taxon_id: int
    taxon: str
    trait: str
    source: str
    layer: str
    state: State | None

    @property
    def place(self) -> tuple[int, str, str, str]:
        return self[0], self[2], self[3], self[4]


class Difference(NamedTuple):
    """An entry that is not yet as it shall be, and what it is now."""

    entry: Entry
    id: int | None
    was: State | None


@dataclass(slots=True)
class Tally:
    """How many values were added, changed, removed, or were so already."""

    added: int = 0
    changed: int = 0
    removed: int = 0
    unchanged: int = 0

    def count(self, differences: Sequence[Difference], entries: int) -> None:
        """Add one batch of entries, of which some differ."""
        self.added += sum(d.was is None for d in differences)
        self.removed += sum(d.entry.state is None for d in differences)
        self.changed += sum(d.was is not None and d.entry.state is not None for d in differences)
        self.unchanged += entries - len(differences)


def state_of(statement: Statement) -> State:
    """A statement as it is kept."""
    return State(packed(statement.value), statement.method, statement.confidence, statement.date)


def packed(value: Any) -> str:
    """A value as JSON. Raises ValueError for a number that is not finite."""
    return json.dumps(pack(value), ensure_ascii=False, allow_nan=False)


def batches(entries: Iterable[Entry], size: int = BATCH) -> Iterator[list[Entry]]:
    """The entries, some at a time."""
    ahead = iter(entries)
    while batch := list(islice(ahead, size)):
        yield batch


def differences(connection: Connection, entries: Sequence[Entry]) -> list[Difference]:
    """Of some entries, those that are not as they shall be, in their order. No place may occur twice."""
    if not entries:
        return []
    c = table("statement").c
    query = select(c.taxon_id, c.trait, c.source, c.layer, c.id, c.value, c.method, c.confidence, c.date)
    places = [entry.place for entry in entries]
    asked: Any = places
    if connection.dialect.name == "postgresql":  # which compares every row with every tuple of a list, but joins arrays
        kinds = (Integer, String, String, String)
        columns = zip(zip(*places, strict=True), kinds, strict=True)
        asked = select(*(func.unnest(literal(list(column), ARRAY(kind))) for column, kind in columns))
    found = connection.execute(query.where(tuple_(c.taxon_id, c.trait, c.source, c.layer).in_(asked)))
    there = {tuple(row[:4]): (row[4], State(*row[5:])) for row in found}
    differing = []
    for entry in entries:
        number, was = there.get(entry.place, (None, None))
        if was != entry.state:
            differing.append(Difference(entry, number, was))
    return differing


def apply(connection: Connection, revision: int, differing: Sequence[Difference]) -> None:
    """Make the differences true, and keep what was and what became."""
    if not differing:
        return
    statement = table("statement")
    new = [
        {"taxon_id": e.taxon_id, "trait": e.trait, "source": e.source, "layer": e.layer, **e.state._asdict()}
        for e, number, _ in differing
        if number is None and e.state is not None
    ]
    changed = [
        {"at": number, **e.state._asdict()} for e, number, _ in differing if number is not None and e.state is not None
    ]
    gone = [{"at": number} for e, number, _ in differing if number is not None and e.state is None]
    at = statement.c.id == bindparam("at")
    if new:
        connection.execute(insert(statement), new)
    if changed:
        connection.execute(
            statement.update().where(at).values({name: bindparam(name) for name in State._fields}), changed
        )
    if gone:
        connection.execute(statement.delete().where(at), gone)
    connection.execute(insert(table("change")), [_change(revision, difference) for difference in differing])


def _change(revision: int, difference: Difference) -> dict[str, Any]:
    entry, _, was = difference
    return {
        "revision_id": revision, "subject": "value", "taxon": entry.taxon, "item": entry.trait, "source": entry.source,
        "layer": entry.layer, "was": written(was), "became": written(entry.state),
    }  # fmt: skip


def written(state: State | None) -> str | None:
    """A state as the history keeps it: JSON of its fields, the value as plain JSON inside."""
    if state is None:
        return None
    rest = json.dumps({"method": state.method, "confidence": state.confidence, "date": state.date})
    return f'{{"value": {state.value}, {rest[1:]}'


def unwritten(text: str | None) -> State | None:
    """The state that `written` wrote."""
    if text is None:
        return None
    fields = json.loads(text)
    return State(**{**fields, "value": json.dumps(fields["value"], ensure_ascii=False)})
