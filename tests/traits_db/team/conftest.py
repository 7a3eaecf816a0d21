"""Stores to test with: SQLite in a file, and PostgreSQL on a server that the tests start for themselves and throw away."""

from __future__ import annotations

import getpass
import os
import pwd
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bedfellow.traits_db.records import Records, read_records
from bedfellow.traits_db.team.address import Address, address
from bedfellow.traits_db.team.loading import load
from bedfellow.traits_db.team.opening import TeamStore, create_store

SOURCES = "format: 1\nsources:\n  book: {title: A book}\n"
RECORD = """\
format: 1
genus: Testa
family: Testaceae
taxa:
- name: Testa
  rank: genus
  traits: {life_form: shrub}
- name: Testa alba
  rank: species
  synonyms: [Proba alba]
  common_names: {en: [white test]}
  traits: {life_form: shrub, hazards: [{who: dogs, how: eaten, part: bulb, severity: 2}], moisture: [moist, wet]}
  published: {book: {height: 2}}
- name: Testa alba 'Nana'
  rank: cultivar
  traits: {height: 0.5, flower: {from: May, to: June, colours: [white]}}
"""


class Server:
    """A PostgreSQL server in a folder of its own, reached by a socket there."""

    def __init__(self, folder: Path) -> None:
        self.folder, self._number = folder, 0

    @property
    def user(self) -> str:
        return "postgres" if os.geteuid() == 0 else getpass.getuser()

    def url(self, database: str) -> str:
        return f"postgresql://{self.user}@/{database}?host={self.folder}"

    def database(self) -> str:
        """The URL of a new, empty database."""
        import psycopg

        self._number += 1
        name = f"test_{self._number}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        return self.url(name)

    def drop(self, url: str) -> None:
        """Take a database away: hundreds of them would fill the disk."""
        import psycopg

        name = url.split("/")[3].partition("?")[0]
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _binaries() -> Path | None:
    found = shutil.which("initdb")
    places = [Path(found).parent] if found else sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((place for place in places if (place / "initdb").exists()), None)


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """Skips where PostgreSQL is not installed, or its driver is not."""
    pytest.importorskip("psycopg", reason="psycopg is not installed")
    binaries = _binaries()
    if binaries is None:
        pytest.skip("PostgreSQL is not installed here")
    folder = Path(tempfile.mkdtemp(prefix="bf-pg-"))
    as_user: dict[str, object] = {}
    if os.geteuid() == 0:  # the server refuses to run as root
        try:
            owner = pwd.getpwnam("postgres")
        except KeyError:
            pytest.skip("PostgreSQL will not run as root, and there is no user postgres")
        os.chown(folder, owner.pw_uid, owner.pw_gid)
        as_user = {"user": owner.pw_uid, "group": owner.pw_gid, "extra_groups": []}

    def run(*words: object) -> None:
        subprocess.run([str(word) for word in words], check=True, cwd="/", stdout=subprocess.DEVNULL, **as_user)  # type: ignore[call-overload]

    data = folder / "data"
    options = f"-c listen_addresses= -k {folder} -c fsync=off -c max_connections=40"
    try:
        run(binaries / "initdb", "-D", data, "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "-N")
        run(binaries / "pg_ctl", "-D", data, "-w", "-l", folder / "log", "-o", options, "start")
        try:
            yield Server(folder)
        finally:
            run(binaries / "pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Address]:
    """Where a new store can be made."""
    if request.param == "sqlite":
        yield address(str(tmp_path / "store.sqlite"))
        return
    server: Server = request.getfixturevalue("server")
    url = server.database()
    yield address(url)
    server.drop(url)


@pytest.fixture
def team(place: Address) -> Iterator[TeamStore]:
    """A new store without plants."""
    store = create_store(place)
    yield store
    store.close()


@pytest.fixture
def records(tmp_path: Path) -> Records:
    """Three plants."""
    folder = tmp_path / "records"
    folder.mkdir()
    (folder / "Testa.yaml").write_text(RECORD, "utf-8")
    (folder / "sources.yaml").write_text(SOURCES, "utf-8")
    return read_records([folder])


@pytest.fixture
def loaded(team: TeamStore, records: Records) -> TeamStore:
    """A store with three plants, loaded in its first revision."""
    load(team, records, "test", "first load")
    return team


@pytest.fixture
def process() -> Callable[..., subprocess.Popen[str]]:
    """Another Python process that runs some code."""

    def start(code: str, *words: object) -> subprocess.Popen[str]:
        path = os.pathsep.join(entry for entry in sys.path if entry)
        return subprocess.Popen(
            [sys.executable, "-c", code, *map(str, words)],
            env={**os.environ, "PYTHONPATH": path},
            stdin=subprocess.PIPE,  # its own, so that one that waits for a word waits wherever the tests run
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    return start
