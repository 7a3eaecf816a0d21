"""Record files as taxa with statements; what is wrong with a record is told with its place.

records/<Genus>.yaml ─→ Taxon(name, rank, parent, synonyms, …, statements) ─→ lineage.py ─→ inheritance.py ─→ store.py
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path as FilePath
from typing import Any

from bedfellow.schema.place import Path, Span
from bedfellow.schema.reader import Document, read_file
from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Hazard, Listing, Value, read_value
from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.folders import record_files, sources_of
from bedfellow.traits_db.names import name_key

RANKS = ("genus", "species", "hybrid", "subspecies", "variety", "group", "cultivar")
HEAD_KEYS = {"format", "genus", "family", "climate", "taxa", "note", "notes"}
TAXON_KEYS = {
    "name", "rank", "parent", "parents", "authority", "synonyms", "common_names", "trade_designation", "traits", "published",
    "climate", "note", "notes",
}  # fmt: skip
STATEMENT_KEYS = {"value", "confidence", "climate", "date", "note", "method"}
CONFIDENCE = ("high", "medium", "low")
UNITED = {"hazards", "listings"}


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
    """A taxon as recorded, before inheritance.

    parent: the taxon above it. parents: the species that a hybrid comes from. place: ``file:line:column``.
    """

    name: str
    rank: str
    family: str = ""
    parent: str | None = None
    parents: tuple[str, ...] = ()
    synonyms: tuple[str, ...] = ()
    common_names: tuple[str, ...] = ()
    trade_designation: str | None = None
    statements: tuple[Statement, ...] = ()
    place: str = ""


@dataclass(slots=True)
class Records:
    """Taxa by name, sources and their places by key, and what is wrong as ``file:line:column: message``.

    spelt: names by their key.
    """

    taxa: dict[str, Taxon] = field(default_factory=dict)
    sources: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    source_places: dict[str, str] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    spelt: dict[str, str] = field(default_factory=dict)


def read_records(
    folders: Iterable[FilePath], underneath: Records | None = None, tell: Callable[[int], None] = lambda done: None
) -> Records:
    """The records of several folders over others; of the same taxon and trait, later folders win.

    tell: is told how many files have been read.
    """
    from bedfellow.traits_db.lineage import with_parents

    records = underneath or Records()
    folders = list(folders)
    for folder in folders:
        if not folder.is_dir():
            records.faults.append(f"{folder}: there is no such folder of records")
        if (place := sources_of(folder)) is not None:
            _read_sources(records, read_file(place))
    read = 0
    for folder in folders:
        here: dict[str, str] = {}
        for file in record_files(folder):
            _Reader(records, read_file(file), here).read()
            read += 1
            tell(read)
    return with_parents(records)


def _located(document: Document, span: Span | None, message: str) -> str:
    line, column = (span.start_line, span.start_column) if span else (1, 1)
    return f"{document.name}:{line}:{column}: {message}"


def _read_sources(records: Records, document: Document) -> None:
    records.faults += [_located(document, fault.span, fault.message) for fault in document.faults]
    sources = document.data.get("sources") if isinstance(document.data, dict) else None
    if not isinstance(sources, dict):
        records.faults.append(_located(document, None, "a file of sources has format and sources, works by key"))
        return
    for key, work in sources.items():
        if key == MEMORY:
            fault = f"'{MEMORY}' is no work: it marks what nobody has looked up"
        elif not isinstance(work, dict) or not isinstance(work.get("title"), str):
            fault = f"the source '{key}' needs a title"
        else:
            records.sources[key] = work
            records.source_places[key] = _located(document, document.key_span(("sources", key)), "").rstrip(": ")
            continue
        records.faults.append(_located(document, document.key_span(("sources", key)), fault))


class _Reader:
    """Reads one file into the records. here: key of each name of this folder to its place."""

    def __init__(self, records: Records, document: Document, here: dict[str, str]) -> None:
        self.records, self.document, self.here = records, document, here
        self.traits = trait_table().traits

    def fault(self, path: Path, message: str, at_key: bool = False) -> None:
        span = self.document.key_span(path) if at_key else self.document.span(path)
        self.records.faults.append(_located(self.document, span, message))

    def mapping(self, path: Path, raw: Any, what: str) -> Mapping[str, Any]:
        if raw is not None and not isinstance(raw, dict):
            self.fault(path, f"{what}, not {raw!r}")
        return raw if isinstance(raw, dict) else {}

    def texts(self, path: Path, raw: Any) -> tuple[str, ...]:
        if raw is None:
            return ()
        if not isinstance(raw, list) or not all(isinstance(text, str) and text.strip() for text in raw):
            self.fault(path, f"{path[-1]} is a list of names, not {raw!r}")
            return ()
        return tuple(raw)

    def text(self, path: Path, raw: Any) -> str | None:
        if raw is not None and not isinstance(raw, str):
            self.fault(path, f"{path[-1]} is a name, not {raw!r}")
        return raw if isinstance(raw, str) else None

    def climate(self, path: Path, raw: Any) -> Mapping[str, Any]:
        climate = self.mapping(path, raw, "climate is {region, latitude}")
        latitude = climate.get("latitude", 0)
        good = isinstance(latitude, int | float) and abs(latitude) <= 90 and isinstance(climate.get("region", ""), str)
        if set(climate) - {"region", "latitude"} or not good:
            self.fault(path, f"climate is {{region, latitude}}, a word and degrees, not {raw!r}")
            return {}
        return climate

    def read(self) -> None:
        for fault in self.document.faults:
            self.records.faults.append(_located(self.document, fault.span, fault.message))
        data = self.document.data
        if not isinstance(data, dict) or not isinstance(data.get("taxa"), list):
            if not self.document.faults:
                self.fault((), "a record file has format, genus, family and taxa")
            return
        if data.get("format") != 1:
            self.fault(("format",), f"a record file begins with 'format: 1', not {data.get('format')!r}")
        for key in sorted(set(data) - HEAD_KEYS):
            self.fault((key,), f"'{key}' is not known at the head of a record file", at_key=True)
        climate = self.climate(("climate",), data.get("climate"))
        family = self.text(("family",), data.get("family")) or ""
        for number, raw in enumerate(data["taxa"]):
            self.taxon(("taxa", number), raw, family, climate)

    def taxon(self, path: Path, raw: Any, family: str, climate: Mapping[str, Any]) -> None:
        if not isinstance(raw, dict) or not isinstance(raw.get("name"), str) or raw.get("rank") not in RANKS:
            self.fault(path, f"a taxon has a name and a rank, one of {', '.join(RANKS)}")
            return
        for key in sorted(set(raw) - TAXON_KEYS):
            self.fault((*path, key), f"'{key}' is not known in a taxon", at_key=True)
        climate = {**climate, **self.climate((*path, "climate"), raw.get("climate"))}
        statements = [*self.statements((*path, "traits"), raw.get("traits"), MEMORY, climate)]
        published = self.mapping((*path, "published"), raw.get("published"), "published is traits by source")
        for source, traits in published.items():
            place = (*path, "published", source)
            if source not in self.records.sources:
                self.fault(place, f"the source '{source}' is not in sources.yaml", at_key=True)
                continue
            statements += self.statements(place, traits, source, climate)
        common = self.mapping((*path, "common_names"), raw.get("common_names"), "common_names is lists by language")
        span = self.document.span((*path, "name"))
        self.add(
            path,
            Taxon(
                name=raw["name"], rank=raw["rank"], family=family, parent=self.text((*path, "parent"), raw.get("parent")),
                parents=self.texts((*path, "parents"), raw.get("parents")),
                synonyms=self.texts((*path, "synonyms"), raw.get("synonyms")),
                common_names=tuple(
                    name for tongue, names in common.items() for name in self.texts((*path, "common_names", tongue), names)
                ),
                trade_designation=self.text((*path, "trade_designation"), raw.get("trade_designation")),
                statements=tuple(statements), place=f"{self.document.name}:{span.start_line}:{span.start_column}",
            ),
        )  # fmt: skip

    def add(self, path: Path, taxon: Taxon) -> None:
        """Add a taxon; one that an earlier folder has is completed and overruled."""
        key = name_key(taxon.name)
        if key in self.here:
            self.fault((*path, "name"), f"{taxon.name} has a record already, at {self.here[key]}")
            return
        self.here[key] = taxon.place
        spelt = self.records.spelt.setdefault(key, taxon.name)
        former = self.records.taxa.get(spelt)
        self.records.taxa[spelt] = taxon if former is None else overruled(former, taxon)

    def statements(self, path: Path, traits: Any, source: str, climate: Mapping[str, Any]) -> Iterator[Statement]:
        for name, raw in self.mapping(path, traits, "traits are values by trait").items():
            place = (*path, name)
            trait = self.traits.get(name)
            if trait is None:
                self.fault(place, f"'{name}' is not in the table of traits", at_key=True)
                continue
            long = isinstance(raw, dict) and "value" in raw
            said = raw if long else {"value": raw}
            for key in sorted(set(said) - STATEMENT_KEYS):
                self.fault(
                    (*place, key), f"'{key}' is not known; a statement has {', '.join(sorted(STATEMENT_KEYS))}", True
                )
            method = said.get("method", "memory" if source == MEMORY else "published")
            if method not in (("memory",) if source == MEMORY else ("published", "measured")):
                self.fault(place, "the method is memory under traits, and published or measured under a source")
                continue
            confidence = said.get("confidence", "medium" if source == MEMORY else "high")
            if confidence not in CONFIDENCE or (source == MEMORY and confidence == "high"):
                self.fault(place, "confidence is high, medium or low, and never high from memory")
                continue
            seen_in = {**climate, **self.climate((*place, "climate"), said.get("climate"))}
            try:
                value = read_value(trait, said["value"], seen_in)
            except (TypeError, ValueError) as error:
                # A TypeError is text where a number belongs, deep inside a value.
                self.fault(
                    place, str(error) if isinstance(error, ValueError) else f"{name} cannot be {said['value']!r}"
                )
                continue
            yield Statement(name, value, source, method, confidence, str(said.get("date", "")))


def overruled(former: Taxon, later: Taxon) -> Taxon:
    """A taxon with what a later folder says of it: value by value, except that no hazard or listing is taken away."""
    said = {statement.trait for statement in later.statements}
    united: dict[tuple[str, str], Statement] = {}
    for statement in (*later.statements, *(s for s in former.statements if s.trait in said & UNITED)):
        key = (statement.trait, statement.source)
        earlier = united.setdefault(key, statement)
        if earlier is not statement:
            united[key] = replace(earlier, value=united_entries((earlier.value, statement.value)))
    kept = tuple(statement for statement in former.statements if statement.trait not in said)
    return replace(
        later,
        name=former.name,
        family=later.family or former.family,
        parent=later.parent or former.parent,
        parents=later.parents or former.parents,
        synonyms=tuple(dict.fromkeys((*former.synonyms, *later.synonyms))),
        common_names=tuple(dict.fromkeys((*former.common_names, *later.common_names))),
        trade_designation=later.trade_designation or former.trade_designation,
        statements=(*kept, *united.values()),
    )


def plant_state(taxon: Taxon) -> dict[str, Any]:
    """What is recorded of a plant beside its values, as plain data."""
    return {
        "rank": taxon.rank, "family": taxon.family, "parent": taxon.parent, "parents": list(taxon.parents),
        "synonyms": list(dict.fromkeys(taxon.synonyms)), "common_names": list(dict.fromkeys(taxon.common_names)),
        "trade_designation": taxon.trade_designation,
    }  # fmt: skip


def united_entries(values: Iterable[Value]) -> tuple[Any, ...]:
    """Hazards by (who, how), or listings by (jurisdiction, list); of the same pair the first is kept."""
    entries: dict[tuple[str, str], Hazard | Listing] = {}
    for value in values:
        for entry in value if isinstance(value, tuple) else ():
            if isinstance(entry, Hazard | Listing):
                entries.setdefault((entry[0], entry[1]), entry)
    return tuple(entries.values())
