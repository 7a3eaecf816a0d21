"""Who changed what, when, from what to what and why, and the way back."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from itertools import groupby, islice
from typing import Any, NamedTuple

from sqlalchemy import Connection, func, select
from sqlalchemy.exc import IntegrityError

from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.plants import Names, put_plant, put_row, read_plant
from bedfellow.traits_db.team.tables import table
from bedfellow.traits_db.team.trouble import StoreTrouble
from bedfellow.traits_db.team.values import BATCH, Entry, apply, differences, unwritten


class Line(NamedTuple):
    """One change. was, became: plain JSON of the state, None where the thing was not there."""

    revision: int
    at: str
    who: str
    why: str
    kind: str
    subject: str
    taxon: str
    item: str
    source: str
    layer: str
    was: Any
    became: Any


class Signed(NamedTuple):
    """One revision. changes: how many; reverts: the revision that it takes back, or None."""

    revision: int
    at: str
    who: str
    why: str
    kind: str
    reverts: int | None
    changes: int


def revisions(store: TeamStore, most: int | None = None) -> list[Signed]:
    """Every write, the latest first."""
    r, c = table("revision").c, table("change").c
    counted = select(func.count()).where(c.revision_id == r.id).scalar_subquery()
    query = select(r.id, r.at, r.who, r.why, r.kind, r.reverts, counted).order_by(r.id.desc()).limit(most)
    with store.reading() as connection:
        return [Signed(*row) for row in connection.execute(query)]


def history(store: TeamStore, taxon: str | None = None, item: str | None = None, revision: int | None = None, most: int | None = None) -> list[Line]:  # fmt: skip
    """Changes, the latest first; of one plant (by any of its names), one trait, one revision.

    Raises StoreTrouble where no plant is called so.
    """
    r, c = table("revision").c, table("change").c
    query = select(
        r.id, r.at, r.who, r.why, r.kind, c.subject, c.taxon, c.item, c.source, c.layer, c.was, c.became
    ).where(r.id == c.revision_id)
    with store.reading() as connection:
        if taxon is not None:
            known = Names(connection).find(taxon)
            query = query.where(c.taxon == (known.name if known else taxon))
        if item is not None:
            query = query.where(c.item == item)
        if revision is not None:
            query = query.where(r.id == revision)
        rows = connection.execute(query.order_by(c.id.desc()).limit(most)).all()
    return [Line(*row[:10], *(None if text is None else json.loads(text) for text in row[10:])) for row in rows]


def revert(store: TeamStore, revision: int, who: str, why: str, tell: Callable[[int], None] = lambda done: None) -> int:
    """Take one revision back, as a new revision; the number of changes.

    Raises StoreTrouble where there is no such revision, or something that it changed has changed again since.
    """
    c = table("change").c
    with store.reading() as connection:
        if connection.execute(select(c.id).where(c.revision_id == revision).limit(1)).first() is None:
            raise StoreTrouble(f"there is no revision {revision}")
    try:
        with store.writing(who, why, "revert", revision) as (connection, number):
            return _all_back(connection, number, revision, tell)
    except IntegrityError as error:
        raise StoreTrouble(f"revision {revision} cannot be taken back: what it speaks of is gone, or still needed") from error  # fmt: skip


def _all_back(connection: Connection, number: int, revision: int, tell: Callable[[int], None]) -> int:
    c = table("change").c
    columns = (c.subject, c.taxon, c.item, c.source, c.layer, c.was, c.became)
    changes = connection.execute(select(*columns).where(c.revision_id == revision).order_by(c.id.desc())).all()
    later: list[str] = []
    done = 0
    for subject, group in groupby(changes, key=lambda change: change.subject):
        while some := list(islice(group, BATCH)):
            if subject == "value":
                later += _values_back(connection, number, some)
            else:
                later += [_called(change) for change in some if not _take_back(connection, number, change)]
            done += len(some)
            tell(done)
    if later:
        shown = ", ".join(later[:5]) + (f" and {len(later) - 5} more" if len(later) > 5 else "")
        raise StoreTrouble(f"revision {revision} cannot be taken back: changed again since: {shown}")
    return len(changes)


def _values_back(connection: Connection, number: int, changes: Sequence[Any]) -> list[str]:
    """Take changes of values back; those that have changed again since are told, and then nothing is done."""
    taxa = table("taxon").c
    names = {change.taxon for change in changes}
    numbers = {name: key for key, name in connection.execute(select(taxa.id, taxa.name).where(taxa.name.in_(names)))}
    stand, back = [], []
    for change in changes:
        place = (numbers.get(change.taxon, 0), change.taxon, change.item, change.source, change.layer)
        stand.append(Entry(*place, unwritten(change.became)))
        back.append(Entry(*place, unwritten(change.was)))
    moved = [f"{entry.taxon} {entry.trait}" for entry, _, _ in differences(connection, stand)]
    if not moved:
        apply(connection, number, differences(connection, back))
    return moved


def _called(change: Any) -> str:
    return f"{change.taxon} {change.item}".strip()


def _take_back(connection: Connection, number: int, change: Any) -> bool:
    """Whether it could be: what it became still stands."""
    was, became = (None if text is None else json.loads(text) for text in (change.was, change.became))
    if change.subject == "plant":
        taxa = table("taxon")
        row = connection.execute(select(taxa).where(taxa.c.name == change.taxon)).first()
        if (None if row is None else read_plant(connection, row)) != became:
            return False
        if was is None and row is not None and _used(connection, row.id, change.taxon):
            return False
        put_plant(connection, number, change.taxon, change.layer, was)
        return True
    kept = table(change.subject)
    if change.subject == "source":
        place = {"key": change.item}
        used = table("statement").c
        if was is None and connection.execute(select(used.id).where(used.source == change.item).limit(1)).first():
            return False
    else:
        nursery, form, size = json.loads(change.item)
        place = {"nursery": nursery, "plant": change.taxon, "form": form, "size": size}
    columns = [column for column in kept.c if column.name not in place and column.name != "id"]
    found = connection.execute(select(*columns).where(*(kept.c[k] == v for k, v in place.items()))).mappings().first()
    if (None if found is None else dict(found)) != became:
        return False
    put_row(connection, number, change.subject, kept, place, was, taxon=change.taxon, item=change.item)
    return True


def _used(connection: Connection, taxon_id: int, name: str) -> bool:
    said, offers, taxa = table("statement").c, table("offer").c, table("taxon").c
    queries = (
        select(said.id).where(said.taxon_id == taxon_id),
        select(offers.id).where(offers.taxon_id == taxon_id),
        select(taxa.id).where(taxa.parent == name),
    )
    return any(connection.execute(query.limit(1)).first() is not None for query in queries)
