"""The compiled store: constraints, snapshot, cache, and what looking up may import."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError

from bedfellow.traits_db import snapshot
from bedfellow.traits_db.compile import build_store, compile_records
from bedfellow.traits_db.folders import content_of
from bedfellow.traits_db.records import Records, read_records
from bedfellow.traits_db.snapshot import Store, open_store
from bedfellow.traits_db.store import write_store
from bedfellow.traits_db.version import version_of

SOURCES = "format: 1\nsources:\n  book: {title: A book}\n"
RECORD = """\
format: 1
genus: Testa
family: Testaceae
taxa:
- {name: Testa alba, rank: species, traits: {life_form: shrub, hazards: []}, published: {book: {height: 2}}}
- {name: Testa alba 'Nana', rank: cultivar, traits: {height: 0.5}}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "records"
    folder.mkdir()
    (folder / "Testa.yaml").write_text(RECORD, "utf-8")
    (folder / "sources.yaml").write_text(SOURCES, "utf-8")
    return folder


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch, folder: Path, cache: Path) -> Path:
    """A few records in place of the shipped ones, and an empty cache."""
    monkeypatch.setattr("bedfellow.traits_db.folders.SHIPPED", folder)
    monkeypatch.setattr(snapshot, "BUILT", folder / "none.sqlite")
    return cache / "bedfellow"


def test_what_is_written_comes_back(folder: Path, tmp_path: Path) -> None:
    compile_records([folder], tmp_path / "store.sqlite")
    store = Store(tmp_path / "store.sqlite")
    found = store.find(["Testa alba", "Testa alba 'Nana'"])
    species, cultivar = found["Testa alba"], found["Testa alba 'Nana'"]
    assert species is not None and cultivar is not None
    height = species.measure("height")
    assert height is not None and height.typical == 2
    assert (species.sourced("height"), species.hazards(), species.listings(), species.word("life_form")) == (
        True,
        (),
        None,
        "shrub",
    )
    assert list(cultivar) == ["hazards", "height", "life_form"]
    fact = cultivar.fact("life_form")
    assert fact is not None and fact.level == "species"
    assert store.source("book") == "A book"
    assert store.names() == ["Testa alba", "Testa alba 'Nana'"]
    assert store.version == version_of(read_records([folder]))
    store.close()


def test_what_is_compiled_is_kept_by_the_records_and_sources(folder: Path, tmp_path: Path) -> None:
    before = content_of([folder])
    assert content_of([folder]) == before
    (folder / "Testa.yaml").write_text(RECORD.replace("0.5", "0.6"), "utf-8")
    changed = content_of([folder])
    assert changed != before
    (folder / "sources.yaml").unlink()
    (folder.parent / "sources.yaml").write_text(SOURCES.replace("A book", "Another"), "utf-8")
    assert content_of([folder]) not in (before, changed)


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO taxon (name, rank, family, parent, payload) VALUES ('T b', 'species', '', 'nobody', '{}')",
        "INSERT INTO taxon (name, rank, family, payload) VALUES ('Testa alba', 'species', '', '{}')",
        "INSERT INTO name (key, text, kind, taxon_id) VALUES ('x', 'x', 'common', 99)",
        "INSERT INTO name (key, text, kind, taxon_id) VALUES ('testa alba', 'x', 'common', 1)",
        "INSERT INTO statement (taxon_id, trait, value, source, method, confidence, date) VALUES (1, 'wind', '1', 'nobody', 'published', 'high', '')",
        "INSERT INTO statement (taxon_id, trait, value, source, method, confidence, date) VALUES (1, 'height', '1', 'book', 'published', 'high', '')",
    ],
)
def test_the_tables_hold_their_constraints(folder: Path, tmp_path: Path, statement: str) -> None:
    compile_records([folder], tmp_path / "store.sqlite")
    connection = sqlite3.connect(tmp_path / "store.sqlite")
    connection.execute("PRAGMA foreign_keys = ON")
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(statement)
    connection.close()


def test_writing_enforces_them(folder: Path, tmp_path: Path) -> None:
    records = read_records([folder])
    del records.sources["book"]
    with pytest.raises(IntegrityError):
        write_store(records, tmp_path / "store.sqlite", "x")


def test_a_store_opened_for_looking_up_cannot_be_written(folder: Path, tmp_path: Path) -> None:
    compile_records([folder], tmp_path / "store.sqlite")
    store = Store(tmp_path / "store.sqlite")
    with pytest.raises(sqlite3.OperationalError, match="readonly"):
        store._connection.execute("DELETE FROM taxon")
    store.close()


@pytest.mark.parametrize("name", ["a b", "what?", "50%", "é#1"])
def test_any_path_will_do(folder: Path, tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    compile_records([folder], tmp_path / name / "store.sqlite")
    store = Store(tmp_path / name / "store.sqlite")
    assert store.find(["Testa alba"])["Testa alba"] is not None
    store.close()


def test_compiled_once_and_again_when_a_record_changes(small: Path, folder: Path) -> None:
    first = open_store()
    again = open_store()
    assert first.path == again.path
    assert len(list(small.rglob("store.sqlite"))) == 1
    (folder / "Testa.yaml").write_text(RECORD.replace("height: 0.5", "height: 0.7"), "utf-8")
    changed = open_store()
    nana = changed.find(["Testa alba 'Nana'"])["Testa alba 'Nana'"]
    assert nana is not None and nana.measure("height") == (0.525, 0.7, 0.875)
    for store in (first, again, changed):
        store.close()


def test_own_records_win(small: Path, tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "Testa.yaml").write_text(
        "format: 1\ntaxa:\n- {name: Testa alba, rank: species, traits: {height: 9}}\n", "utf-8"
    )
    shipped, store = open_store(), open_store([own])
    alba = store.find(["Testa alba"])["Testa alba"]
    assert alba is not None and alba.measure("height") == (6.75, 9, 11.25)
    assert alba.word("life_form") == "shrub"
    assert shipped.version != store.version
    shipped.close()
    store.close()


@pytest.mark.parametrize("damage", [b"", b"nonsense" * 1000, None], ids=["empty", "not SQLite", "cut short"])
def test_a_damaged_store_is_built_anew(small: Path, damage: bytes | None) -> None:
    store = open_store()
    store.close()
    whole = store.path.read_bytes()
    store.path.write_bytes(whole[: len(whole) // 2] if damage is None else damage)
    mended = open_store()
    assert mended.find(["Testa alba"])["Testa alba"] is not None
    assert mended.path.stat().st_size == len(whole)
    mended.close()


def test_the_built_store_is_used_and_a_damaged_one_is_not(
    small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    built = tmp_path / "built.sqlite"
    compile_records([folder], built)
    monkeypatch.setattr(snapshot, "BUILT", built)
    store = open_store()
    assert store.path == built
    assert not small.exists()
    store.close()
    built.write_bytes(b"")
    store = open_store()
    assert store.path != built
    store.close()


def test_a_home_that_cannot_be_written(small: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("a file where the cache would be", "utf-8")  # holds for root too, unlike permissions
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    store = open_store()
    assert store.find(["Testa alba"])["Testa alba"] is not None
    store.close()


def run(code: str, cache: Path) -> subprocess.Popen[str]:
    path = os.pathsep.join(entry for entry in sys.path if entry)
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache), "PYTHONPATH": path}
    return subprocess.Popen([sys.executable, "-c", code], env=environment, stdout=subprocess.PIPE, text=True)


def answer(process: subprocess.Popen[str]) -> str:
    out, _ = process.communicate(timeout=120)
    assert process.returncode == 0
    return out.strip()


def test_two_processes_compile_at_once(cache: Path, shipped: Records) -> None:
    code = "from bedfellow.traits_db.snapshot import open_store\ns = open_store()\nprint(s.find(['yew'])['yew'].name, s.version)"
    one, other = run(code, cache), run(code, cache)
    assert answer(one) == answer(other) == f"Taxus baccata {version_of(shipped)}"
    assert [file.name for file in cache.rglob("*") if file.is_file()] == ["store.sqlite"]


def test_looking_up_imports_no_orm_and_no_arrays(store: Store, filled: Path) -> None:
    code = """\
import sys
from bedfellow.traits_db.snapshot import open_store
store = open_store()
traits = store.find(["Taxus baccata"])["Taxus baccata"]
print(traits.word("life_form"), *sorted({"sqlmodel", "sqlalchemy", "pydantic", "numpy", "jsonschema", "ruamel"} & set(sys.modules)))
"""
    assert answer(run(code, filled)) == "tree"


def test_the_store_for_a_wheel(tmp_path: Path, shipped: Records) -> None:
    build_store(tmp_path / "store.sqlite")
    store = Store(tmp_path / "store.sqlite")
    assert store.version == version_of(shipped)
    assert store.find(["Taxus baccata"])["Taxus baccata"] is not None
    store.close()


def test_a_name_that_several_plants_share_is_none_of_them(store: Store) -> None:
    assert store.find(["Japanese anemone"]) == {"Japanese anemone": None}
    assert store.near("japanese Anemone") == ["Anemone hupehensis", "Anemone × hybrida"]
