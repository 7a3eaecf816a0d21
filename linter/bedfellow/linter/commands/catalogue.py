"""``bedfellow catalogue``: what nurseries sell, in which form and size, at what price and when."""

from __future__ import annotations

import io
import json
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.commands import Told
from bedfellow.linter.commands.shared import (
    DryRunOption,
    FileArgument,
    FileForm,
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
    opened,
    separator_of,
    signed_by,
    tell_outcome,
)
from bedfellow.linter.console import refuse, write

if TYPE_CHECKING:
    from bedfellow.traits_db.team.catalogue import OfferRow

app = typer.Typer(
    cls=Told,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    help="Keep the catalogues of nurseries beside the plants of a store: sizes, prices, availability.",
)
PlantOption = Annotated[str | None, typer.Option(help="Offers of one plant.")]
NurseryOption = Annotated[str | None, typer.Option(help="Offers of one nursery.")]
OnOption = Annotated[str | None, typer.Option("--on", help="Offers on sale that day, such as 2026-10-22.")]


@app.command(name="import")
def import_file(
    file: FileArgument,
    store: StoreOption,
    why: WhyOption,
    who: WhoOption = "",
    nursery: Annotated[str, typer.Option(help="Nursery of rows that name none.")] = "",
    replace: Annotated[bool, typer.Option("--replace", help="Take away what these nurseries offer no more.")] = False,
    dry_run: DryRunOption = False,
    good_rows: GoodRowsOption = False,
    file_form: FileFormOption = None,
    separator: SeparatorOption = "comma",
    form: FormOption = Form.text,
) -> None:
    """Import a catalogue; nothing where any row is at fault.

    Columns: plant, form, price, currency and if you like nursery, size, available_from, available_to, quantity.
    """
    from bedfellow.linter.progress import progress

    reader, sign = form_of_file(file, file_form), separator_of(separator)
    with opened(store) as team, progress("rows") as tell:
        from bedfellow.traits_db.exchange.rows import BrokenFile, read_rows
        from bedfellow.traits_db.team.catalogue import import_offers, unknown_columns

        rows = read_rows(file, reader, sign, unknown_columns)
        try:
            outcome = import_offers(team, rows, nursery, signed_by(who), why, replace, good_rows, dry_run, tell)
        except BrokenFile as broken:
            refuse(f"{file}{f':{broken.line}' if broken.line else ''}: {broken}; nothing was imported")
    tell_outcome(outcome, file, form, dry_run, values=False)


@app.command()
def show(
    store: StoreOption,
    plant: PlantOption = None,
    nursery: NurseryOption = None,
    on: OnOption = None,
    form: FormOption = Form.text,
) -> None:
    """Tell what is on offer."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    found = _found(store, plant, nursery, on)
    if form is Form.json:
        typer.echo(as_json([_data(offer) for offer in found]), nl=False)
        return
    headings = ("plant", "nursery", "form", "size", "price", "from", "to", "quantity")
    rows = [
        (o.plant, o.nursery, o.form, o.size, f"{o.price:.2f} {o.currency}", o.available_from, o.available_to, "" if o.quantity is None else o.quantity)
        for o in found
    ]  # fmt: skip
    typer.echo(table(headings, rows) if rows else "nothing is on offer", nl=not rows)


@app.command()
def export(
    store: StoreOption,
    plant: PlantOption = None,
    nursery: NurseryOption = None,
    on: OnOption = None,
    file_form: Annotated[FileForm, typer.Option("--form", help="Form of the file.")] = FileForm.csv,
    output: OutputOption = None,
) -> None:
    """Export offers, in a form that can be imported again."""
    from bedfellow.traits_db.exchange.export import write_csv
    from bedfellow.traits_db.team.catalogue import COLUMNS

    rows = [{name: value for name, value in _data(offer).items() if name in COLUMNS} for offer in _found(store, plant, nursery, on)]  # fmt: skip
    if file_form is FileForm.csv:
        stream = io.StringIO()
        write_csv(stream, COLUMNS, ({name: value for name, value in row.items() if value is not None} for row in rows))
        write(stream.getvalue(), output)
    elif file_form is FileForm.json:
        write(json.dumps(rows, ensure_ascii=False, indent=1) + "\n", output)
    else:
        write("".join(f"- {json.dumps(row, ensure_ascii=False)}\n" for row in rows) or "[]\n", output)


def _found(store: str, plant: str | None, nursery: str | None, on: str | None) -> list[OfferRow]:
    if on is not None:
        from bedfellow.schema.units import whole_date

        try:
            whole_date(on)
        except ValueError as error:
            refuse(str(error))
    with opened(store) as team:
        from bedfellow.traits_db.team.catalogue import offers

        return list(offers(team, plant, nursery, on))


def _data(offer: OfferRow) -> dict[str, Any]:
    return {**offer._asdict(), "price": format(offer.price.normalize(), "f")}
