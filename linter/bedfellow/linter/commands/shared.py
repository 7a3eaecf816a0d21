"""What the groups of commands have in common."""

from __future__ import annotations

import getpass
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.console import refuse

if TYPE_CHECKING:
    from bedfellow.traits_db.records import Records
    from bedfellow.traits_db.team.history import Line
    from bedfellow.traits_db.team.opening import TeamStore
    from bedfellow.traits_db.team.staging import Outcome


class Form(StrEnum):
    text = "text"
    json = "json"


class FileForm(StrEnum):
    csv = "csv"
    json = "json"
    yaml = "yaml"


FormOption = Annotated[Form, typer.Option("--format", help="How to report.")]
OutputOption = Annotated[Path | None, typer.Option(help="Write to a file.")]
StoreOption = Annotated[
    str, typer.Option("--store", envvar="BEDFELLOW_STORE", help="Path of the store, or postgresql://user@host/database.")
]  # fmt: skip
WhoOption = Annotated[str, typer.Option("--who", envvar="BEDFELLOW_WHO", help="Who makes the change; the login name if not said.")]  # fmt: skip
WhyOption = Annotated[str, typer.Option("--why", help="Why, for the history.")]
FileArgument = Annotated[Path, typer.Argument(help="CSV, JSON or YAML file.")]
FileFormOption = Annotated[FileForm | None, typer.Option("--form", help="Form of the file; by its name if not said.")]
SeparatorOption = Annotated[str, typer.Option(help="What parts the columns of a CSV: comma, semicolon or tab.")]
WithinOption = Annotated[
    float, typer.Option(min=1, max=100, help="How far a colour may lie from the one asked for (CIEDE2000).")
]
ReplaceOption = Annotated[bool, typer.Option("--replace", help="Write over a file that is there already.")]
DryRunOption = Annotated[bool, typer.Option("--dry-run", help="Show what would change, and write nothing.")]
GoodRowsOption = Annotated[bool, typer.Option("--good-rows", help="Import the good rows though others are at fault.")]


def records_of(folders: list[Path]) -> Records:
    """The shipped records and those of further folders, which win; faults and all."""
    from bedfellow.linter.progress import progress
    from bedfellow.traits_db.folders import SHIPPED, record_files
    from bedfellow.traits_db.records import read_records

    for folder in folders:
        if not folder.is_dir():
            refuse(f"{folder} is not a folder of records")
    all_of = [SHIPPED, *folders]
    with progress("reading plant records", sum(len(record_files(folder)) for folder in all_of)) as tell:
        return read_records(all_of, tell=tell)


@contextmanager
def in_words() -> Iterator[None]:
    """What is wrong with a store or a file as a refusal."""
    from sqlalchemy.exc import IntegrityError

    from bedfellow.traits_db.team.trouble import StoreTrouble

    try:
        yield
    except StoreTrouble as trouble:
        refuse(str(trouble))
    except IntegrityError as error:
        refuse(f"the store refuses the change, and nothing was written: {error.orig}")
    except KeyboardInterrupt:
        refuse("stopped; nothing was written")


@contextmanager
def opened(store: str) -> Iterator[TeamStore]:
    """An open store, and what goes wrong with it in words."""
    with in_words():
        from bedfellow.traits_db.team.address import address
        from bedfellow.traits_db.team.opening import open_team_store

        team = open_team_store(address(store))
        try:
            yield team
        finally:
            team.close()


def signed_by(who: str) -> str:
    """The name that stands in the history."""
    if who.strip():
        return who
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # no login name: in a container, or without a password database
        refuse("say who makes the change, with --who")


def point(text: str) -> tuple[float, float]:
    """A place in a plan, in metres."""
    from bedfellow.schema.units import length

    x, _, y = text.partition(",")
    try:
        return length(_figure(x)), length(_figure(y))
    except ValueError:
        refuse(f"'{text}' is no place; write x and y in metres, such as 3.2,1.4")


def _figure(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text.strip()


def separator_of(word: str) -> str:
    """The sign that parts columns."""
    from bedfellow.traits_db.exchange.rows import SEPARATORS

    if word not in SEPARATORS:
        refuse(f"--separator is comma, semicolon or tab, not '{word}'")
    return SEPARATORS[word]


def form_of_file(file: Path, form: FileForm | None) -> str:
    """The form that is said, or that the name of the file promises."""
    from bedfellow.traits_db.exchange.rows import form_of

    found = form.value if form else form_of(file)
    if found is None:
        refuse(f"{file}: say with --form whether it is csv, json or yaml")
    return found


def tell_outcome(outcome: Outcome, file: Path, form: Form, dry_run: bool, values: bool) -> None:
    """What an import did or would do; exit status 2 where it was refused, 1 where rows at fault were left out.

    values: it was an import of traits, whose differences are shown.
    """
    from bedfellow.linter.report.plain import as_json, plain

    if form is Form.json:
        typer.echo(as_json(_as_data(outcome, file, dry_run, values)), nl=False)
    else:
        for fault in outcome.faults:
            typer.echo(plain(f"{file}:{fault.line}: {fault.message}"), err=True)
        if outcome.wrong > len(outcome.faults):
            typer.echo(f"… and {outcome.wrong - len(outcome.faults):,} more", err=True)
        typer.echo(plain(f"{file}: {outcome.rows:,} rows, {outcome.wrong:,} at fault"))
        typer.echo("".join(_in_text(outcome, dry_run, values)), nl=False)
    if outcome.wrong:
        raise typer.Exit(2 if outcome.refused else 1)


def _as_data(outcome: Outcome, file: Path, dry_run: bool, values: bool) -> dict[str, Any]:
    columns = ("plant", "trait", "source", "was", "becomes")
    return {
        "file": str(file), "rows": outcome.rows, "good": outcome.good, "wrong": outcome.wrong, "dry_run": dry_run,
        "refused": outcome.refused, "faults": [fault._asdict() for fault in outcome.faults], "new_plants": outcome.new_plants,
        **{name: getattr(outcome.tally, name) for name in ("added", "changed", "removed", "unchanged")},
        "revision": outcome.revision,
        "differences": [dict(zip(columns, row, strict=True)) for row in _differences(outcome)] if values else [],
    }  # fmt: skip


def _in_text(outcome: Outcome, dry_run: bool, values: bool) -> Iterator[str]:
    from bedfellow.linter.table import table

    if outcome.refused:
        yield "nothing was imported\n"
        return
    tally, would = outcome.tally, "would be " if dry_run else ""
    yield (
        f"{tally.added:,} {would}added, {tally.changed:,} {would}changed, {tally.removed:,} {would}removed, "
        f"{tally.unchanged:,} as they were" + (f"; revision {outcome.revision}\n" if outcome.revision else "\n")
    )
    if outcome.new_plants:
        shown = ", ".join(outcome.new_plants[:5]) + (", …" if len(outcome.new_plants) > 5 else "")
        what = "new plants" if values else "plants that the store does not know"
        yield f"{what}: {len(outcome.new_plants):,} ({shown})\n"
    if values and outcome.shown:
        yield "\n" + table(("plant", "trait", "source", "was", "becomes"), list(_differences(outcome)))
        rest = tally.added + tally.changed - len(outcome.shown)
        yield f"… and {rest:,} more\n" if rest > 0 else ""


def _differences(outcome: Outcome) -> Iterator[tuple[str, str, str, str, str]]:
    for entry, _, was in outcome.shown:
        now = entry.state.value if entry.state else None
        yield (
            entry.taxon,
            entry.trait,
            entry.source,
            said(entry.trait, was.value if was else None),
            said(entry.trait, now),
        )


def said_of(line: Line, state: Any) -> str:
    """The state of something in the history, as a table shows it."""
    import json

    if state is None:
        return ""
    if line.subject == "value":
        return said(line.item, json.dumps(state["value"]))
    return ", ".join(f"{name} {value}" for name, value in state.items() if value not in ("", None, [])) or "there"


def said(trait: str, packed: str | None) -> str:
    """A kept value as a table shows it."""
    import json

    from bedfellow.schema.cells import write_cell
    from bedfellow.schema.traits import trait_table
    from bedfellow.schema.values import unpack

    row = trait_table().traits.get(trait)
    if packed is None or row is None:
        return ""
    return write_cell(row, unpack(json.loads(packed)))
