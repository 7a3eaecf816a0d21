"""The plant data and the settings that a command reads."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.console import refuse

if TYPE_CHECKING:
    from bedfellow.linter.settings import Settings
    from bedfellow.traits_db.library import Data, Library

RecordsOption = Annotated[
    list[Path] | None,
    typer.Option("--records", help="Folder of plant records, which win, or of snapshots; or one snapshot."),
]
RulesOption = Annotated[list[Path] | None, typer.Option("--rules", help="Files or folders of house rules.")]
HERE = Path("any.plan.yaml")  # as for a plan in this folder


def library_of(records: list[Path]) -> Library:
    """Where the plant data of a plan is looked for: with it, in what is named, and as shipped; a refusal in words."""
    from bedfellow.traits_db.library import Library

    with data_in_words():
        return Library(records)


@contextmanager
def data_in_words() -> Iterator[None]:
    """What is wrong with plant data as a refusal."""
    from bedfellow.traits_db.library import NoData

    try:
        yield
    except NoData as error:
        refuse(str(error))


def data_of(records: list[Path] | None) -> Data:
    """The plant data that holds in this folder."""
    with data_in_words():
        return library_of(records or []).data_for(HERE)


def settings_of(plan: Path, rules: Iterable[Path] | None = None) -> Settings:
    """The settings in force for a plan, and what is wrong with them as a refusal. rules: further files of house rules."""
    from bedfellow.linter.settings import BadSettings, settings_for

    try:
        return settings_for(plan, rules or ())
    except BadSettings as error:
        refuse(f"the settings are at fault:\n{error}")


def codes_of(codes: list[str] | None, known: Collection[str]) -> tuple[str, ...]:
    """Codes as a person writes them, apart or with commas between; a refusal for one that no check has."""
    wanted = [code.strip().upper() for entry in codes or [] for code in entry.split(",") if code.strip()]
    unknown = [code for code in wanted if code not in known]
    if unknown:
        refuse(f"there is no check {', '.join(unknown)}")
    return tuple(wanted)
