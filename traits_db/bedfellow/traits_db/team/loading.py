"""The shipped records into a team's store: one layer, which the team's own words overrule and which loading again replaces."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from sqlalchemy import Connection, select

from bedfellow.traits_db.records import Records, plant_state
from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.plants import by_depth, put_plant, put_row
from bedfellow.traits_db.team.tables import table
from bedfellow.traits_db.team.values import BATCH, Entry, Tally, apply, batches, differences, state_of


class Loaded(NamedTuple):
    """What loading did. kept: names of plants that the records no longer have, but the team needs."""

    taxa: int
    values: Tally
    kept: tuple[str, ...]


def load(store: TeamStore, records: Records, who: str, why: str, tell: Callable[[int], None] = lambda done: None) -> Loaded:  # fmt: skip
    """Bring the shipped layer to what sound records say; the team's own layer stays. tell: told the values that are done."""
    tally = Tally()
    with store.writing(who, why, "load") as (connection, revision):
        for key, work in records.sources.items():
            state = {"title": work["title"], "author": str(work.get("author", "")), "date": str(work.get("date", ""))}
            put_row(connection, revision, "source", table("source"), {"key": key}, state, item=key)
        numbers: dict[str, int] = {}
        for taxon in by_depth(records.taxa):
            number = put_plant(connection, revision, taxon.name, "shipped", plant_state(taxon))
            assert number is not None
            numbers[taxon.name] = number
        done = 0
        wanted: set[tuple[int, str, str]] = set()
        for batch in batches(_entries(records, numbers, wanted)):
            differing = differences(connection, batch)
            apply(connection, revision, differing)
            tally.count(differing, len(batch))
            done += len(batch)
            tell(done)
        gone = list(_vanished(connection, wanted))
        for start in range(0, len(gone), BATCH):
            differing = differences(connection, gone[start : start + BATCH])
            apply(connection, revision, differing)
            tally.count(differing, len(differing))
        kept = _drop_plants(connection, revision, set(numbers.values()))
    return Loaded(len(numbers), tally, kept)


def _entries(records: Records, numbers: dict[str, int], wanted: set[tuple[int, str, str]]) -> Iterator[Entry]:
    for taxon in records.taxa.values():
        for statement in taxon.statements:
            place = (numbers[taxon.name], statement.trait, statement.source)
            wanted.add(place)
            yield Entry(place[0], taxon.name, statement.trait, statement.source, "shipped", state_of(statement))


def _vanished(connection: Connection, wanted: set[tuple[int, str, str]]) -> Iterator[Entry]:
    """Shipped values that the records no longer have."""
    c, taxa = table("statement").c, table("taxon").c
    rows = connection.execute(
        select(c.taxon_id, taxa.name, c.trait, c.source).where(c.taxon_id == taxa.id, c.layer == "shipped")
    )
    for number, name, trait, source in rows:
        if (number, trait, source) not in wanted:
            yield Entry(number, name, trait, source, "shipped", None)


def _drop_plants(connection: Connection, revision: int, wanted: set[int]) -> tuple[str, ...]:
    """Take away shipped plants that the records no longer have, unless something of the team's hangs on them."""
    taxa, own, offers = table("taxon").c, table("statement").c, table("offer").c
    kept = []
    rows = connection.execute(select(taxa.id, taxa.name).where(taxa.layer == "shipped")).all()
    gone = {name: number for number, name in rows if number not in wanted}
    for name in sorted(gone, key=len, reverse=True):  # those below, whose names are longer, go first
        used = [
            select(own.id).where(own.taxon_id == gone[name]),
            select(offers.id).where(offers.taxon_id == gone[name]),
            select(taxa.id).where(taxa.parent == name),
        ]
        if any(connection.execute(query.limit(1)).first() is not None for query in used):
            kept.append(name)
        else:
            put_plant(connection, revision, name, "shipped", None)
    return tuple(sorted(kept))
