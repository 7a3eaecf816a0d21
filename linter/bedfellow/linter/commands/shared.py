"""What the groups of commands have in common."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.console import refuse

if TYPE_CHECKING:
    from bedfellow.traits_db.records import Records


class Form(StrEnum):
    text = "text"
    json = "json"


FormOption = Annotated[Form, typer.Option("--format", help="How to report.")]
OutputOption = Annotated[Path | None, typer.Option(help="Write to a file.")]


def records_of(folders: list[Path]) -> Records:
    """The shipped records and those of further folders, which win; faults and all."""
    from bedfellow.traits_db.folders import SHIPPED
    from bedfellow.traits_db.records import read_records

    for folder in folders:
        if not folder.is_dir():
            refuse(f"{folder} is not a folder of records")
    return read_records([SHIPPED, *folders])
