"""Tables of the trait store, and how records are written into them. The only module that imports the ORM."""

from __future__ import annotations

import json
from pathlib import Path

from bedfellow.schema.values import pack
from bedfellow.traits_db.inheritance import values_in_use
from bedfellow.traits_db.names import name_key
from bedfellow.traits_db.records import Records, Taxon
from sqlalchemy import UniqueConstraint
from sqlmodel import Field, Session, SQLModel, create_engine


class SourceRow(SQLModel, table=True):
    """A citable work."""

    __tablename__ = "source"
    key: str = Field(primary_key=True)
    title: str
    author: str = ""
    date: str = ""


class TaxonRow(SQLModel, table=True):
    """A taxon; `payload` is the JSON of its values in use, after inheritance."""

    __tablename__ = "taxon"
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, index=True)
    rank: str
    family: str
    parent: str | None = Field(default=None, foreign_key="taxon.name")
    payload: str


class NameRow(SQLModel, table=True):
    """A way to name a taxon, as `names.name_key` writes it."""

    __tablename__ = "name"
    key: str = Field(primary_key=True)
    kind: str
    taxon_id: int = Field(foreign_key="taxon.id")


class StatementRow(SQLModel, table=True):
    """One source's word on one trait of one taxon."""

    __tablename__ = "statement"
    __table_args__ = (UniqueConstraint("taxon_id", "trait", "source"),)
    id: int | None = Field(default=None, primary_key=True)
    taxon_id: int = Field(foreign_key="taxon.id", index=True)
    trait: str
    value: str
    source: str
    method: str
    confidence: str
    date: str = ""


def write_store(records: Records, target: Path) -> None:
    """Write a fresh store of these records to a file."""
    engine = create_engine(f"sqlite:///{target}")
    SQLModel.metadata.create_all(engine)
    with Session(engine) as session:
        session.add(SourceRow(key="memory", title="from memory, not looked up"))
        for key, source in records.sources.items():
            session.add(
                SourceRow(
                    key=key, title=source["title"], author=source.get("author", ""), date=str(source.get("date", ""))
                )
            )
        rows = {
            name: TaxonRow(name=name, rank=t.rank, family=t.family, parent=t.parent, payload=_payload(t, records))
            for name, t in records.taxa.items()
        }
        for row in sorted(rows.values(), key=lambda row: _depth(row.name, records)):
            session.add(row)
            session.flush()
        session.add_all(
            NameRow(key=key, kind=kind, taxon_id=_id(rows[name])) for key, (kind, name) in _names(records).items()
        )
        for taxon in records.taxa.values():
            session.add_all(
                StatementRow(taxon_id=_id(rows[taxon.name]), trait=s.trait, value=json.dumps(pack(s.value)), source=s.source,
                             method=s.method, confidence=s.confidence, date=s.date)
                for s in taxon.statements
            )  # fmt: skip
        session.commit()
    engine.dispose()


def _id(row: TaxonRow) -> int:
    assert row.id is not None  # flushed
    return row.id


def _payload(taxon: Taxon, records: Records) -> str:
    facts = values_in_use(taxon, records.taxa)
    return json.dumps(
        {trait: [pack(fact.value), *fact[1:]] for trait, fact in sorted(facts.items())}, ensure_ascii=False
    )


def _depth(name: str, records: Records) -> int:
    depth, parent = 0, records.taxa[name].parent
    while parent is not None and depth < 10:
        depth, parent = depth + 1, records.taxa[parent].parent
    return depth


def _names(records: Records) -> dict[str, tuple[str, str]]:
    """Key to (kind, taxon): accepted names first, then synonyms, trade designations and common names, first come first served."""
    names: dict[str, tuple[str, str]] = {}
    for taxon in records.taxa.values():
        names[name_key(taxon.name)] = ("accepted", taxon.name)
    for kind in ("synonym", "trade", "common"):
        for taxon in records.taxa.values():
            for text in _texts(taxon, kind):
                names.setdefault(name_key(text), (kind, taxon.name))
    return names


def _texts(taxon: Taxon, kind: str) -> tuple[str, ...]:
    if kind == "synonym":
        return taxon.synonyms
    if kind == "common":
        return taxon.common_names
    if not taxon.trade_designation:
        return ()
    return (f"{taxon.name} ({taxon.trade_designation})", f"{taxon.name.split()[0]} {taxon.trade_designation}")
