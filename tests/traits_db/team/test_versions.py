"""Snapshots: named with their content, the same from every server, read without one."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from bedfellow.traits_db.exchange.rows import Row
from bedfellow.traits_db.records import Records
from bedfellow.traits_db.snapshot import FORM, NoSnapshot, open_snapshot
from bedfellow.traits_db.team.address import address
from bedfellow.traits_db.team.importing import import_rows, remove_value
from bedfellow.traits_db.team.loading import load
from bedfellow.traits_db.team.opening import TeamStore, create_store
from bedfellow.traits_db.team.trouble import StoreTrouble
from bedfellow.traits_db.team.versions import versions, write_snapshot
from bedfellow.traits_db.version import version_of


def test_the_name_is_the_content(loaded: TeamStore, records: Records, tmp_path: Path) -> None:
    path, version = write_snapshot(loaded, tmp_path / "out", "ann")
    assert path.name == f"plants-{version[:16]}.sqlite" and path.stat().st_mode & 0o222 == 0
    store = open_snapshot(path)
    assert store.version == version and store.names() == ["Testa", "Testa alba", "Testa alba 'Nana'"]
    store.close()
    before = path.stat().st_mtime_ns
    assert write_snapshot(loaded, tmp_path / "out", "bob") == (path, version) and path.stat().st_mtime_ns == before
    assert [(row.hash, row.revision, row.who) for row in versions(loaded)] == [(version, 1, "ann")]
    # Another store with the same contents, always SQLite: the same name and the same bytes.
    other = create_store(address(str(tmp_path / "other.sqlite")))
    load(other, records, "someone", "elsewhere")
    copy, same = write_snapshot(other, tmp_path / "copy", "x")
    other.close()
    assert same == version == version_of(records) and copy.read_bytes() == path.read_bytes()


def test_a_change_makes_another_version_and_taking_it_back_the_former(loaded: TeamStore, tmp_path: Path) -> None:
    _, first = write_snapshot(loaded, tmp_path, "ann")
    import_rows(loaded, [Row(0, {"taxon": "Testa alba", "trait": "height", "value": "3"})], "ann", "measured")
    path, second = write_snapshot(loaded, tmp_path, "ann")
    store = open_snapshot(path)
    alba = store.find(["Testa alba"])["Testa alba"]
    assert second != first and alba is not None and alba.measure("height") == (2.25, 3, 3.75)
    store.close()
    remove_value(loaded, "Testa alba", "height", "memory", "ann", "wrong plant")
    assert write_snapshot(loaded, tmp_path, "ann")[1] == first
    assert len(list(tmp_path.glob("plants-*.sqlite"))) == 2 and not list(tmp_path.glob(".*"))


def test_an_empty_store_gives_none(team: TeamStore, tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble, match="no plants yet"):
        write_snapshot(team, tmp_path / "out", "ann")
    assert not (tmp_path / "out").exists()


def test_what_does_not_hang_together_is_not_written(loaded: TeamStore, tmp_path: Path) -> None:
    from sqlalchemy import text

    with loaded.writing("ann", "by hand") as (connection, _):
        connection.execute(text("UPDATE taxon SET parent = NULL, name = 'Alia alba ''Nana''', key = 'x' WHERE rank = 'cultivar'"))  # fmt: skip
    with pytest.raises(StoreTrouble, match="a cultivar needs a record of its parent"):
        write_snapshot(loaded, tmp_path / "out", "ann")
    assert not (tmp_path / "out").exists()


SMALL = """\
import resource, sys
from pathlib import Path
from bedfellow.traits_db.team.address import address
from bedfellow.traits_db.team.opening import open_team_store
from bedfellow.traits_db.team.trouble import StoreTrouble
from bedfellow.traits_db.team.versions import write_snapshot
store = open_team_store(address(sys.argv[1]))
resource.setrlimit(resource.RLIMIT_FSIZE, (40960, 40960))  # no file may grow beyond, as on a disk that is full
try:
    write_snapshot(store, Path(sys.argv[2]), "ann")
except StoreTrouble as trouble:
    print(trouble)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no limits of resources there")
def test_no_room_for_a_snapshot(loaded: TeamStore, tmp_path: Path, process: Callable) -> None:  # type: ignore[type-arg]
    where = str(loaded.address.path) if loaded.address.path else loaded.address.url.replace("+psycopg", "")
    writer = process(SMALL, where, tmp_path / "out")
    told, err = writer.communicate()
    assert err == "" and "nothing was changed" in told
    assert list((tmp_path / "out").iterdir()) == []


@pytest.mark.parametrize("kind", ["absent", "empty", "text", "cut short", "newer", "older"])
def test_files_that_are_no_snapshot(loaded: TeamStore, tmp_path: Path, kind: str) -> None:
    path, _ = write_snapshot(loaded, tmp_path, "ann")
    path.chmod(0o644)
    whole = bytearray(path.read_bytes())
    match kind:
        case "absent":
            path.unlink()
        case "empty":
            path.write_bytes(b"")
        case "text":
            path.write_text("plants\n" * 200)
        case "cut short":
            path.write_bytes(whole[: len(whole) // 2])
        case "newer" | "older":
            form = FORM + (1 if kind == "newer" else -1)
            whole[60:64] = form.to_bytes(4, "big")  # the header's user version (sqlite.org, Database File Format)
            path.write_bytes(whole)
    with pytest.raises(
        NoSnapshot, match=f"{kind} bedfellow" if kind in ("newer", "older") else r"no such file|no snapshot"
    ):
        open_snapshot(path)
    assert write_snapshot(loaded, tmp_path, "ann")[0] == path
    open_snapshot(path).close()  # it was written anew
