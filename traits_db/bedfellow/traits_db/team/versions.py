"""Snapshots of a team's store: each one read-only file, named with its version, that a plan can pin."""

from __future__ import annotations

import tempfile
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import func, insert, select
from sqlalchemy.exc import IntegrityError

from bedfellow.traits_db.snapshot import SHOWN, NoSnapshot, open_snapshot
from bedfellow.traits_db.store import write_store
from bedfellow.traits_db.team.address import Address
from bedfellow.traits_db.team.contents import records_of
from bedfellow.traits_db.team.opening import TeamStore, now
from bedfellow.traits_db.team.tables import table
from bedfellow.traits_db.team.trouble import StoreTrouble, told
from bedfellow.traits_db.version import version_of


class VersionRow(NamedTuple):
    """A version that was written. revision: the last one in it, or None."""

    hash: str
    revision: int | None
    at: str
    who: str


def write_snapshot(store: TeamStore, folder: Path, who: str) -> tuple[Path, str]:
    """Write what the store says now into a folder; the file and the whole hash.

    The same contents give the same hash and the same file, on SQLite and on PostgreSQL. A file that is there and can be read is left.
    Raises StoreTrouble where the contents do not hang together; BrokenRecords is not raised.
    """
    with store.reading() as connection:
        records = records_of(connection)
        last = connection.execute(select(func.max(table("revision").c.id))).scalar()
    if records.faults:
        raise StoreTrouble("what the store says does not hang together:\n" + "\n".join(records.faults))
    if not records.taxa:
        raise StoreTrouble("the store holds no plants yet; 'bedfellow store load' brings in the shipped records")
    version = version_of(records)
    target = folder / f"plants-{version[:SHOWN]}.sqlite"
    if not _usable(target):
        folder.mkdir(parents=True, exist_ok=True)
        with told(Address(path=target)), tempfile.TemporaryDirectory(prefix=".", dir=folder) as aside:
            made = Path(aside) / target.name
            write_store(records, made, version)
            made.chmod(0o444)
            made.replace(target)
    _keep(store, version, last, who)
    return target, version


def versions(store: TeamStore) -> list[VersionRow]:
    """Versions that were written, the newest first."""
    c = table("version").c
    with store.reading() as connection:
        rows = connection.execute(select(c.hash, c.revision_id, c.at, c.who).order_by(c.at.desc(), c.hash))
        return [VersionRow(*row) for row in rows]


def _usable(file: Path) -> bool:
    try:
        open_snapshot(file).close()
    except NoSnapshot:
        return False
    return True


def _keep(store: TeamStore, version: str, revision: int | None, who: str) -> None:
    kept = table("version")
    # Two that write the same snapshot at once both mean the same row.
    with suppress(IntegrityError), store.connected() as connection, connection.begin():
        if connection.execute(select(kept.c.hash).where(kept.c.hash == version)).first() is None:
            connection.execute(insert(kept).values(hash=version, revision_id=revision, at=now(), who=who))
