"""What a team's store says, as records: the shipped layer with the team's own words over it, by the rule of `records`."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import groupby
from typing import Any

from sqlalchemy import ColumnElement, Connection, collate, func, select

from bedfellow.schema.values import unpack
from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.records import Records, Statement, Taxon, overruled
from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.tables import table


def taxa_of(connection: Connection) -> Iterator[Taxon]:
    """Every plant with what is said of it, by name in the order of code points, read a few at a time."""
    taxa, said = table("taxon"), table("statement").c
    order = collate(taxa.c.name, "C" if connection.dialect.name == "postgresql" else "BINARY")
    others = _other_names(connection)
    rows = connection.execution_options(yield_per=1000).execute(
        select(
            *taxa.c, said.trait, said.value, said.source, said.method, said.confidence, said.date,
            said.layer.label("said_in"),
        )
        .select_from(taxa.outerjoin(table("statement"), taxa.c.id == said.taxon_id))
        .order_by(order, said.id)
    )  # fmt: skip
    for _, group in groupby(rows, key=lambda row: row.id):
        yield _taxon(list(group), others)


def records_of(connection: Connection) -> Records:
    """All of it in memory, checked as records are: what does not hang together is among the faults."""
    from bedfellow.traits_db.lineage import with_parents

    sources = table("source").c
    records = Records(
        sources={
            row.key: {"title": row.title, "author": row.author, "date": row.date}
            for row in connection.execute(select(sources.key, sources.title, sources.author, sources.date))
            if row.key != MEMORY
        }
    )
    records.sources = dict(sorted(records.sources.items()))
    for taxon in taxa_of(connection):
        records.taxa[taxon.name] = taxon
    return with_parents(records)


def titles_of(connection: Connection) -> dict[str, str]:
    """Titles of the sources, by key."""
    c = table("source").c
    return {row.key: row.title for row in connection.execute(select(c.key, c.title))}


def counts(store: TeamStore) -> dict[str, int]:
    """How much a store holds."""
    said = table("statement").c
    with store.reading() as connection:

        def number(name: str, *where: ColumnElement[bool]) -> int:
            return int(connection.execute(select(func.count()).select_from(table(name)).where(*where)).scalar_one())

        return {
            "plants": number("taxon"), "shipped_values": number("statement", said.layer == "shipped"),
            "own_values": number("statement", said.layer == "own"), "sources": number("source"), "offers": number("offer"),
            "revisions": number("revision"), "versions": number("version"),
        }  # fmt: skip


def _other_names(connection: Connection) -> dict[int, dict[str, list[str]]]:
    names = table("name").c
    found: dict[int, dict[str, list[str]]] = {}
    for row in connection.execute(select(names.taxon_id, names.kind, names.text).order_by(names.id)):
        found.setdefault(row.taxon_id, {}).setdefault(row.kind, []).append(row.text)
    return found


def _taxon(rows: list[Any], others: dict[int, dict[str, list[str]]]) -> Taxon:
    head = rows[0]
    names = others.get(head.id, {})
    taxon = Taxon(
        name=head.name, rank=head.rank, family=head.family, parent=head.parent, parents=tuple(json.loads(head.parents)),
        synonyms=tuple(names.get("synonym", ())), common_names=tuple(names.get("common", ())),
        trade_designation=head.trade_designation, statements=_statements(rows, "shipped"), place=head.name,
    )  # fmt: skip
    own = _statements(rows, "own")
    return overruled(taxon, Taxon(taxon.name, taxon.rank, statements=own)) if own else taxon


def _statements(rows: list[Any], layer: str) -> tuple[Statement, ...]:
    return tuple(
        Statement(row.trait, unpack(json.loads(row.value)), row.source, row.method, row.confidence, row.date)
        for row in rows
        if row.said_in == layer
    )
