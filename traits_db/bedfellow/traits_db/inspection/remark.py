"""What an inspection says, and the plant that it looks at."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from bedfellow.schema.cells import write_cell
from bedfellow.schema.traits import trait_table
from bedfellow.traits_db.facts import Fact, TaxonTraits
from bedfellow.traits_db.records import Taxon

Level = Literal["fault", "look"]
Verdict = tuple[Level, str]


class Remark(NamedTuple):
    """Something about one record: a fault cannot be true; a look may be, and somebody should make sure.

    subject: record, size, season, site, name, kin, source or reference; place: ``file:line:column`` or "".
    """

    level: Level
    subject: str
    place: str
    taxon: str
    message: str


class Plant:
    """A taxon with its values in use. own: traits that are stated of the taxon itself, not inherited."""

    __slots__ = ("_facts", "own", "taxon", "traits")

    def __init__(self, taxon: Taxon, facts: Mapping[str, Fact]) -> None:
        self.taxon = taxon
        self.traits = TaxonTraits(taxon.name, taxon.rank, "accepted", {}, facts)
        self.own = frozenset(statement.trait for statement in taxon.statements) & set(facts)
        self._facts = facts

    @property
    def genus(self) -> str:
        """The genus, without the hybrid sign that may stand before it."""
        return self.taxon.name.removeprefix("×").split()[0]

    def word(self, trait: str) -> str:
        """The word of a choice; empty where it is not known."""
        return self.traits.word(trait) or ""

    def stands(self, *traits: str) -> bool:
        """All are known, and at least one is stated here, so that what is inherited is judged once, where it is stated."""
        return all(trait in self._facts for trait in traits) and not self.own.isdisjoint(traits)

    def one_word(self, *traits: str) -> bool:
        """All are stated here and by one source: together they are one author's word on this taxon."""
        return self.own.issuperset(traits) and len({self._facts[trait].source for trait in traits}) == 1

    def level(self, *traits: str) -> Level:
        """A contradiction that one author states of one taxon is a fault; else it may be the plant that varies."""
        return "fault" if self.one_word(*traits) else "look"

    def said(self, trait: str) -> str:
        """The trait and its value, as in ``height 2 m``."""
        row = trait_table().traits[trait]
        unit = f" {row.unit}" if row.unit not in ("", "1", "pH in water") else ""
        return f"{trait.replace('_', ' ')} {write_cell(row, self._facts[trait].value)}{unit}"
