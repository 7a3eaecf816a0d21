"""Records into a store."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from bedfellow.traits_db.folders import SHIPPED, content_of


class BrokenRecords(Exception):
    """Records that cannot be compiled; the message has a line for each fault."""


def compile_records(folders: Sequence[Path], target: Path) -> None:
    """Write a store of the records in these folders; of the same taxon and trait, later folders win.

    target: a file that is absent or empty; whoever calls moves it into place, so that it is never seen half written.
    Raises BrokenRecords.
    """
    from bedfellow.traits_db.records import read_records

    records = read_records(folders)
    if records.faults:
        raise BrokenRecords("\n".join(records.faults))
    from bedfellow.traits_db.store import write_store

    write_store(records, target, content_of(folders).decode())


def build_store(target: Path) -> None:
    """Write the store of the shipped records, for a wheel."""
    compile_records([SHIPPED], target)
