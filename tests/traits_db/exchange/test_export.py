"""What an export holds: Darwin Core terms, the wide form, and nothing that a spreadsheet would reckon."""

from __future__ import annotations

import csv
import io
import json

import pytest
import yaml

from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import read_value
from bedfellow.traits_db.exchange.export import export
from bedfellow.traits_db.records import Statement, Taxon

TRAITS = trait_table().traits


def said(trait: str, raw: object, source: str = "memory", confidence: str = "medium") -> Statement:
    method = "memory" if source == "memory" else "published"
    return Statement(trait, read_value(TRAITS[trait], raw), source, method, confidence, "2024" if source != "memory" else "")  # fmt: skip


PLANTS = [
    Taxon("Acer palmatum var. dissectum 'Inaba-shidare'", "cultivar", "Sapindaceae", "Acer palmatum", statements=(
        said("height", 2), said("height", {"low": 1, "high": 2}, "=book", "high"), said("minimum_temperature", [-20, -15]),
        said("flower", {"from": "May", "to": "06-03", "strength": 1, "colours": ["deep red"]}), said("hazards", []))),
    Taxon("+ Laburnocytisus adamii", "hybrid", "Fabaceae", statements=(said("wind", 2),)),
]  # fmt: skip


def exported(form: str, shape: str) -> str:
    stream = io.StringIO()
    export(PLANTS, form, shape, stream, {"=book": "@ A book"})
    return stream.getvalue()


def test_darwin_core() -> None:
    rows = list(csv.DictReader(io.StringIO(exported("darwin-core", "long"))))
    assert len(rows) == 6
    first, second = rows[0], rows[1]
    # Darwin Core (TDWG): cultivarEpithet without quotes; taxonRank; measurement terms.
    assert (first["genericName"], first["specificEpithet"], first["infraspecificEpithet"], first["cultivarEpithet"]) == ("Acer", "palmatum", "dissectum", "Inaba-shidare")  # fmt: skip
    assert (first["scientificName"], first["taxonRank"]) == (PLANTS[0].name, "cultivar")
    assert (first["measurementType"], first["measurementValue"], first["measurementUnit"], first["measurementAccuracy"]) == ("height", "2", "m", "1.5 to 2.5")  # fmt: skip
    assert (first["measurementMethod"], second["measurementMethod"]) == ("memory", "published: @ A book")
    assert second["measurementDeterminedDate"] == "2024" and second["source"] == "'=book"
    flower = next(row for row in rows if row["measurementType"] == "flower")
    assert flower["measurementValue"] == "'--05-08/--06-03; strength 1; colours deep red"


@pytest.mark.parametrize(("form", "shape"), [("csv", "long"), ("csv", "wide"), ("darwin-core", "long")])
def test_no_cell_is_a_formula(form: str, shape: str) -> None:
    cells = [cell for row in csv.reader(io.StringIO(exported(form, shape))) for cell in row]
    assert any("Laburnocytisus" in cell for cell in cells)
    for cell in cells:
        assert not cell.startswith(("=", "@", "\t", "\r")) and (cell[:1] not in "+-" or cell.lstrip("+-").replace(".", "").isdigit() or not cell)  # fmt: skip


def test_the_wide_form_has_the_best_of_each() -> None:
    rows = list(csv.DictReader(io.StringIO(exported("csv", "wide"))))
    assert rows[0]["height"] == "1 to 2" and rows[0]["hazards"] == "none" and rows[0]["minimum_temperature"] == "'-20 to -15"  # fmt: skip
    assert rows[1]["wind"] == "fair" and rows[1]["height"] == ""


def test_json_and_yaml_hold_the_same() -> None:
    for shape in ("long", "wide"):
        data = json.loads(exported("json", shape))
        assert data == yaml.safe_load(exported("yaml", shape))
    assert data[0]["height"] == {"low": 1, "high": 2} and data[0]["flower"]["to"] == "06-03"


def test_nothing_to_export() -> None:
    for form, text in (("json", "[]\n"), ("yaml", "[]\n")):
        stream = io.StringIO()
        assert export([], form, "long", stream, {}) == 0 and stream.getvalue() == text
