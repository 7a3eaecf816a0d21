"""The workbook as openpyxl reads it, and the CSV files as csv does."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from html import escape
from xml.etree import ElementTree

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedfellow.linter.report.handover import rows, tables
from bedfellow.linter.report.handover.pack import Pack

OURS = re.compile(r"=([A-Z]+\d+\*[A-Z]+\d+|SUM\([A-Z]+\d+(:[A-Z]+\d+)?\))")


def sheets(data: bytes, values: bool = True) -> dict[str, list[tuple[object, ...]]]:
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=values)
    return {sheet.title: list(sheet.iter_rows(values_only=True)) for sheet in book}


def read(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline="")))


def test_every_table_has_a_sheet_with_all_its_rows(full: Pack) -> None:
    found = sheets(tables.workbook(full))
    for table in rows.every(full):
        head, *body = found[table.name]
        assert head == table.headings
        assert len(body) >= len(table.rows)
        assert [row[0] for row in body[: len(table.rows)]] == [row[0] or None for row in table.rows]


@pytest.mark.parametrize("kind", ["full", "hostile"])
def test_totals_are_the_sums_of_their_rows(kind: str, request: pytest.FixtureRequest) -> None:
    pack = request.getfixturevalue(kind)
    head, *body = sheets(tables.workbook(pack))["plants"]
    at = {name: head.index(name) for name in ("to order", "unit price", "cost", "name")}
    lines = [row for row in body if isinstance(row[at["to order"]], int)]
    (total,) = [row[at["cost"]] for row in body if row[at["name"]] == "total"]
    reckoned = sum(row[at["to order"]] * row[at["unit price"]] for row in lines if row[at["unit price"]] is not None)  # type: ignore[operator]
    assert reckoned > 0
    assert total == pytest.approx(reckoned)
    unpriced = sum(row[at["unit price"]] is None for row in lines if row[at["to order"]])
    assert any(f"{unpriced} lines without a price" in str(row[at["name"]]) for row in body) == bool(unpriced)


def test_no_formula_comes_from_the_plan(hostile: Pack) -> None:
    """All formulas are products and sums of our columns; what the plan wrote is there as text."""
    book = openpyxl.load_workbook(io.BytesIO(tables.workbook(hostile)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    formulas = [cell.value for cell in cells if cell.data_type == "f"]
    assert formulas
    assert [value for value in formulas if not OURS.fullmatch(str(value))] == []
    assert "=K" in [cell.value for cell in cells if cell.data_type == "s"]
    assert not any(cell.hyperlink for cell in cells)


def test_csv_cells_that_would_be_reckoned_stand_behind_a_quote(hostile: Pack) -> None:
    files = tables.files(hostile)
    plants = read(files["plants.csv"])
    assert "'=K" in [row["key"] for row in plants]
    for data in files.values():
        for row in csv.reader(io.StringIO(data.decode("utf-8"), newline="")):
            for cell in row:
                if cell[:1] in ("=", "@", "+", "-", "\t"):
                    float(cell)  # only figures may begin so


def test_csv_and_workbook_say_the_same(full: Pack) -> None:
    files, found = tables.files(full), sheets(tables.workbook(full))
    for table in rows.every(full):
        if table.name in tables.IN_FILES:
            told = read(files[f"{table.name.replace(' ', '-')}.csv"])
            assert [row[table.headings[0]] for row in told] == [
                "" if row[0] is None else str(row[0]) for row in found[table.name][1 : len(table.rows) + 1]
            ]


def test_the_same_pack_gives_the_same_bytes(full: Pack) -> None:
    assert tables.workbook(full) == tables.workbook(full)
    assert tables.files(full) == tables.files(full)
    with zipfile.ZipFile(io.BytesIO(tables.workbook(full))) as book:
        assert b"2026-11-25T00:00:00Z" in book.read("docProps/core.xml")


def test_tasks_are_told_month_by_month_and_then_by_year(full: Pack) -> None:
    told = rows.tasks(full).rows
    assert ("March 2027", "cut the dogwood down", "CoA", "the plan", "") in told
    assert ("March 2028", "cut the dogwood down", "CoA", "the plan", "") in told
    assert not any("2029" in str(row[0]) for row in told)
    assert ("March", "yearly", "cut the dogwood down", "CoA", "the plan") in rows.later(full).rows


@given(st.text(max_size=60))
def test_any_text_can_stand_in_a_cell(text: str) -> None:
    """No character that XML 1.0 forbids, and none that hides or turns text, is left."""
    told = rows.words(text)
    assert re.fullmatch("[\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]*", told)
    assert not set(told) & set("\u202a\u202b\u202d\u202e\u2066\u2067\u2068\u200b\ufeff")
    ElementTree.fromstring(f"<t>{escape(told)}</t>")
