"""The store of plants that a command reads."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.console import refuse

if TYPE_CHECKING:
    from bedfellow.traits_db.snapshot import Store

RecordsOption = Annotated[
    list[Path] | None, typer.Option("--records", help="Folders of further plant records, which win; or a snapshot of a store.")
]  # fmt: skip


def store_of(records: list[Path] | None) -> Store:
    """The shipped store, with further records or a snapshot where these are given; a refusal, in words, where it cannot be."""
    import sqlite3

    from bedfellow.traits_db.compile import BrokenRecords
    from bedfellow.traits_db.snapshot import NoSnapshot, open_snapshot, open_store

    folders = records or []
    if len(folders) == 1 and folders[0].suffix == ".sqlite":
        try:
            return open_snapshot(folders[0])
        except NoSnapshot as error:
            refuse(str(error))
    for folder in folders:
        if not folder.is_dir():
            refuse(f"{folder} is not a folder of records")
    try:
        return open_store(folders)
    except BrokenRecords as error:
        refuse(f"the plant records are at fault:\n{error}")
    except (OSError, sqlite3.Error) as error:
        refuse(f"the store of plants cannot be opened: {error}")
