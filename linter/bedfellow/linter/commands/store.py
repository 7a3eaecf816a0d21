"""``bedfellow store``: a store of plants that a practice or nursery writes to."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.commands import Told
from bedfellow.linter.commands.shared import (
    DryRunOption,
    FileArgument,
    FileFormOption,
    Form,
    FormOption,
    GoodRowsOption,
    OutputOption,
    SeparatorOption,
    StoreOption,
    WhoOption,
    WhyOption,
    form_of_file,
    in_words,
    opened,
    records_of,
    separator_of,
    signed_by,
    tell_outcome,
)
from bedfellow.linter.console import refuse, whole_file

if TYPE_CHECKING:
    from bedfellow.traits_db.team.history import Signed

app = typer.Typer(
    cls=Told,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    help="Keep a store of plants that several people write to: SQLite in a file, or PostgreSQL.",
)
Plant = Annotated[str, typer.Argument(help="Botanical or common name.")]
Trait = Annotated[str, typer.Argument(help="Trait, as in the table of traits.")]
Source = Annotated[str, typer.Option(help="Key of the source; memory if not said.")]


class ExportForm(StrEnum):
    csv = "csv"
    json = "json"
    yaml = "yaml"
    darwin_core = "darwin-core"


class Shape(StrEnum):
    long = "long"
    wide = "wide"


@app.command()
def create(store: StoreOption) -> None:
    """Make a new store, without plants."""
    with in_words():
        from bedfellow.traits_db.team.address import address
        from bedfellow.traits_db.team.opening import create_store

        place = address(store)
        create_store(place).close()
        typer.echo(f"made {place}; 'bedfellow store load' brings in the shipped records")


@app.command()
def upgrade(store: StoreOption) -> None:
    """Bring a store that an older bedfellow made to the present form."""
    with in_words():
        from bedfellow.traits_db.team.address import address
        from bedfellow.traits_db.team.opening import upgrade_store

        place = address(store)
        before, after = upgrade_store(place)
        typer.echo(f"{place}: form {before}, as it should be" if before == after else f"{place}: from form {before} to {after}")  # fmt: skip


@app.command()
def load(
    store: StoreOption,
    why: WhyOption = "the shipped records of this version of bedfellow",
    who: WhoOption = "",
    records: Annotated[
        list[Path] | None, typer.Option(help="Folders of further plant records to load with them.")
    ] = None,
) -> None:
    """Bring the shipped records into a store, or up to date there. What you set yourself stays, and wins."""
    from bedfellow.linter.progress import progress

    found = records_of(records or [])
    if found.faults:
        refuse("the plant records are at fault:\n" + "\n".join(found.faults))
    total = sum(len(taxon.statements) for taxon in found.taxa.values())
    with opened(store) as team, progress("values", total) as tell:
        from bedfellow.traits_db.team.loading import load as load_records

        loaded = load_records(team, found, signed_by(who), why, tell)
    tally = loaded.values
    typer.echo(f"{loaded.taxa:,} plants; values: {tally.added:,} added, {tally.changed:,} changed, {tally.removed:,} removed, {tally.unchanged:,} as they were")  # fmt: skip
    if loaded.kept:
        typer.echo(f"no longer shipped, but kept for what you said of them: {', '.join(loaded.kept)}")


@app.command()
def status(store: StoreOption, form: FormOption = Form.text) -> None:
    """Tell what a store holds."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    with opened(store) as team:
        from bedfellow.traits_db.team.contents import counts

        held = {"store": str(team.address), **counts(team)}
    if form is Form.json:
        typer.echo(as_json(held), nl=False)
    else:
        typer.echo(table(("what", "number"), [(name.replace("_", " "), str(number)) for name, number in held.items()]), nl=False)  # fmt: skip


@app.command(name="set")
def set_value(
    plant: Plant,
    trait: Trait,
    value: Annotated[str, typer.Argument(help="Value, such as '1.5 to 2 m' or 'May to June'.")],
    store: StoreOption,
    why: WhyOption,
    who: WhoOption = "",
    source: Source = "memory",
    method: Annotated[str | None, typer.Option(help="published or measured, where a source is named.")] = None,
    confidence: Annotated[str | None, typer.Option(help="high, medium or low.")] = None,
    date: Annotated[str | None, typer.Option(help="Date of the source or the measurement.")] = None,
) -> None:
    """Say of a plant what you know better; it wins over the shipped records."""
    with opened(store) as team:
        from bedfellow.traits_db.exchange.rows import Row
        from bedfellow.traits_db.team.importing import import_rows

        cells: dict[str, Any] = {"taxon": plant, "trait": trait, "value": value, "source": source}
        cells |= {name: text for name, text in (("method", method), ("confidence", confidence), ("date", date)) if text}
        outcome = import_rows(team, [Row(0, cells)], signed_by(who), why, kind="change")
        if outcome.faults:
            refuse(outcome.faults[0].message)
    typer.echo(f"revision {outcome.revision}" if outcome.revision else "it says so already; nothing was changed")


@app.command()
def remove(plant: Plant, trait: Trait, store: StoreOption, why: WhyOption, who: WhoOption = "", source: Source = "memory") -> None:  # fmt: skip
    """Take away what you said yourself; the shipped records hold again."""
    with opened(store) as team:
        from bedfellow.traits_db.team.importing import remove_value

        remove_value(team, plant, trait, source, signed_by(who), why)
    typer.echo(f"removed; {trait} of {plant} is what the shipped records say, if they do")


@app.command()
def source(
    key: Annotated[str, typer.Argument(help="Short key, such as smith-2024.")],
    title: Annotated[str, typer.Argument(help="Title of the work.")],
    store: StoreOption,
    why: WhyOption,
    who: WhoOption = "",
    author: Annotated[str, typer.Option(help="Who wrote or published it.")] = "",
    date: Annotated[str, typer.Option(help="When.")] = "",
) -> None:
    """Add a work that values can name as their source, or mend its title."""
    with opened(store) as team:
        from bedfellow.traits_db.team.sources import put_source

        changed = put_source(team, key, title, author, date, signed_by(who), why)
    typer.echo(f"{key}: {title}" if changed else "it says so already; nothing was changed")


@app.command()
def history(
    store: StoreOption,
    plant: Annotated[str | None, typer.Option(help="Changes of one plant.")] = None,
    trait: Annotated[str | None, typer.Option(help="Changes of one trait.")] = None,
    revision: Annotated[int | None, typer.Option(help="Changes of one revision.")] = None,
    most: Annotated[int, typer.Option(min=1, help="How many changes to tell at most.")] = 50,
    form: FormOption = Form.text,
) -> None:
    """Tell who changed what, when and why, the latest first; of a plant, a trait or a revision also from what to what."""
    from bedfellow.linter.commands.shared import said_of
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    with opened(store) as team:
        from bedfellow.traits_db.team.history import history as changes
        from bedfellow.traits_db.team.history import revisions

        if plant is None and trait is None and revision is None:
            _tell_revisions(revisions(team, most), form)
            return
        lines = changes(team, plant, trait, revision, most)
    if form is Form.json:
        typer.echo(as_json([line._asdict() for line in lines]), nl=False)
        return
    rows = [
        (line.revision, _minute(line.at), line.who, line.taxon, line.item if line.subject == "value" else line.subject,
         said_of(line, line.was), said_of(line, line.became), line.why)
        for line in lines
    ]  # fmt: skip
    headings = ("revision", "when (UTC)", "who", "plant", "what", "from", "to", "why")
    typer.echo(table(headings, rows) if rows else "no changes", nl=not rows)


def _tell_revisions(signed: list[Signed], form: Form) -> None:
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    if form is Form.json:
        typer.echo(as_json([row._asdict() for row in signed]), nl=False)
        return
    rows = [(row.revision, _minute(row.at), row.who, row.kind, row.changes, row.why) for row in signed]
    typer.echo(table(("revision", "when (UTC)", "who", "kind", "changes", "why"), rows) if rows else "no changes", nl=not rows)  # fmt: skip


def _minute(at: str) -> str:
    return at[:16].replace("T", " ")


@app.command()
def revert(
    revision: Annotated[int, typer.Argument(help="Number of the revision to take back.")],
    store: StoreOption,
    why: WhyOption,
    who: WhoOption = "",
) -> None:
    """Take a revision back, by a new one; refused where something has changed again since."""
    from bedfellow.linter.progress import progress

    with opened(store) as team, progress("changes") as tell:
        from bedfellow.traits_db.team.history import revert as take_back

        number = take_back(team, revision, signed_by(who), why, tell)
    typer.echo(f"took back {number:,} changes of revision {revision}")


@app.command()
def snapshot(
    folder: Annotated[Path, typer.Argument(help="Where to put the file.")],
    store: StoreOption,
    who: WhoOption = "",
    form: FormOption = Form.text,
) -> None:
    """Write what the store says now to one read-only file, named with the hash of its contents, that plans can pin."""
    from bedfellow.linter.progress import progress
    from bedfellow.linter.report.plain import as_json

    with opened(store) as team, progress("writing the snapshot") as tell:
        from bedfellow.traits_db.team.versions import write_snapshot

        tell(0)
        try:
            path, version = write_snapshot(team, folder, signed_by(who))
        except OSError as error:
            refuse(f"{folder} cannot be written: {error.strerror}")
    typer.echo(as_json({"file": str(path), "version": version}) if form is Form.json else f"{path}\n{version}\n", nl=False)  # fmt: skip


@app.command()
def versions(store: StoreOption, form: FormOption = Form.text) -> None:
    """Tell which snapshots were written of a store, the newest first."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    with opened(store) as team:
        from bedfellow.traits_db.team.versions import versions as written

        rows = written(team)
    if form is Form.json:
        typer.echo(as_json([row._asdict() for row in rows]), nl=False)
    else:
        told = [(_minute(row.at), row.who, row.revision, row.hash) for row in rows]
        typer.echo(table(("when (UTC)", "who", "revision", "version"), told), nl=False)


@app.command(name="import")
def import_file(
    file: FileArgument,
    store: StoreOption,
    why: WhyOption,
    who: WhoOption = "",
    source: Source = "memory",
    confidence: Annotated[str, typer.Option(help="Of rows that do not say it: high, medium or low.")] = "",
    date: Annotated[str, typer.Option(help="Of rows that do not say it.")] = "",
    dry_run: DryRunOption = False,
    good_rows: GoodRowsOption = False,
    file_form: FileFormOption = None,
    separator: SeparatorOption = "comma",
    form: FormOption = Form.text,
) -> None:
    """Import values of traits from a table; nothing where any row is at fault.

    Long form: a row a value, with columns taxon, trait, value and if you like unit, source, method, confidence, date, region,
    latitude. Wide form: a row a plant, a column a trait. A new plant comes in where its rows give its rank.
    """
    from bedfellow.linter.progress import progress

    reader, sign = form_of_file(file, file_form), separator_of(separator)
    with opened(store) as team, progress("rows") as tell:
        from bedfellow.traits_db.exchange.meaning import Defaults, unknown_columns
        from bedfellow.traits_db.exchange.rows import BrokenFile, read_rows
        from bedfellow.traits_db.team.importing import import_rows

        defaults = Defaults(source, confidence, date)
        rows = read_rows(file, reader, sign, unknown_columns)
        try:
            outcome = import_rows(team, rows, signed_by(who), why, defaults, good_rows, dry_run, tell)
        except BrokenFile as broken:
            refuse(f"{file}{f':{broken.line}' if broken.line else ''}: {broken}; nothing was imported")
    tell_outcome(outcome, file, form, dry_run, values=True)


@app.command()
def export(
    store: StoreOption,
    file_form: Annotated[ExportForm, typer.Option("--form", help="Form of the file.")] = ExportForm.csv,
    shape: Annotated[Shape, typer.Option(help="A row a value, or a row a plant without sources.")] = Shape.long,
    output: OutputOption = None,
) -> None:
    """Export what the store says, in a form that can be imported again, or as Darwin Core measurement rows."""
    import sys

    from bedfellow.linter.progress import progress

    with opened(store) as team, progress("plants") as tell, team.reading() as connection:
        from bedfellow.traits_db.exchange.export import export as write_rows
        from bedfellow.traits_db.team.contents import taxa_of, titles_of

        titles = titles_of(connection)
        if output is None:
            write_rows(taxa_of(connection), file_form.value, shape.value, sys.stdout, titles)
            return
        with whole_file(output) as stream:
            write_rows(taxa_of(connection), file_form.value, shape.value, stream, titles, tell)
