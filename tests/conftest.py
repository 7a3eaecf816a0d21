"""What many tests share: one cache for the run, the store, and a plan linted from its text."""

from __future__ import annotations

import datetime
import os
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the program has it, before NumPy is imported

from bedfellow.linter.engine import Options, Result, lint
from bedfellow.traits_db.compile import compile_records
from bedfellow.traits_db.folders import SHIPPED
from bedfellow.traits_db.records import Records, read_records
from bedfellow.traits_db.snapshot import Store, open_snapshot, open_store

# The same cases on every run: a red build is about the change, never about luck.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")

TODAY = datetime.date(2026, 11, 25)
Lint = Callable[..., Result]


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache for this run alone, which `store` fills; for programs that are started and need not compile for themselves."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="session")
def store(filled: Path) -> Iterator[Store]:
    """The shipped records, compiled for this run alone."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(filled))
        store = open_store()
        yield store
        store.close()


@pytest.fixture
def store_in_cache(store: Store, filled: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Commands find the store compiled, and tables are as wide as in a terminal of 100 columns."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(filled))
    monkeypatch.setenv("COLUMNS", "100")


@pytest.fixture(scope="session")
def shipped() -> Records:
    """The shipped records as read, read once; nobody may change them."""
    return read_records([SHIPPED])


@pytest.fixture
def lint_text(store: Store, tmp_path: Path) -> Lint:
    """Lint a plan given as text."""

    def judge(text: str, **options: object) -> Result:
        file = tmp_path / "test.plan.yaml"
        file.write_text(text, "utf-8")
        return lint(file, store, Options(**{"today": TODAY, **options}))  # type: ignore[arg-type]

    return judge


HEAD = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 6.8, texture: loam, moisture: moist well-drained, minimum_temperature: -9}
border: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]]}
"""


@pytest.fixture
def lint_plants(lint_text: Lint) -> Lint:
    """Lint lines of plants on an ordinary site; `head` replaces the site and bed."""

    def judge(plants: str, head: str = HEAD, more: str = "", **options: object) -> Result:
        return lint_text(f"{head}{more}plants:\n{plants}", **options)

    return judge


class Shelf:
    """Three invented plants as the shipped store, and snapshots and folders of records put where a test wants them."""

    TAXA = (
        "- {{name: Testa, rank: genus, traits: {{life_form: shrub}}}}\n"
        "- {{name: Testa alba, rank: species, traits: {{height: {height}, spread: 1}}}}\n"
        "- {{name: Testa nigra 'Nana', rank: cultivar, traits: {{spread: 2}}}}\n"
    )

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.shipped = open_snapshot(self.snapshot(folder / "shipped", 2))

    def records(self, folder: Path, taxa: str) -> Path:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "Testa.yaml").write_text(f"format: 1\ntaxa:\n{taxa}", "utf-8")
        return folder

    def snapshot(self, folder: Path, height: float) -> Path:
        """A snapshot in which Testa alba is so high, in a folder."""
        aside = self.records(self.folder / "aside", self.TAXA.format(height=height))
        folder.mkdir(parents=True, exist_ok=True)
        compile_records([aside], folder / "new.sqlite")
        with closing(open_snapshot(folder / "new.sqlite")) as store:
            return (folder / "new.sqlite").replace(folder / f"plants-{store.version[:16]}.sqlite")

    def pin(self, file: Path) -> str:
        return file.stem.removeprefix("plants-")


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shelf:
    """Plant data of a test's own, and an empty cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return Shelf(tmp_path)


@pytest.fixture
def cache(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """An empty cache of the test's own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path
