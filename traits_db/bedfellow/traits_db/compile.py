"""Records into a store."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bedfellow.traits_db.folders import SHIPPED

if TYPE_CHECKING:
    from bedfellow.traits_db.records import Records
    from bedfellow.traits_db.snapshot import Store


class BrokenRecords(Exception):
    """Records that cannot be compiled; the message has a line for each fault."""


def compile_records(folders: Sequence[Path], target: Path, underneath: Store | None = None) -> None:
    """Write a store of the records in these folders over those of another; of the same taxon and trait, later folders win.

    target: a file that is absent or empty; whoever calls moves it into place, so that it is never seen half written.
    Raises BrokenRecords.
    """
    from bedfellow.traits_db.records import read_records

    records = read_records(folders, None if underneath is None else records_of(underneath))
    if records.faults:
        raise BrokenRecords("\n".join(records.faults))
    from bedfellow.traits_db.store import write_store
    from bedfellow.traits_db.version import version_of

    write_store(records, target, version_of(records))


def build_store(target: Path) -> None:
    """Write the store of the shipped records, for a wheel."""
    compile_records([SHIPPED], target)


def records_of(store: Store) -> Records:
    """The records that a store was made from. A parent that the name tells is left to be found anew, among all layers."""
    from bedfellow.schema.values import unpack
    from bedfellow.traits_db.lineage import parent_in
    from bedfellow.traits_db.names import name_key
    from bedfellow.traits_db.records import Records, Statement, Taxon

    records = Records(sources=dict(store.sources()))
    recorded = {name: (json.loads(state), statements) for name, state, statements in store.said()}
    for name, (state, statements) in recorded.items():
        fields: dict[str, Any] = {key: tuple(v) if isinstance(v, list) else v for key, v in state.items()}
        if fields["parent"] == parent_in(name, state["rank"], recorded):
            fields["parent"] = None
        said = (Statement(trait, unpack(json.loads(value)), *rest) for trait, value, *rest in statements)
        records.taxa[name] = Taxon(name, **fields, statements=tuple(said), place="in the records underneath")
        records.spelt[name_key(name)] = name
    return records
