"""Records against a published table in a CSV file: rates of agreement, and each disagreement as something to look at.

Which table a file is shows in its columns:

    plant characteristics   USDA NRCS PLANTS Database: heights in feet, pH, bloom period, minimum temperature in °F
    Union concern           list of Regulation (EU) No 1143/2014
    alien plants            degree of establishment of introduced taxa, such as the Manual of the Alien Plants of Belgium

A record that names the table as its source must say what the table says: otherwise it is a fault.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from bedfellow.schema.cells import write_cell
from bedfellow.schema.traits import trait_table
from bedfellow.schema.units import METRES
from bedfellow.schema.values import FIRST_DAYS, YEAR, Day, Listing, Measure, Tolerance, Value, Window
from bedfellow.traits_db.inspection.remark import Level, Plant, Remark
from bedfellow.traits_db.inspection.seasons import days_apart
from bedfellow.traits_db.names import name_key

CHARACTERISTICS, UNION_CONCERN = "usda-plants-characteristics", "eu-1143-2014"
# How far two figures may lie apart and still agree (common practice).
HEIGHT_FACTOR, BLOOM_DAYS, COLD_DEGREES = 1.5, 30, 8.0
# The bloom periods are seasons of North America; months by common practice.
BLOOM = {
    "Late Winter": (2, 2), "Early Spring": (3, 3), "Mid Spring": (4, 4), "Late Spring": (5, 5), "Spring": (3, 5),
    "Early Summer": (6, 6), "Mid Summer": (7, 7), "Late Summer": (8, 8), "Summer": (6, 8), "Fall": (9, 11), "Winter": (12, 14),
}  # fmt: skip
# Columns of the characteristics. The minimum temperature is a figure of the zone scale: of 1,435 of them 1,183 are the
# midpoint of a half zone, -28 °F for 4a. The UK ratings end milder, and rate what Britain's winters have shown.
HEIGHT, COLD, LEAST, MOST = "Height, Mature (feet)", "Temperature, Minimum (°F)", "pH, Minimum", "pH, Maximum"
# A row that is about another taxon than its name says: its figures are those of subsp. canadensis.
MISNAMED = {"Sambucus nigra"}

Row = Mapping[str, str]


class UnknownTable(Exception):
    """A file that is none of the tables that can be compared."""


@dataclass(slots=True)
class Comparison:
    """How far the records agree with one table: trait to (agreed, compared), taxa in common, and the remarks."""

    title: str
    taxa: int = 0
    rates: dict[str, tuple[int, int]] = field(default_factory=dict)
    remarks: list[Remark] = field(default_factory=list)

    def judge(self, plant: Plant, trait: str, agrees: bool, message: str, level: Level = "look") -> None:
        """Count one comparison; keep the message where it fails."""
        agreed, compared = self.rates.get(trait, (0, 0))
        self.rates[trait] = (agreed + agrees, compared + 1)
        if not agrees:
            self.remarks.append(Remark(level, "reference", plant.taxon.place, plant.taxon.name, message))


class Table(NamedTuple):
    """A published table: its title, rows by the key of the name, and how a plant is held against its row."""

    title: str
    rows: Mapping[str, Row]
    judge: Callable[[Comparison, Plant, Row | None], None]


def read_table(file: Path) -> Table:
    """The table in a file.

    Raises UnknownTable, OSError, or UnicodeError where the file is not UTF-8.
    """
    with file.open(encoding="utf-8-sig", newline="") as stream:
        try:
            reader = csv.DictReader(stream, strict=True)
            columns = set(reader.fieldnames or ())
            rows = [{key: value or "" for key, value in row.items() if key} for row in reader]
        except csv.Error as error:
            raise UnknownTable(f"{file} is no table of comma-separated values: {error}") from None
    by_columns = (
        (HEIGHT, "USDA PLANTS Database, plant characteristics", _characteristics),
        ("degreeOfEstablishment", "Alien plants, degree of establishment", _alien),
        ("scientificName", "Regulation (EU) No 1143/2014, list of Union concern", _union_concern),
    )
    found = next((row for row in by_columns if row[0] in columns), None)
    if found is None:
        raise UnknownTable(f"{file} has none of the columns {', '.join(row[0] for row in by_columns)}")
    _, title, judge = found
    name_column = "scientificName" if "scientificName" in columns else "scientific_name"
    by_name = {name_key(name): row for row in rows if (name := taxon_name(row.get(name_column, "")))}
    return Table(title, by_name, judge)


def compare(plants: Iterable[Plant], table: Table) -> Comparison:
    """The records against a table."""
    comparison = Comparison(table.title)
    for plant in plants:
        row = next((table.rows[key] for name in _names(plant) if (key := name_key(name)) in table.rows), None)
        if plant.taxon.rank in ("genus", "group", "cultivar") or plant.taxon.name in MISNAMED:
            continue
        comparison.taxa += row is not None
        table.judge(comparison, plant, row)
    return comparison


def taxon_name(text: str) -> str:
    """A botanical name without its authors: genus, epithet, and the infraspecific rank and epithet if it has one."""
    words = text.replace("×", "× ").split()
    name: list[str] = []
    for number, word in enumerate(words):
        marks = word in ("×", "ssp.", "subsp.", "var.", "f.")
        follows = name and name[-1] in ("×", "ssp.", "subsp.", "var.", "f.")
        if number == 0 or marks or (word.islower() and (len(name) == 1 or follows)):
            name.append("subsp." if word == "ssp." else word)
    while name and name[-1] in ("subsp.", "var.", "f.", "×"):  # 'f.' of an author, as in Hook. f.
        name.pop()
    return " ".join(name) if len(name) > 1 else ""


def _names(plant: Plant) -> Iterator[str]:
    yield plant.taxon.name
    yield from plant.taxon.synonyms


def _stated(plant: Plant, trait: str, but: str) -> Value | None:
    """The best value that does not come from the table itself."""
    order = {"measured": 0, "published": 1, "memory": 2}
    others = [s for s in plant.taxon.statements if s.trait == trait and s.source != but]
    return min(others, key=lambda s: order[s.method]).value if others else None


def _told(trait: str, value: Value) -> str:
    return f"{trait.replace('_', ' ')} {write_cell(trait_table().traits[trait], value)}"


def _characteristics(comparison: Comparison, plant: Plant, row: Row | None) -> None:
    if row is None:
        return
    _cited(comparison, plant, row)
    metres, degrees, least, most = _metres(row), _degrees(row), _figure(row, LEAST), _figure(row, MOST)
    low = plant.word("life_form") == "climber" or plant.word("habit") in ("mat", "scrambling")
    height = _stated(plant, "height", CHARACTERISTICS)
    if metres and isinstance(height, Measure) and not low:  # the table's heights of vines and mats are far too low
        agrees = height.low / HEIGHT_FACTOR <= metres <= height.high * HEIGHT_FACTOR
        comparison.judge(plant, "height", agrees, f"{_told('height', height)}; the table has {metres:.2g} m")
    reaction = _stated(plant, "ph_tolerated", CHARACTERISTICS)
    if least is not None and most is not None and isinstance(reaction, Tolerance):
        agrees = least <= reaction.upper and most >= reaction.lower
        said = f"{_told('ph_tolerated', reaction)}; the table has {least:g} to {most:g}"
        comparison.judge(plant, "ph_tolerated", agrees, said)
    flower, period = _stated(plant, "flower", CHARACTERISTICS), BLOOM.get(row.get("Bloom Period", ""))
    if period is not None and isinstance(flower, Window):
        agrees = days_apart(flower, _months(*period)) <= BLOOM_DAYS
        said = f"{_told('flower', flower)}; the table has {row['Bloom Period'].lower()}"
        comparison.judge(plant, "flower", agrees, said)
    band = _stated(plant, "minimum_temperature", CHARACTERISTICS)
    # Of annuals the table has a temperature of the growing season: they do not winter.
    if degrees is not None and isinstance(band, Tolerance) and plant.word("life_form") != "annual":
        agrees = band.lower - COLD_DEGREES <= degrees <= band.upper + COLD_DEGREES
        said = f"{_told('minimum_temperature', band)}; the table has {degrees:.0f} °C"
        comparison.judge(plant, "minimum_temperature", agrees, said)


def _cited(comparison: Comparison, plant: Plant, row: Row) -> None:
    """Statements that name the table as their source against the figure that stands there."""
    metres, degrees = _metres(row), _degrees(row)
    for statement in plant.taxon.statements:
        if statement.source != CHARACTERISTICS:
            continue
        match statement.trait, statement.value:
            case "height", Measure(_, typical, _) if HEIGHT in row:
                same = metres is not None and abs(typical - metres) <= 0.06 + 0.02 * metres
            case "minimum_temperature", Tolerance(lower, _) if COLD in row:
                same = degrees is not None and abs(lower - degrees) <= 0.6
            case (("ph_preferred" | "ph_tolerated"), Tolerance(lower, upper)) if LEAST in row and MOST in row:
                same = (lower, upper) == (_figure(row, LEAST), _figure(row, MOST))
            case _:
                continue
        said = f"{_told(statement.trait, statement.value)} names the table as its source, which says otherwise"
        comparison.judge(plant, f"{statement.trait}, cited", same, said, "fault")


def _metres(row: Row) -> float | None:
    feet = _figure(row, HEIGHT)
    return feet * METRES["ft"] if feet else None


def _degrees(row: Row) -> float | None:
    fahrenheit = _figure(row, COLD)
    return None if fahrenheit is None else (fahrenheit - 32) / 1.8


def _union_concern(comparison: Comparison, plant: Plant, row: Row | None) -> None:
    stated = [s for s in plant.taxon.statements if s.trait == "listings"]
    entries = [e for s in stated for e in (s.value if isinstance(s.value, tuple) else ()) if isinstance(e, Listing)]
    listed = any(entry.list == UNION_CONCERN and "taxon" in entry.covers for entry in entries)
    if row is None and not stated:
        return
    cited = any(s.source == UNION_CONCERN for s in stated)
    said = "not on the list, but the record has it so" if listed else "on the list, but the record does not say so"
    comparison.judge(plant, "listings", listed == (row is not None), said, "fault" if cited else "look")


def _alien(comparison: Comparison, plant: Plant, row: Row | None) -> None:
    degree = row.get("degreeOfEstablishment", "") if row else ""
    seeding, edge = plant.traits.step("self_seeding"), plant.traits.step("spread_rate")
    if degree not in ("established", "invasive") or seeding is None or edge is None:
        return
    enough = 2 if degree == "invasive" else 1
    spreads = seeding >= enough or edge > enough or bool(plant.traits.yes("suckering")) or bool(plant.traits.listings())
    said = f"{degree} beyond gardens, but {plant.said('self_seeding')}, {plant.said('spread_rate')} and on no list"
    comparison.judge(plant, "self_seeding and spread_rate", spreads, said)


def _figure(row: Row, column: str) -> float | None:
    try:
        return float(row.get(column, ""))
    except ValueError:
        return None


def _months(first: int, last: int) -> Window:
    start = FIRST_DAYS[first - 1]
    end = FIRST_DAYS[last] - 1 if last <= 12 else FIRST_DAYS[last - 12] - 1 + YEAR
    return Window(Day(start, start, start), Day(end, end, end))
