"""``bedfellow records``: the plant records themselves, what is wrong with them and how much they hold."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands import Told
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption, records_of
from bedfellow.linter.console import refuse, write

if TYPE_CHECKING:
    from bedfellow.traits_db.inspection.reference import Comparison, Table
    from bedfellow.traits_db.inspection.remark import Remark
    from bedfellow.traits_db.records import Records

app = typer.Typer(
    cls=Told,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    help="Check the plant records and tell how much they hold.",
)
Folders = Annotated[list[Path] | None, typer.Argument(help="Folders of further plant records, which win.")]
ENOUGH = 0.8  # of the taxa that a trait applies to


@app.command()
def check(
    folders: Folders = None,
    reference: Annotated[
        list[Path] | None, typer.Option(help="A published table to compare with, as CSV; may be given again.")
    ] = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Tell what is wrong with the records (exit status 2) and what somebody should look at.

    With folders, only what concerns them is told. A reference may be the USDA plant characteristics, the list of Union
    concern or a table of alien plants.
    """
    from bedfellow.traits_db.inspection import inspect
    from bedfellow.traits_db.inspection.inspection import plants_of
    from bedfellow.traits_db.inspection.reference import compare

    tables = [_table(file) for file in reference or []]  # a wrong one is refused before the records are read
    records = records_of(folders or [])
    remarks = inspect(records)
    if folders:
        own = tuple(f"{folder}{os.sep}" for folder in folders)
        remarks = [remark for remark in remarks if remark.place.startswith(own) or not remark.place]
    comparisons = [] if records.faults else [compare(plants_of(records), table) for table in tables]
    remarks += [remark for comparison in comparisons for remark in comparison.remarks]
    write(
        _as_json(records, remarks, comparisons) if form is Form.json else _as_text(records, remarks, comparisons),
        output,
    )
    if any(remark.level == "fault" for remark in remarks):
        raise typer.Exit(2)


def _table(file: Path) -> Table:
    from bedfellow.traits_db.inspection.reference import UnknownTable, read_table

    try:
        return read_table(file)
    except UnknownTable as error:
        refuse(str(error))
    except UnicodeError:
        refuse(f"{file} is not UTF-8")
    except OSError as error:
        refuse(f"{file} cannot be read: {error.strerror}")


def _as_text(records: Records, remarks: list[Remark], comparisons: list[Comparison]) -> str:
    from bedfellow.linter.report.plain import plain
    from bedfellow.linter.table import share, table

    parts = []
    for level, heading in (("fault", "To put right"), ("look", "To look at")):
        chosen = [remark for remark in remarks if remark.level == level]
        if chosen:
            parts.append(heading + "\n")
        for remark in chosen:
            subject = f"{remark.taxon}: " if remark.taxon else ""
            parts.append(f"  {plain(subject + remark.message)}\n")
            parts.append(f"    {plain(remark.place)}\n" if remark.place else "")
        parts.append("\n" if chosen else "")
    for comparison in comparisons:
        rates = [
            (trait, agreed, compared, share(agreed / compared))
            for trait, (agreed, compared) in comparison.rates.items()
        ]
        parts.append(f"{comparison.title}; taxa in common: {comparison.taxa}\n")
        parts.append(table(("trait", "agree", "compared", "share"), rates) + "\n")
    parts.append(_counted(records, remarks))
    return "".join(parts)


def _counted(records: Records, remarks: list[Remark]) -> str:
    faults = sum(remark.level == "fault" for remark in remarks)
    statements = [statement for taxon in records.taxa.values() for statement in taxon.statements]
    published = sum(statement.method != "memory" for statement in statements)
    return (
        f"{len(records.taxa)} taxa, {len(statements)} statements, {published / max(1, len(statements)):.1%} with a "
        f"published source\n{faults} to put right, {len(remarks) - faults} to look at\n"
    )


def _as_json(records: Records, remarks: list[Remark], comparisons: list[Comparison]) -> str:
    from bedfellow.linter.report.plain import as_json

    return as_json(
        {
            "taxa": len(records.taxa),
            "remarks": [remark._asdict() for remark in remarks],
            "comparisons": [
                {
                    "title": comparison.title,
                    "taxa": comparison.taxa,
                    "rates": {trait: {"agreed": a, "compared": c} for trait, (a, c) in comparison.rates.items()},
                }
                for comparison in comparisons
            ],
        }
    )


@app.command()
def coverage(folders: Folders = None, form: FormOption = Form.text, output: OutputOption = None) -> None:
    """Tell for each trait how many of the plants that it applies to have it, and which checks stand on thin ground."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import share, table
    from bedfellow.rules.declaration import declarations
    from bedfellow.traits_db.coverage import coverage as counted

    records = records_of(folders or [])
    if records.faults:
        refuse("the plant records are at fault; 'bedfellow records check' tells where")
    rows = counted(records)
    by_trait = {row.trait: row for row in rows}
    users: dict[str, list[str]] = {}
    thin: dict[str, dict[str, float]] = {}
    for code, declaration in declarations().items():
        for trait in declaration.traits:
            users.setdefault(trait, []).append(code)
            known = by_trait[trait].share(declaration.life_forms)
            if known < ENOUGH:
                thin.setdefault(code, {})[trait] = round(known, 2)
    if form is Form.json:
        traits = {
            row.trait: {
                **dict(zip(("applies", "known", "published"), row.counts(), strict=True)),
                "checks": users.get(row.trait, []),
            }
            for row in rows
        }
        write(as_json({"taxa": len(records.taxa), "enough": ENOUGH, "traits": traits, "thin": thin}), output)
        return
    listed = [
        (row.trait, *row.counts()[:2], share(row.share()), share(row.share_published), " ".join(users.get(row.trait, [])))
        for row in rows
    ]  # fmt: skip
    text = table(("trait", "applies", "known", "share", "published", "checks"), listed)
    text += f"\nChecks on traits known for under {ENOUGH:.0%} of the plants that they apply to\n"
    weak = [(code, trait, share(known)) for code, traits in thin.items() for trait, known in traits.items()]
    write(text + (table(("check", "trait", "share"), weak) if weak else "none\n"), output)
