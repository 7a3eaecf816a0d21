"""What a row says: values of traits of a plant, each checked as a record would be."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Any, NamedTuple

from bedfellow.schema.cells import read_cell
from bedfellow.schema.traits import Trait, trait_table
from bedfellow.schema.units import shown
from bedfellow.schema.values import Value, read_value
from bedfellow.traits_db.exchange.rows import FORMULA, Row
from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.records import CONFIDENCE, RANKS

# Terms of Darwin Core (TDWG) that mean one of our columns.
DARWIN_CORE = {
    "scientificName": "taxon", "taxonRank": "rank", "measurementType": "trait", "measurementValue": "value",
    "measurementUnit": "unit", "measurementAccuracy": "between", "measurementDeterminedDate": "date",
}  # fmt: skip
# Terms that say again what another column says, or nothing that is kept.
PASSED_OVER = frozenset(
    {"measurementID", "measurementMethod", "genericName", "specificEpithet", "infraspecificEpithet", "cultivarEpithet"}
)
LONG = frozenset({"trait", "value", "unit", "between"})
OF_A_ROW = frozenset({"taxon", "source", "method", "confidence", "date", "region", "latitude"})
OF_A_PLANT = ("rank", "family", "parent")
LONGEST_NAME = 200
_NO_FORMULA = re.compile(r"[-+][0-9.]|--[0-9]{2}-|\+ ?[A-Z][a-z]")  # a number, a day, the name of a graft-chimaera
_DATE = re.compile(r"[0-9]{4}(?:-(?:0[1-9]|1[0-2])(?:-(?:0[1-9]|[12][0-9]|3[01]))?)?")
_WIDE = re.compile(r"(\w+)\s*[(\[]([^)\]]+)[)\]]")


class Said(NamedTuple):
    """One value of one trait, as a row says it."""

    trait: str
    value: Value
    source: str
    method: str
    confidence: str
    date: str


class Saying(NamedTuple):
    """What a row says of a plant. plant: rank, family and parent where the row gives them."""

    line: int
    taxon: str
    plant: Mapping[str, str]
    values: Sequence[Said]


@dataclass(frozen=True, slots=True)
class Defaults:
    """What a row that does not say so means."""

    source: str = MEMORY
    confidence: str = ""
    date: str = ""


class RowFault(ValueError):
    """What is wrong with a row, in words."""


def unknown_columns(names: Sequence[str]) -> str | None:
    """What is wrong with the headings of a table; None where nothing is."""
    known = [*OF_A_ROW, *LONG, *OF_A_PLANT]
    listed = [DARWIN_CORE.get(name, name) for name in names]
    if "taxon" not in listed:
        return "no column 'taxon' (or scientificName) names the plants"
    long = "trait" in listed
    if long and "value" not in listed:
        return "there is a column 'trait', but none called 'value'"
    for name in listed:
        trait = (_WIDE.fullmatch(name) or [name, name])[1]
        if name in known or name in PASSED_OVER or (not long and trait in trait_table().traits):
            continue
        near = get_close_matches(name, [*known, *([] if long else trait_table().traits)], 1)
        return f"the column '{name}' is not known" + (f"; is '{near[0]}' meant?" if near else "")
    return None


def said_by(row: Row, defaults: Defaults) -> Saying:
    """What a row states, values in the order of its cells; none where it only gives a plant's rank. Raises RowFault."""
    cells = {DARWIN_CORE.get(name, name): cell for name, cell in row.cells.items() if name not in PASSED_OVER}
    for name, cell in cells.items():
        if isinstance(cell, str) and cell.startswith(FORMULA) and _NO_FORMULA.match(cell) is None:
            raise RowFault(f"{name}: {shown(cell)} looks like a formula of a spreadsheet; give the value")
    taxon = _name(cells.pop("taxon", None))
    plant = {key: _name(cells.pop(key)) for key in OF_A_PLANT if key in cells}
    if plant.get("rank", "species") not in RANKS:
        raise RowFault(f"rank: {shown(plant['rank'])} is none of {', '.join(RANKS)}")
    source = str(cells.pop("source", defaults.source)).strip()
    method = str(cells.pop("method", MEMORY if source == MEMORY else "published"))
    confidence = str(cells.pop("confidence", defaults.confidence) or ("medium" if source == MEMORY else "high"))
    date = str(cells.pop("date", defaults.date))
    if method not in ((MEMORY,) if source == MEMORY else ("published", "measured")):
        raise RowFault(f"method: {shown(method)}; it is memory without a source, published or measured with one")
    if confidence not in CONFIDENCE or (source == MEMORY and confidence == "high"):
        raise RowFault(f"confidence: {shown(confidence)}; it is high, medium or low, and never high from memory")
    if date and _DATE.fullmatch(date) is None:
        raise RowFault(f"date: {shown(date)} is no date; write 2026-10-22, 2026-10 or 2026")
    climate = _climate(cells)
    values = [Said(trait, value, source, method, confidence, date) for trait, value in _values(cells, climate)]
    if not values and "rank" not in plant:
        raise RowFault("the row says nothing of the plant")
    return Saying(row.line, taxon, plant, values)


def _values(cells: dict[str, Any], climate: dict[str, Any]) -> Iterator[tuple[str, Value]]:
    if "trait" in cells:
        name, unit, between = (cells.pop(key, "") for key in ("trait", "unit", "between"))
        if "value" not in cells:
            raise RowFault("there is no value")
        yield str(name), _value(_trait(str(name)), cells.pop("value"), str(unit), str(between), climate)
        if cells:
            raise RowFault(f"'{next(iter(cells))}' does not belong into a row with one trait")
        return
    for key, cell in cells.items():
        found = _WIDE.fullmatch(key)
        name, unit = found.groups() if found else (key, "")
        yield name, _value(_trait(name), cell, unit, "", climate)


def _value(trait: Trait, cell: Any, unit: str, between: str, climate: dict[str, Any]) -> Value:
    try:
        if trait.kind == "measure" and between:
            cell = f"{between}, typical {cell}"
        if isinstance(cell, str):
            return _from_text(trait.name, cell, unit, climate.get("region", ""), climate.get("latitude", ""))
        return _finite(trait, read_value(trait, cell, climate))
    except RowFault:
        raise
    except (TypeError, ValueError) as error:  # a TypeError is text where a number belongs, deep inside a value
        told = str(error) if isinstance(error, ValueError) else f"{trait.name} cannot be {shown(cell)}"
        raise RowFault(told) from None


@lru_cache(maxsize=4096)  # tables say the same few words again and again
def _from_text(name: str, text: str, unit: str, region: str, latitude: Any) -> Value:
    trait = trait_table().traits[name]
    climate = {**({"region": region} if region else {}), **({"latitude": latitude} if latitude != "" else {})}
    return _finite(trait, read_value(trait, read_cell(trait, text, unit), climate))


def _finite(trait: Trait, value: Value) -> Value:
    if isinstance(value, tuple) and any(isinstance(part, float) and not abs(part) < 1e9 for part in value):
        raise RowFault(f"{trait.name}: the number is too large")
    return value


def _trait(name: str) -> Trait:
    trait = trait_table().traits.get(name)
    if trait is None:
        near = get_close_matches(name, trait_table().traits, 1)
        raise RowFault(f"'{name[:60]}' is not in the table of traits" + (f"; is '{near[0]}' meant?" if near else ""))
    return trait


def _name(cell: Any) -> str:
    if not isinstance(cell, str) or not cell.strip():
        raise RowFault("the plant is not named" if cell is None else f"{shown(cell)} is no name")
    if len(cell) > LONGEST_NAME or not cell.isprintable():
        raise RowFault(f"{shown(cell)} is no name: too long, or with control characters")
    return " ".join(cell.split())


def _climate(cells: dict[str, Any]) -> dict[str, Any]:
    climate = {key: cells.pop(key) for key in ("region", "latitude") if key in cells}
    if "latitude" in climate:
        try:
            climate["latitude"] = float(climate["latitude"])
        except (TypeError, ValueError):
            climate["latitude"] = 999.0
        if not abs(climate["latitude"]) <= 90:
            raise RowFault("latitude: degrees from -90 to 90")
    return {key: str(value) if key == "region" else value for key, value in climate.items()}
