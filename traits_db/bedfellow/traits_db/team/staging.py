"""Rows on their way into a store: their plants found, what they say kept in a temporary table, their faults noted."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from sqlalchemy import Column, Connection, Integer, MetaData, String, Table, and_, bindparam, func, insert, select

from bedfellow.schema.traits import trait_table
from bedfellow.traits_db.exchange.meaning import Defaults, RowFault, Saying, said_by
from bedfellow.traits_db.exchange.rows import Row, WrongRow
from bedfellow.traits_db.inspection.nomenclature import nomenclature
from bedfellow.traits_db.records import RANKS, Taxon, plant_state
from bedfellow.traits_db.team.plants import Known, Names
from bedfellow.traits_db.team.tables import table
from bedfellow.traits_db.team.values import BATCH, Difference, Tally, packed

MOST_FAULTS = 100  # kept in words; the rest is counted
FEW = {"yield_per": 1000}  # rows fetched at a time
STAGED = Table(
    "staged", MetaData(),
    Column("id", Integer, primary_key=True), Column("line", Integer), Column("taxon_id", Integer), Column("trait", String),
    Column("source", String), Column("value", String), Column("method", String), Column("confidence", String), Column("date", String),
    prefixes=["TEMPORARY"],
)  # fmt: skip


class LineFault(NamedTuple):
    """What is wrong with a row; line 0 where no line is to blame."""

    line: int
    message: str


@dataclass(slots=True)
class Outcome:
    """What an import did, or would do. revision: of the change, None where nothing was written.

    refused: rows at fault kept all of them out.
    """

    rows: int = 0
    good: int = 0
    wrong: int = 0
    faults: list[LineFault] = field(default_factory=list)
    tally: Tally = field(default_factory=Tally)
    shown: list[Difference] = field(default_factory=list)
    new_plants: list[str] = field(default_factory=list)
    revision: int | None = None
    refused: bool = False

    def fault(self, line: int, message: str) -> None:
        self.wrong += 1
        if len(self.faults) < MOST_FAULTS:
            self.faults.append(LineFault(line, message))


class Stage:
    """Reads rows, finds their plants, and puts what they say into the temporary table."""

    def __init__(self, connection: Connection, outcome: Outcome, defaults: Defaults) -> None:
        self.connection, self.outcome, self.defaults = connection, outcome, defaults
        said, source = table("statement").c, table("source").c
        with connection.begin():
            self.names = Names(connection)
            self.sources = set(connection.execute(select(source.key)).scalars())
            forms = select(said.taxon_id, said.value).where(said.trait == "life_form").order_by(said.layer.desc())
            self.forms = {
                number: str(json.loads(value)) for number, value in connection.execute(forms)
            }  # own words last
        self.new: dict[int, tuple[str, dict[str, Any]]] = {}  # plants that come in, under numbers below zero
        self._first_line: dict[int, int] = {}
        self._pending: list[dict[str, Any]] = []

    def read(self, rows: Iterable[Row | WrongRow], tell: Callable[[int], None]) -> None:
        """Stage every good row, and keep the faults of the others."""
        outcome = self.outcome
        for row in rows:
            outcome.rows += 1
            try:
                if isinstance(row, WrongRow):
                    raise RowFault(row.message)
                self._take(said_by(row, self.defaults))
                outcome.good += 1
            except RowFault as fault:
                outcome.fault(row.line, str(fault))
            if len(self._pending) >= BATCH:
                self._flush()
                tell(outcome.rows)
        self._flush()
        self._twice()
        self._admitted()

    def _take(self, row: Saying) -> None:
        values = row.values
        for said in values[:1]:
            if said.source not in self.sources:
                raise RowFault(f"the source '{said.source}' is not known; 'bedfellow store source' adds one")
        plant = self.names.find(row.taxon) or self._newcomer(row)
        form = next((str(said.value) for said in values if said.trait == "life_form"), None) or self._form(plant)
        for said in values:
            applies = trait_table().traits[said.trait].applies
            if form is not None and applies and form not in applies:
                raise RowFault(f"{said.trait} does not apply to a plant that is a {form}")
        rows = [
            {
                "line": row.line, "taxon_id": plant.id, "trait": said.trait, "source": said.source,
                "value": packed(said.value), "method": said.method, "confidence": said.confidence, "date": said.date,
            }
            for said in values
        ]  # fmt: skip
        if form is not None and plant.id not in self.forms and any(said.trait == "life_form" for said in values):
            self.forms[plant.id] = form
        if plant.id < 0 and plant.id not in self.new:
            self._admit(plant, row)
        self._pending += rows

    def _newcomer(self, row: Saying) -> Known:
        """A plant that the store does not know yet; it is not among the names before its row is found good."""
        if "rank" not in row.plant:
            raise RowFault(not_found(self.names, row.taxon))
        return Known(-1 - len(self.new), row.taxon, row.plant["rank"], row.plant.get("parent"))

    def _admit(self, plant: Known, row: Saying) -> None:
        slips = [text for level, text in nomenclature(Taxon(plant.name, plant.rank)) if level == "fault"]
        if slips:
            raise RowFault(f"{plant.name}: {slips[0]}")
        taxon = Taxon(plant.name, plant.rank, row.plant.get("family", ""), plant.parent)
        self.new[plant.id] = (plant.name, plant_state(taxon))
        self._first_line[plant.id] = row.line
        self.names.add(plant)

    def _form(self, plant: Known) -> str | None:
        """The life form stated of a plant or above it."""
        seen: set[int] = set()
        above: Known | None = plant
        while above is not None and above.id not in seen:
            if above.id in self.forms:
                return self.forms[above.id]
            seen.add(above.id)
            above = self.names.find(above.parent) if above.parent else None
        return None

    def _flush(self) -> None:
        if self._pending:
            self.connection.execute(insert(STAGED), self._pending)
            self._pending.clear()

    def _twice(self) -> None:
        """Of rows that speak of the same value from the same source, the first stands."""
        c = STAGED.c
        place = (c.taxon_id, c.trait, c.source)
        firsts = (
            select(*place, func.min(c.id).label("id"), func.min(c.line).label("line"))
            .group_by(*place)
            .having(func.count() > 1)
            .subquery()
        )
        again = (
            select(c.id, c.line, c.trait, firsts.c.line.label("first"))
            .join(firsts, and_(*(a == b for a, b in zip(place, firsts.c[:3], strict=True))))
            .where(c.id > firsts.c.id)
            .order_by(c.id)
        )
        for row in self.connection.execute(again, execution_options=FEW):
            self.outcome.fault(row.line, f"{row.trait} is given twice; line {row.first} has it too")
            self.outcome.good -= 1
        self.connection.execute(STAGED.delete().where(c.id.in_(select(again.subquery().c.id))))

    def _admitted(self) -> None:
        """Plants that come in, when all are known: each needs its parent and a life form, and traits that go with it."""
        parents = {number: self._parent_of(self.names.by_id[number]) for number in self.new}
        for number, (name, state) in self.new.items():
            known = self.names.by_id[number]
            self.names.by_id[number] = known._replace(parent=parents[number])
            self.new[number] = (name, {**state, "parent": parents[number]})
        while lost := [(number, why) for number in self.new if (why := self._wants(number))]:
            # A plant that is left out may leave others without their parent.
            for number, why in lost:
                self.outcome.fault(self._first_line[number], f"{self.new.pop(number)[0]}: {why}")
                self.names.remove(number)
                self.connection.execute(STAGED.delete().where(STAGED.c.taxon_id == number))
        self.new = dict(sorted(self.new.items(), key=lambda item: self._depth(self.names.by_id[item[0]])))
        c = STAGED.c
        wrong = []
        new = select(c.id, c.line, c.taxon_id, c.trait).where(c.taxon_id < 0).order_by(c.id)
        for row in self.connection.execute(new, execution_options=FEW):
            applies = trait_table().traits[row.trait].applies
            form = self._form(self.names.by_id[row.taxon_id])
            if form is not None and applies and form not in applies:
                self.outcome.fault(row.line, f"{row.trait} does not apply to a plant that is a {form}")
                wrong.append({"wrong": row.id})
        if wrong:
            self.connection.execute(STAGED.delete().where(c.id == bindparam("wrong")), wrong)

    def _parent_of(self, plant: Known) -> str | None:
        if plant.parent is None:
            return self.names.parent_of(plant.name, plant.rank)
        above = self.names.find(plant.parent)
        return above.name if above else plant.parent

    def _wants(self, number: int) -> str:
        """What a plant that comes in lacks; empty where it lacks nothing."""
        plant = self.names.by_id[number]
        if plant.parent is not None and self.names.find(plant.parent) is None:
            return f"its parent: {not_found(self.names, plant.parent)}"
        if plant.rank == "cultivar" and plant.parent is None:
            return "a cultivar needs its parent, in the store or among the rows"
        if self._depth(plant) > len(RANKS):
            return "it stands above itself"
        return "" if plant.rank == "genus" or self._form(plant) else "nothing says what life form it has"

    def _depth(self, plant: Known) -> int:
        depth, above = 0, plant.parent
        while above is not None and depth <= len(RANKS):
            depth += 1
            known = self.names.find(above)
            above = known.parent if known else None
        return depth


def not_found(names: Names, name: str) -> str:
    near = names.near(name)
    return f"no plant is called '{name}'" + (f"; nearest: {', '.join(near)}" if near else "")
