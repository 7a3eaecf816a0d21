"""Plants and sources in a team's store: found by any of their names, added, and changed with their history."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from itertools import islice
from typing import Any, NamedTuple

from sqlalchemy import Connection, Table, delete, insert, select

from bedfellow.traits_db.names import name_key, near_names
from bedfellow.traits_db.records import RANKS, Taxon
from bedfellow.traits_db.team.tables import table

BATCH = 500


class Known(NamedTuple):
    """A plant of the store."""

    id: int
    name: str
    rank: str
    parent: str | None


class Names:
    """All names of a store, held in memory: as large as the number of plants, whatever the number of rows."""

    def __init__(self, connection: Connection) -> None:
        taxa, names = table("taxon").c, table("name").c
        self._asked = ""
        self._answer: Known | None = None
        self.by_id: dict[int, Known] = {
            row.id: Known(*row) for row in connection.execute(select(taxa.id, taxa.name, taxa.rank, taxa.parent))
        }
        self._by_key: dict[str, int] = {row.key: row.id for row in connection.execute(select(taxa.key, taxa.id))}
        meant: dict[str, set[int]] = {}
        # A synonym before a common name, and a name of several plants for none of them.
        for kind in ("synonym", "common"):
            meant.clear()
            for row in connection.execute(select(names.key, names.taxon_id).where(names.kind == kind)):
                meant.setdefault(row.key, set()).add(row.taxon_id)
            for key, ids in meant.items():
                if len(ids) == 1:
                    self._by_key.setdefault(key, *ids)

    def find(self, name: str) -> Known | None:
        """The plant of a name."""
        if name != self._asked:  # rows of one plant follow one another
            number = self._by_key.get(name_key(name))
            self._asked, self._answer = name, None if number is None else self.by_id[number]
        return self._answer

    def add(self, plant: Known) -> None:
        """A plant that comes in with the same rows."""
        self._asked = ""
        self.by_id[plant.id] = plant
        self._by_key[name_key(plant.name)] = plant.id

    def remove(self, number: int) -> None:
        """Such a plant after all not."""
        self._asked = ""
        del self._by_key[name_key(self.by_id.pop(number).name)]

    def near(self, name: str) -> list[str]:
        """The most similar accepted names."""
        return near_names(name, (plant.name for plant in self.by_id.values()))

    def parent_of(self, name: str, rank: str) -> str | None:
        """The plant above one that is not in the store yet: the longest beginning of its name; the genus last."""
        words = name.partition(" '")[0].split() if rank == "cultivar" else name.split()[:-1]
        while words:
            above = self._by_key.get(name_key(" ".join(words)))
            if above is not None and self.by_id[above].name != name:
                return self.by_id[above].name
            words.pop()
        return None


def put_plant(
    connection: Connection, revision: int, name: str, layer: str, state: Mapping[str, Any] | None
) -> int | None:
    """Add a plant, change it, or take it away (state None); its number.

    Raises IntegrityError where another plant stands below one that goes, or it still has values or offers.
    """
    taxa, names = table("taxon"), table("name")
    row = connection.execute(select(taxa).where(taxa.c.name == name)).first()
    was = None if row is None else read_plant(connection, row)
    if was == (None if state is None else dict(state)):
        return None if row is None else int(row.id)
    number = None if row is None else int(row.id)
    if number is not None:
        connection.execute(delete(names).where(names.c.taxon_id == number))
    if state is None:
        connection.execute(delete(taxa).where(taxa.c.id == number))
    else:
        fields = {
            "name": name, "key": name_key(name), "rank": state["rank"], "family": state["family"], "parent": state["parent"],
            "parents": json.dumps(state["parents"], ensure_ascii=False), "trade_designation": state["trade_designation"],
        }  # fmt: skip
        if number is None:
            done = connection.execute(insert(taxa).values({**fields, "layer": layer}))
            assert done.inserted_primary_key is not None
            number = int(done.inserted_primary_key[0])
        else:
            connection.execute(taxa.update().where(taxa.c.id == number).values(fields))
        rows = [
            {"taxon_id": number, "kind": kind, "text": text, "key": name_key(text)}
            for kind, texts in (("synonym", state["synonyms"]), ("common", state["common_names"]))
            for text in texts
        ]
        if rows:
            connection.execute(insert(names), rows)
    note(connection, revision, "plant", was, state, taxon=name, layer=layer)
    return number


def put_new_plants(connection: Connection, revision: int, plants: Mapping[int, tuple[str, Mapping[str, Any]]]) -> dict[int, int]:  # fmt: skip
    """Add the team's own plants, many at a time; from the numbers given to those in the store.

    plants: name and state, those above first; none of them is there yet, and none has other names.
    """
    taxa = table("taxon")
    numbers: dict[int, int] = {}
    ahead = iter(plants.items())
    while some := list(islice(ahead, BATCH)):
        rows = [
            {
                "name": name, "key": name_key(name), "rank": state["rank"], "family": state["family"], "parent": state["parent"],
                "parents": "[]", "trade_designation": None, "layer": "own",
            }
            for _, (name, state) in some
        ]  # fmt: skip
        connection.execute(insert(taxa), rows)
        found = connection.execute(select(taxa.c.name, taxa.c.id).where(taxa.c.name.in_([row["name"] for row in rows])))
        by_name = {row.name: int(row.id) for row in found}
        numbers |= {given: by_name[name] for given, (name, _) in some}
        lines = [_line(revision, "plant", None, state, taxon=name, layer="own") for _, (name, state) in some]
        connection.execute(insert(table("change")), lines)
    return numbers


def read_plant(connection: Connection, row: Any) -> dict[str, Any]:
    """The state of a plant, of its row."""
    names = table("name")
    others = connection.execute(
        select(names.c.kind, names.c.text).where(names.c.taxon_id == row.id).order_by(names.c.id)
    ).all()
    return {
        "rank": row.rank, "family": row.family, "parent": row.parent, "parents": json.loads(row.parents),
        "synonyms": [text for kind, text in others if kind == "synonym"],
        "common_names": [text for kind, text in others if kind == "common"],
        "trade_designation": row.trade_designation,
    }  # fmt: skip


def put_row(connection: Connection, revision: int, subject: str, kept: Table, place: Mapping[str, Any], state: Mapping[str, Any] | None, **where: str) -> bool:  # fmt: skip
    """Add, change or take away one row of a table whose place is its unique columns; whether anything changed."""
    found = [kept.c[column] == value for column, value in place.items()]
    columns = [column for column in kept.c if column.name not in place and column.name != "id"]
    row = connection.execute(select(*columns).where(*found)).mappings().first()
    was = None if row is None else dict(row)
    if was == (None if state is None else dict(state)):
        return False
    if state is None:
        connection.execute(delete(kept).where(*found))
    elif was is None:
        connection.execute(insert(kept).values({**place, **state}))
    else:
        connection.execute(kept.update().where(*found).values(dict(state)))
    note(connection, revision, subject, was, state, **where)
    return True


def note(connection: Connection, revision: int, subject: str, was: Mapping[str, Any] | None, became: Mapping[str, Any] | None, **where: str) -> None:  # fmt: skip
    """One line of the history. where: taxon, item, source, layer."""
    connection.execute(insert(table("change")).values(_line(revision, subject, was, became, **where)))


def _line(revision: int, subject: str, was: Mapping[str, Any] | None, became: Mapping[str, Any] | None, *, taxon: str = "", item: str = "", source: str = "", layer: str = "") -> dict[str, Any]:  # fmt: skip
    return {
        "revision_id": revision, "subject": subject, "taxon": taxon, "item": item, "source": source, "layer": layer,
        "was": None if was is None else json.dumps(was, ensure_ascii=False),
        "became": None if became is None else json.dumps(became, ensure_ascii=False),
    }  # fmt: skip


def by_depth(taxa: Mapping[str, Taxon]) -> Sequence[Taxon]:
    """Those above first: rows point at them."""

    def depth(taxon: Taxon) -> int:
        steps = 0
        while taxon.parent is not None and taxon.parent in taxa and steps <= len(RANKS) * 2:
            taxon, steps = taxa[taxon.parent], steps + 1
        return steps

    return sorted(taxa.values(), key=depth)
