"""Plants as tables: the same rows that an import reads, and measurement rows in the terms of Darwin Core.

CSV cells that a spreadsheet would take for a formula stand behind a quote, which an import takes away again.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, TextIO

from bedfellow.schema.cells import month_and_day, plain_value, write_cell
from bedfellow.schema.traits import Trait, trait_table
from bedfellow.schema.values import Measure, Window
from bedfellow.traits_db.exchange.rows import guarded
from bedfellow.traits_db.inheritance import METHODS, SURENESS
from bedfellow.traits_db.records import Statement, Taxon

FORMS = ("csv", "json", "yaml", "darwin-core")
SHAPES = ("long", "wide")
LONG = ("taxon", "rank", "family", "parent", "trait", "value", "unit", "source", "method", "confidence", "date", "region", "latitude")  # fmt: skip
# Terms of Darwin Core (TDWG, quick reference guide), then two columns of ours, without which a source would be lost.
DARWIN_CORE = (
    "scientificName", "taxonRank", "genericName", "specificEpithet", "infraspecificEpithet", "cultivarEpithet",
    "measurementType", "measurementValue", "measurementUnit", "measurementAccuracy", "measurementMethod",
    "measurementDeterminedDate", "source", "confidence",
)  # fmt: skip
_CULTIVAR = re.compile(r"([^']+?)(?: '(.+)')?")


def export(taxa: Iterable[Taxon], form: str, shape: str, stream: TextIO, titles: Mapping[str, str], tell: Callable[[int], None] = lambda done: None) -> int:  # fmt: skip
    """Write what is stated of plants; the number of rows.

    form, shape: of FORMS and SHAPES; measurement rows are long. titles: of sources, by key. tell: told the plants done.
    """

    def told() -> Iterator[Taxon]:
        for done, taxon in enumerate(taxa, 1):
            yield taxon
            tell(done)

    match form, shape:
        case "darwin-core", _:
            return write_csv(stream, DARWIN_CORE, (row for taxon in told() for row in _measurements(taxon, titles)))
        case "csv", "long":
            return write_csv(stream, LONG, (row for taxon in told() for row in _said(taxon, _in_cells)))
        case "csv", _:
            columns = (*LONG[:4], *trait_table().traits)
            return write_csv(stream, columns, (_wide(taxon, write_cell) for taxon in told()))
        case _, "long":
            return _plain(stream, form, (row for taxon in told() for row in _said(taxon, _in_data)))
        case _:
            return _plain(stream, form, (_wide(taxon, plain_value) for taxon in told()))


def write_csv(stream: TextIO, columns: Iterable[str], rows: Iterable[Mapping[str, Any]]) -> int:
    """Write rows under these columns, formulas guarded; the number of rows."""
    columns = list(columns)
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(columns)
    number = 0
    for row in rows:
        number += 1
        writer.writerow([guarded(str(row.get(column, ""))) for column in columns])
    return number


def _plain(stream: TextIO, form: str, rows: Iterable[Mapping[str, Any]]) -> int:
    """JSON, or YAML whose rows are written in its flow style, which is the same."""
    number = 0
    before = "[\n" if form == "json" else "- "
    for row in rows:
        number += 1
        stream.write(before + json.dumps(row, ensure_ascii=False))
        before = ",\n" if form == "json" else "\n- "
    stream.write(("\n]\n" if number else "[]\n") if form == "json" else ("\n" if number else "[]\n"))
    return number


def _said(taxon: Taxon, written: Callable[[Taxon, Statement], dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """A row a statement; of a plant that nothing is said of, one row all the same, for others may stand below it."""
    yield from (written(taxon, statement) for statement in taxon.statements)
    if not taxon.statements:
        yield _head(taxon)


def _head(taxon: Taxon) -> dict[str, Any]:
    head = {"taxon": taxon.name, "rank": taxon.rank, "family": taxon.family, "parent": taxon.parent or ""}
    return {name: text for name, text in head.items() if text}


def _statement(statement: Statement) -> dict[str, Any]:
    said: dict[str, Any] = {
        "source": statement.source, "method": statement.method, "confidence": statement.confidence, "date": statement.date,
    }  # fmt: skip
    if isinstance(statement.value, Window):
        said |= {"region": statement.value.region, "latitude": statement.value.latitude}
    return {name: text for name, text in said.items() if text != ""}


def _in_cells(taxon: Taxon, statement: Statement) -> dict[str, Any]:
    trait = trait_table().traits[statement.trait]
    unit = trait.unit if trait.kind in ("measure", "tolerance") else ""
    value = {"trait": trait.name, "value": write_cell(trait, statement.value), "unit": unit}
    return {**_head(taxon), **value, **_statement(statement)}


def _in_data(taxon: Taxon, statement: Statement) -> dict[str, Any]:
    trait = trait_table().traits[statement.trait]
    value = {"trait": trait.name, "value": plain_value(trait, statement.value)}
    return {**_head(taxon), **value, **_statement(statement)}


def _wide(taxon: Taxon, written: Callable[[Trait, Any], Any]) -> dict[str, Any]:
    """One row a plant: of each trait the best statement, as `inheritance` ranks them."""
    table = trait_table().traits
    row = _head(taxon)
    for statement in sorted(taxon.statements, key=lambda s: (METHODS[s.method], SURENESS[s.confidence])):
        if statement.trait not in row:
            row[statement.trait] = written(table[statement.trait], statement.value)
    return row


def _measurements(taxon: Taxon, titles: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    name = _epithets(taxon)
    for statement in taxon.statements:
        trait, value = trait_table().traits[statement.trait], statement.value
        said = f"{value.typical:.10g}" if isinstance(value, Measure) else write_cell(trait, value)
        if isinstance(value, Window):
            said = "; ".join([_interval(value), *said.split("; ")[1:]])
        method = "memory" if statement.method == "memory" else f"{statement.method}: {titles.get(statement.source, statement.source)}"  # fmt: skip
        yield {
            **name, "measurementType": trait.name, "measurementValue": said, "measurementUnit": trait.unit,
            "measurementAccuracy": f"{value.low:.10g} to {value.high:.10g}" if isinstance(value, Measure) else "",
            "measurementMethod": method, "measurementDeterminedDate": statement.date,
            "source": statement.source, "confidence": statement.confidence,
        }  # fmt: skip


def _epithets(taxon: Taxon) -> dict[str, str]:
    """The name in the parts that Darwin Core has terms for; the cultivar epithet without quotes."""
    found = _CULTIVAR.fullmatch(taxon.name)
    botanical, cultivar = found.groups() if found else (taxon.name, None)
    words = [word for word in botanical.split() if word != "×"]
    at = next((n for n, word in enumerate(words) if word in ("subsp.", "var.", "f.")), None)
    species = words[1] if len(words) > 1 and words[1][:1].islower() else ""
    return {
        "scientificName": taxon.name, "taxonRank": taxon.rank, "genericName": words[0] if words else "", "specificEpithet": species,
        "infraspecificEpithet": words[at + 1] if at is not None and at + 1 < len(words) else "", "cultivarEpithet": cultivar or "",
    }  # fmt: skip


def _interval(window: Window) -> str:
    """Days without a year (XML Schema, gMonthDay), from and to."""
    days = (month_and_day(day.typical) for day in (window.start, window.end))
    return "/".join(f"--{month:02d}-{day:02d}" for month, day in days)
