"""Reading rows: every form, every way in which a file can be wrong, and files of any length."""

from __future__ import annotations

import itertools
import json
import tracemalloc
from collections.abc import Iterator
from pathlib import Path

import pytest

from bedfellow.traits_db.exchange.meaning import unknown_columns
from bedfellow.traits_db.exchange.rows import BrokenFile, Row, WrongRow, form_of, guarded, read_rows


@pytest.fixture
def read(tmp_path: Path):  # type: ignore[no-untyped-def]
    def call(content: str | bytes, form: str, **options: object) -> list[Row | WrongRow]:
        file = tmp_path / "rows"
        file.write_bytes(content.encode() if isinstance(content, str) else content)
        return list(read_rows(file, form, **options))  # type: ignore[arg-type]

    return call


def test_csv(read) -> None:  # type: ignore[no-untyped-def]
    text = 'taxon,trait,value\nTesta alba,height,2\n\nTesta alba,flower,"May to June; colours white, pink"\n"Testa\nalba",wind,\n'
    assert read(text, "csv") == [
        Row(2, {"taxon": "Testa alba", "trait": "height", "value": "2"}),
        Row(4, {"taxon": "Testa alba", "trait": "flower", "value": "May to June; colours white, pink"}),
        Row(5, {"taxon": "Testa\nalba", "trait": "wind"}),
    ]
    assert read(text.replace(",", ";").replace("white;", "white,"), "csv", separator=";")[0].cells["trait"] == "height"
    assert read(b"\xef\xbb\xbftaxon\r\nTesta alba\r\n", "csv") == [Row(2, {"taxon": "Testa alba"})]
    assert read("taxon,value\n'+ Testa,'-15 to -10\n", "csv") == [Row(2, {"taxon": "+ Testa", "value": "-15 to -10"})]
    assert read("taxon,value\na,b,c\n", "csv") == [WrongRow(2, "3 cells under 2 headings: is a cell with a separator not quoted?")]  # fmt: skip


JSON = '[\n {"taxon": "Testa alba", "height": 2, "x": null},\n {"taxon": "Testa é", "light": ["full sun"]}\n]\n'


def test_json(read) -> None:  # type: ignore[no-untyped-def]
    rows = [Row(2, {"taxon": "Testa alba", "height": 2}), Row(3, {"taxon": "Testa é", "light": ["full sun"]})]
    assert read(JSON, "json") == rows
    lines = JSON.replace("[\n", "", 1).replace("},", "}").replace("\n]\n", "")
    assert [row.cells for row in read(lines, "json")] == [row.cells for row in rows]
    assert read("[]", "json") == []
    assert read('[{"a": 1, "a": 2}]', "json") == [WrongRow(1, "'a' stands twice")]


def test_yaml(read) -> None:  # type: ignore[no-untyped-def]
    text = "# plants\n- taxon: Testa alba\n  date: 2026-10-22\n  nectar: yes\n- {taxon: Testa b, height: {low: 1, high: 2.5}, light: [full sun]}\n"
    assert read(text, "yaml") == [
        Row(2, {"taxon": "Testa alba", "date": "2026-10-22", "nectar": "yes"}),
        Row(5, {"taxon": "Testa b", "height": {"low": 1, "high": 2.5}, "light": ["full sun"]}),
    ]
    assert read("[]", "yaml") == []
    assert read("- a: 1\n  a: 2\n", "yaml") == [WrongRow(1, "'a' stands twice")]


BROKEN = [
    (b"", "csv", "is empty", 0),
    (b" \n", "json", "is empty", 0),
    ("taxon;trait;value\nTesta;height;2\n", "csv", "--separator semicolon", 1),
    ("taxon\ttrait\n", "csv", "--separator tab", 1),
    ("taxon,,x\n", "csv", "no heading", 1),
    ("taxon,x,x\n", "csv", "stands twice", 1),
    ('taxon,trait\nTesta,height\nTesta,"wind\n', "csv", "quote not closed", 3),
    ("taxon,trait\nTesta,caf\xe9\n".encode("latin-1"), "csv", "0xE9 is not UTF-8 .*'é'", 2),
    ("taxon\nTesta\n".encode("utf-16"), "csv", "UTF-16", 0),
    ("taxon\nTesta\n".encode("utf-16-le"), "csv", "NUL", 0),
    (b"PK\x03\x04 a workbook", "csv", "workbook of a spreadsheet", 0),
    ("taxon\n" + "x" * 200_000 + "\n", "csv", "field larger", 2),
    (JSON[:40], "json", "ends inside it", 2),
    ('[{"a": 1}', "json", "before the array does", 1),
    ('[{"a": 1},\n {"a": }]', "json", "is not JSON", 2),
    ('{"a": 1} trailing', "json", "array of objects", 1),
    ("[1, 2]", "json", "array of objects", 1),
    ('[{"a": ' + "[" * 100_000, "json", "nested too deep|not JSON", 1),
    ("- a: [1\n- b: 2\n", "yaml", "not YAML", 2),
    ("a: 1\n", "yaml", "list of mappings", 1),
    ("- a: &x 1\n  b: *x\n", "yaml", "alias", 2),
    ("- a\n", "yaml", "list of mappings", 1),
    ("- a: " + "[" * 50 + "]" * 50 + "\n", "yaml", "nested too deep", 1),
]  # fmt: skip


@pytest.mark.parametrize(("content", "form", "says", "line"), BROKEN, ids=range(len(BROKEN)))
def test_files_that_cannot_be_read(read, content: str | bytes, form: str, says: str, line: int) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(BrokenFile, match=says) as caught:
        read(content, form)
    assert caught.value.line == line


def test_paths_that_are_no_files(tmp_path: Path) -> None:
    for path, says in ((tmp_path, "folder"), (tmp_path / "none.csv", "no such file")):
        with pytest.raises(BrokenFile, match=says):
            list(read_rows(path, "csv"))


@pytest.mark.parametrize(
    ("headings", "says"),
    [
        (["plant", "trait", "value"], "no column 'taxon'"),
        (["taxon", "trait"], "none called 'value'"),
        (["taxon", "heigth"], "is 'height' meant"),
        (["taxon", "trait", "value", "sourse"], "is 'source' meant"),
        (["taxon", "trait", "value", "height"], "'height' is not known"),
    ],
)
def test_headings_that_are_not_known(read, headings: list[str], says: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(BrokenFile, match=says):
        read(",".join(headings) + "\n", "csv", wrong=unknown_columns)


@pytest.mark.parametrize("headings", [["taxon", "height (cm)", "flower", "source"], ["scientificName", "measurementType", "measurementValue", "measurementMethod"]])  # fmt: skip
def test_headings_that_are_known(headings: list[str]) -> None:
    assert unknown_columns(headings) is None


def test_forms_by_name() -> None:
    names = ("a.csv", "a.TSV", "a.json", "a.jsonl", "a.yaml", "a.yml", "a.xlsx")
    assert [form_of(Path(name)) for name in names] == ["csv", "csv", "json", "json", "yaml", "yaml", None]


# OWASP, CSV injection: cells that begin so are taken for formulas.
@pytest.mark.parametrize("cell", ["=1+1", "+1+1", "-1+1", "@SUM(1)", "\t=1", "\r=1", "-15 to -10", "+ Laburnocytisus", "-2+3+cmd|' /C calc'!A0"])  # fmt: skip
def test_no_cell_is_a_formula(read, cell: str) -> None:  # type: ignore[no-untyped-def]
    assert guarded(cell) == f"'{cell}"
    if cell.strip() == cell:
        assert read(f'taxon\n"{guarded(cell)}"\n', "csv") == [Row(2, {"taxon": cell})]


@pytest.mark.parametrize("cell", ["-15", "+2.5", "2", "May to June", "a=b", "'quoted'", ""])
def test_other_cells_stay(cell: str) -> None:
    assert guarded(cell) == cell


@pytest.mark.parametrize("form", ["csv", "json", "yaml"])
def test_memory_does_not_grow_with_the_file(tmp_path: Path, form: str) -> None:
    def peak(rows: int) -> int:
        file = tmp_path / f"{rows}.{form}"
        with file.open("w", encoding="utf-8") as stream:
            stream.write({"csv": "taxon,note\n", "json": "[", "yaml": ""}[form])
            for number in range(rows):
                cells = {"taxon": f"Testa {number}", "note": "x" * 100}
                line = {"csv": f"{cells['taxon']},{cells['note']}\n", "json": ("," if number else "") + json.dumps(cells) + "\n", "yaml": f"- {json.dumps(cells)}\n"}  # fmt: skip
                stream.write(line[form])
            stream.write("]" if form == "json" else "")
        tracemalloc.start()
        assert sum(isinstance(row, Row) for row in read_rows(file, form)) == rows
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return most

    peak(10)  # what is imported on the way
    assert peak(8000) < 2 * peak(1000) + 100_000


def test_rows_come_as_they_are_read(tmp_path: Path) -> None:
    """A file far longer than what is asked of it is not read to its end."""
    file = tmp_path / "long.csv"
    file.write_text("taxon\n" + "Testa alba\n" * 100_000 + '"not closed', "utf-8")
    rows: Iterator[Row | WrongRow] = read_rows(file, "csv")
    assert len(list(itertools.islice(rows, 10))) == 10
