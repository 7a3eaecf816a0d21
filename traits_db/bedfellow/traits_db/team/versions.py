"""Versions of a team's store: each a snapshot in one read-only file, named with the hash of its contents, that a plan can pin."""

from __future__ import annotations

import hashlib
import json
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import func, insert, select
from sqlalchemy.exc import IntegrityError

from bedfellow.traits_db.folders import content_of
from bedfellow.traits_db.records import Records
from bedfellow.traits_db.store import write_store
from bedfellow.traits_db.team.address import Address
from bedfellow.traits_db.team.contents import records_of
from bedfellow.traits_db.team.opening import TeamStore, now
from bedfellow.traits_db.team.plants import plant_state
from bedfellow.traits_db.team.tables import table
from bedfellow.traits_db.team.trouble import StoreTrouble, told
from bedfellow.traits_db.team.values import state_of

SHOWN = 16  # characters of the hash in the name of the file


class VersionRow(NamedTuple):
    """A version that was written. revision: the last one in it, or None."""

    hash: str
    revision: int | None
    at: str
    who: str


def write_snapshot(store: TeamStore, folder: Path, who: str) -> tuple[Path, str]:
    """Write what the store says now into a folder; the file and the whole hash.

    The same contents give the same hash and the same file, on SQLite and on PostgreSQL. A file that is there is left.
    Raises StoreTrouble where the contents do not hang together; BrokenRecords is not raised.
    """
    with store.reading() as connection:
        records = records_of(connection)
        last = connection.execute(select(func.max(table("revision").c.id))).scalar()
    if records.faults:
        raise StoreTrouble("what the store says does not hang together:\n" + "\n".join(records.faults))
    if not records.taxa:
        raise StoreTrouble("the store holds no plants yet; 'bedfellow store load' brings in the shipped records")
    version = contents_hash(records)
    target = folder / f"plants-{version[:SHOWN]}.sqlite"
    if not target.exists():
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


def contents_hash(records: Records) -> str:
    """Hash of everything that a snapshot is made from: what the records say, the table of traits and the code."""
    digest = hashlib.sha256(content_of([]))
    said = [
        records.sources,
        [
            [name, plant_state(taxon), [[s.trait, s.source, *state_of(s)] for s in sorted(taxon.statements, key=lambda s: (s.trait, s.source))]]
            for name, taxon in sorted(records.taxa.items())
        ],
    ]  # fmt: skip
    digest.update(json.dumps(said, ensure_ascii=False).encode())
    return digest.hexdigest()


def _keep(store: TeamStore, version: str, revision: int | None, who: str) -> None:
    kept = table("version")
    # Two that write the same snapshot at once both mean the same row.
    with suppress(IntegrityError), store.connected() as connection, connection.begin():
        if connection.execute(select(kept.c.hash).where(kept.c.hash == version)).first() is None:
            connection.execute(insert(kept).values(hash=version, revision_id=revision, at=now(), who=who))
