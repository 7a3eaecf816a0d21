"""Record files as taxa with statements; what is wrong with a record is told with its place.

records/<Genus>.yaml ─→ Taxon(name, rank, parent, synonyms, …, statements) ─→ inheritance.py ─→ store.py
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path as FilePath
from typing import Any

from bedfellow.schema.place import Path
from bedfellow.schema.reader import Document, read_file
from bedfellow.schema.traits import TraitTable, trait_table
from bedfellow.schema.values import Value, read_value
from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.names import name_key

RANKS = ("genus", "species", "hybrid", "subspecies", "variety", "group", "cultivar")
TAXON_KEYS = {
    "name", "rank", "parent", "parents", "authority", "synonyms", "common_names", "trade_designation", "traits", "published",
    "climate", "note", "notes", "family",
}  # fmt: skip
STATEMENT_KEYS = {"value", "confidence", "climate", "date", "note", "method"}
CONFIDENCE = ("high", "medium", "low")


@dataclass(frozen=True, slots=True)
class Statement:
    """One source's word on one trait."""

    trait: str
    value: Value
    source: str
    method: str
    confidence: str
    date: str = ""


@dataclass(frozen=True, slots=True)
class Taxon:
    """A taxon as recorded, before inheritance."""

    name: str
    rank: str
    family: str
    parent: str | None
    synonyms: tuple[str, ...]
    common_names: tuple[str, ...]
    trade_designation: str | None
    statements: tuple[Statement, ...]
    place: str = ""


@dataclass(slots=True)
class Records:
    """Taxa by name, sources by key, and what is wrong as ``file:line:column: message``."""

    taxa: dict[str, Taxon] = field(default_factory=dict)
    sources: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)


def read_records(folders: Iterable[FilePath]) -> Records:
    """The records of several folders; of the same taxon and trait, later folders win."""
    records = Records()
    for folder in folders:
        for place in (folder / "sources.yaml", folder.parent / "sources.yaml"):
            if place.is_file():
                document = read_file(place)
                records.faults += [f"{place.name}: {fault.message}" for fault in document.faults]
                if isinstance(document.data, dict):
                    records.sources.update(document.data.get("sources") or {})
                break
    for folder in folders:
        for file in sorted(folder.glob("*.yaml")):
            if file.name != "sources.yaml":
                _Reader(records, read_file(file)).read()
    return _with_parents(records)


class _Reader:
    def __init__(self, records: Records, document: Document) -> None:
        self.records, self.document, self.table = records, document, trait_table()

    def fault(self, path: Path, message: str) -> None:
        span = self.document.span(path)
        self.records.faults.append(f"{self.document.name}:{span.start_line}:{span.start_column}: {message}")

    def read(self) -> None:
        for fault in self.document.faults:
            self.fault(fault.path, fault.message)
        data = self.document.data
        if not isinstance(data, dict) or not isinstance(data.get("taxa"), list):
            self.fault((), "a record file has format, genus, family and taxa")
            return
        for key in set(data) - {"format", "genus", "family", "climate", "taxa", "note", "notes"}:
            self.fault((key,), f"'{key}' is not known at the head of a record file")
        for number, raw in enumerate(data["taxa"]):
            self.taxon(("taxa", number), raw, data)

    def taxon(self, path: Path, raw: Any, head: Mapping[str, Any]) -> None:
        if not isinstance(raw, dict) or not isinstance(raw.get("name"), str) or raw.get("rank") not in RANKS:
            self.fault(path, f"a taxon has a name and a rank, one of {', '.join(RANKS)}")
            return
        for key in set(raw) - TAXON_KEYS:
            self.fault((*path, key), f"'{key}' is not known in a taxon")
        climate = {**(head.get("climate") or {}), **(raw.get("climate") or {})}
        statements = [*self.statements((*path, "traits"), raw.get("traits"), MEMORY, climate)]
        for source, traits in (raw.get("published") or {}).items():
            if source not in self.records.sources:
                self.fault((*path, "published", source), f"the source '{source}' is not in sources.yaml")
            statements += self.statements((*path, "published", source), traits, source, climate)
        common = [name for names in (raw.get("common_names") or {}).values() for name in names]
        taxon = Taxon(
            raw["name"], raw["rank"], head.get("family", ""), raw.get("parent"), tuple(raw.get("synonyms") or ()), tuple(common),
            raw.get("trade_designation"), tuple(statements), f"{self.document.name}:{self.document.span(path).start_line}",
        )  # fmt: skip
        former = self.records.taxa.get(taxon.name)
        if former is not None:
            if former.place.rpartition(":")[0] == self.document.name:
                self.fault(path, f"{taxon.name} stands twice in this file")
            said = {statement.trait for statement in taxon.statements}
            kept = tuple(statement for statement in former.statements if statement.trait not in said)
            taxon = replace(taxon, statements=(*kept, *taxon.statements))
        self.records.taxa[taxon.name] = taxon

    def statements(self, path: Path, traits: Any, source: str, climate: Mapping[str, Any]) -> Iterable[Statement]:
        for name, raw in (traits or {}).items():
            trait = self.table.traits.get(name)
            if trait is None:
                self.fault((*path, name), f"'{name}' is not in the table of traits")
                continue
            long = isinstance(raw, dict) and "value" in raw
            if long and set(raw) - STATEMENT_KEYS:
                self.fault((*path, name), f"a statement has {', '.join(sorted(STATEMENT_KEYS))}")
            said = raw if long else {"value": raw}
            method = said.get("method", "memory" if source == MEMORY else "published")
            confidence = said.get("confidence", "medium" if source == MEMORY else "high")
            if confidence not in CONFIDENCE or (source == MEMORY and confidence == "high"):
                self.fault((*path, name), "confidence is high, medium or low, and never high from memory")
            try:
                value = read_value(trait, said["value"], {**climate, **(said.get("climate") or {})})
            except ValueError as error:
                self.fault((*path, name), str(error))
                continue
            yield Statement(name, value, source, method, confidence, str(said.get("date", "")))


def _with_parents(records: Records) -> Records:
    for name, taxon in records.taxa.items():
        parent = taxon.parent or _parent(name, taxon.rank, records.taxa)
        if parent is not None and parent not in records.taxa:
            records.faults.append(f"{taxon.place}: {name}: its parent {parent} has no record")
            parent = None
        if parent is None and taxon.rank == "cultivar":
            records.faults.append(f"{taxon.place}: {name}: a cultivar needs a record of its parent")
        records.taxa[name] = replace(taxon, parent=parent)
    _check_names(records)
    return records


def _parent(name: str, rank: str, taxa: Mapping[str, Taxon]) -> str | None:
    """The longest beginning of the name that has a record; the genus last."""
    words = name.partition(" '")[0].split() if rank == "cultivar" else name.split()[:-1]
    while words:
        candidate = " ".join(words)
        if candidate != name and candidate in taxa:
            return candidate
        words.pop()
    return None


def _check_names(records: Records) -> None:
    owner: dict[str, str] = {name_key(name): name for name in records.taxa}
    for name, taxon in records.taxa.items():
        for synonym in taxon.synonyms:
            other = owner.setdefault(name_key(synonym), name)
            if other != name:
                records.faults.append(f"{taxon.place}: {name}: the synonym {synonym} is also a name of {other}")


def life_form_of(taxon: Taxon, taxa: Mapping[str, Taxon], table: TraitTable) -> str | None:
    """The life form stated on a taxon or above it."""
    step: Taxon | None = taxon
    while step is not None:
        for statement in step.statements:
            if statement.trait == "life_form":
                return str(statement.value)
        step = taxa.get(step.parent) if step.parent else None
    return None
