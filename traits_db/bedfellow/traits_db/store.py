"""Tables of a compiled store, and how records are written into them. Only this module and `team` import the ORM."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Mapping
from pathlib import Path

from sqlalchemy import URL, UniqueConstraint, event
from sqlmodel import Field, Session, SQLModel, create_engine, insert

from bedfellow.schema.values import pack
from bedfellow.traits_db.facts import MEMORY, Fact
from bedfellow.traits_db.index import LAYER, Entry, entries, layer
from bedfellow.traits_db.inheritance import values_in_use
from bedfellow.traits_db.lineage import above
from bedfellow.traits_db.names import name_key
from bedfellow.traits_db.records import RANKS, Records, Taxon, plant_state
from bedfellow.traits_db.snapshot import FORM


class SnapshotRow(SQLModel, table=True):
    """The one row that names this store (`version.version_of`)."""

    __tablename__ = "snapshot"
    version: str = Field(primary_key=True)


class SourceRow(SQLModel, table=True):
    """A citable work."""

    __tablename__ = "source"
    key: str = Field(primary_key=True)
    title: str
    author: str = ""
    date: str = ""


class TaxonRow(SQLModel, table=True):
    """A taxon. payload: JSON of its values in use, after inheritance; state: JSON of `records.plant_state`, for layers over it."""

    __tablename__ = "taxon"
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, index=True)
    rank: str
    family: str
    parent: str | None = Field(default=None, foreign_key="taxon.name")
    payload: str
    state: str


class NameRow(SQLModel, table=True):
    """A way to name a taxon: as it is written, and as `names.name_key` writes it.

    kind: accepted, synonym, trade or common; or shared, where a name means one plant as well as another, a row each.
    """

    __tablename__ = "name"
    key: str = Field(primary_key=True)
    text: str
    kind: str
    taxon_id: int = Field(primary_key=True, foreign_key="taxon.id")


class StatementRow(SQLModel, table=True):
    """One source's word on one trait of one taxon."""

    __tablename__ = "statement"
    __table_args__ = (UniqueConstraint("taxon_id", "trait", "source"),)
    id: int | None = Field(default=None, primary_key=True)
    taxon_id: int = Field(foreign_key="taxon.id", index=True)
    trait: str
    value: str
    source: str = Field(foreign_key="source.key")
    method: str
    confidence: str
    date: str = ""


class IndexRow(SQLModel, table=True):
    """A value in use as `index` writes it, ordered so that a search reads only what it asks for."""

    __tablename__ = "found_by"
    __table_args__ = ({"sqlite_with_rowid": False},)
    trait: str = Field(primary_key=True)
    low: float = Field(primary_key=True)
    high: float = Field(primary_key=True)
    word: str = Field(primary_key=True)
    taxon_id: int = Field(primary_key=True, foreign_key="taxon.id")


def write_store(records: Records, target: Path, version: str) -> None:
    """Write a fresh store of these records, named by a version, to a file. Raises IntegrityError where a constraint fails."""
    engine = create_engine(URL.create("sqlite", database=str(target)))

    @event.listens_for(engine, "connect")
    def _enforce(connection: sqlite3.Connection, _: object) -> None:
        connection.execute("PRAGMA foreign_keys = ON")

    try:
        with engine.begin() as connection:
            connection.exec_driver_sql(f"PRAGMA user_version = {FORM}")
        SQLModel.metadata.create_all(engine)
        with Session(engine) as session:
            _write(session, records, version)
            session.commit()
    finally:
        engine.dispose()


def _write(session: Session, records: Records, version: str) -> None:
    session.add(SnapshotRow(version=version))
    session.add(SourceRow(key=MEMORY, title="from memory, not looked up"))
    for key, work in records.sources.items():
        session.add(
            SourceRow(key=key, title=work["title"], author=str(work.get("author", "")), date=str(work.get("date", "")))
        )
    session.flush()
    in_use = {name: values_in_use(taxon, records.taxa) for name, taxon in records.taxa.items()}
    rows = {
        name: TaxonRow(
            name=name, rank=t.rank, family=t.family, parent=t.parent, payload=_payload(in_use[name]),
            state=json.dumps(plant_state(t), ensure_ascii=False),
        )
        for name, t in records.taxa.items()
    }  # fmt: skip
    for depth in range(len(RANKS)):  # those above go first: rows point at them
        session.add_all(row for name, row in rows.items() if _depth(name, records) == depth)
        session.flush()
    names = [
        {"key": key, "text": text, "kind": kind, "taxon_id": _id(rows[name])}
        for key, text, kind, name in _names(records)
    ]
    statements = [
        {"taxon_id": _id(rows[taxon.name]), "trait": s.trait, "value": json.dumps(pack(s.value)), "source": s.source,
         "method": s.method, "confidence": s.confidence, "date": s.date}
        for taxon in records.taxa.values() for s in taxon.statements
    ]  # fmt: skip
    index = [
        {"trait": trait, **entry._asdict(), "taxon_id": _id(rows[name])}
        for name, facts in in_use.items() for trait, fact in facts.items() for entry in dict.fromkeys(entries(fact.value))
    ]  # fmt: skip
    index += [
        {"trait": LAYER, **Entry(0, 0, layer(facts))._asdict(), "taxon_id": _id(rows[name])} for name, facts in in_use.items()
    ]  # fmt: skip
    # Rows by the thousand go in as plain values: building an object for each took half of the time.
    for table, values in (("name", names), ("statement", statements), ("found_by", index)):
        if values:
            session.connection().execute(insert(SQLModel.metadata.tables[table]), values)


def _id(row: TaxonRow) -> int:
    assert row.id is not None  # flushed
    return row.id


def _payload(facts: Mapping[str, Fact]) -> str:
    return json.dumps(
        {trait: [pack(fact.value), *fact[1:]] for trait, fact in sorted(facts.items())}, ensure_ascii=False
    )


def _depth(name: str, records: Records) -> int:
    return sum(1 for _ in above(records.taxa[name], records.taxa))


def _names(records: Records) -> Iterator[tuple[str, str, str, str]]:
    """(key, text, kind, taxon): accepted names first, then synonyms, trade designations and common names."""
    taken = {name_key(name): name for name in records.taxa}
    yield from ((key, name, "accepted", name) for key, name in taken.items())
    for kind in ("synonym", "trade", "common"):
        meant: dict[str, list[tuple[str, str]]] = {}
        for taxon in records.taxa.values():
            for text in _texts(taxon, kind):
                meant.setdefault(name_key(text), []).append((text, taxon.name))
        for key, uses in meant.items():
            if key in taken:
                continue
            one = _one_of([name for _, name in uses], records)
            taken[key] = one or ""
            if one is not None:
                yield key, uses[0][0], kind, one
            else:
                yield from ((key, uses[0][0], "shared", name) for name in dict.fromkeys(name for _, name in uses))


def _one_of(names: list[str], records: Records) -> str | None:
    """The taxon that a name of several stands for: the highest of one line of descent below the genus; else none of them."""
    names = list(dict.fromkeys(names))
    below = [name for name in names if records.taxa[name].rank != "genus"] or names
    for name in below:
        if all(name in {t.name for t in above(records.taxa[other], records.taxa)} for other in below if other != name):
            return name
    return None


def _texts(taxon: Taxon, kind: str) -> tuple[str, ...]:
    if kind == "synonym":
        return taxon.synonyms
    if kind == "common":
        return taxon.common_names
    if not taxon.trade_designation:
        return ()
    return (f"{taxon.name} ({taxon.trade_designation})", f"{taxon.name.split()[0]} {taxon.trade_designation}")
