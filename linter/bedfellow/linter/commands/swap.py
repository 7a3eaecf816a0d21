"""``bedfellow swap``: other plants in the place of those that a plan asks for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands.grown import PlanArgument, border_read, judging
from bedfellow.linter.commands.shared import (
    FileFormOption,
    Form,
    FormOption,
    OutputOption,
    SeparatorOption,
    WithinOption,
    form_of_file,
    separator_of,
)
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import RecordsOption, data_in_words, library_of, settings_of
from bedfellow.linter.report import ReportForm, report
from bedfellow.linter.report.plain import plain
from bedfellow.linter.reporting import FailAtOption, ReportFormOption, TodayOption, coloured, today_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

app = typer.Typer(
    no_args_is_help=True, add_completion=False, rich_markup_mode=None,
    help="Find a substitute for a plant, and check a delivery against its plan.",
)  # fmt: skip


@app.command()
def find(
    plan: PlanArgument,
    key: Annotated[str, typer.Argument(help="Key of the line whose plant cannot be had.")],
    must: Annotated[
        list[str] | None, typer.Argument(help="What a substitute must be besides, such as 'not hazards dogs'.")
    ] = None,
    rather: Annotated[list[str] | None, typer.Option(help="What it should be: moves plants up and down.")] = None,
    within: WithinOption = 20.0,
    most: Annotated[int, typer.Option(min=1, max=50, help="How many to show.")] = 4,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Tell what could stand in a plant's place: plants that keep its role and suit that very spot, best first.

    Each is judged there as 'lint' would; one that would bring an error or a warning is not offered.
    """
    from bedfellow.linter.commands.plants import asked_of
    from bedfellow.linter.progress import progress
    from bedfellow.linter.repair.substitute import TRIED, substitutes
    from bedfellow.linter.report.substitutes import as_data, in_words

    musts, wishes = asked_of(must or [], within), asked_of(rather or [], within)
    border = border_read(plan, library_of(records or []))
    planting = _planting(border, plan, key)
    elsewhere = [p.key for p in border.plantings if p.traits.name == planting.traits.name and p is not planting]
    try:
        with progress("trying each plant in its place", TRIED * most) as tell:
            answer = substitutes(border, planting, musts, wishes, most, judging(plan, border), tell)
    except ValueError as error:
        refuse(f"{plan}: {error}")
    told = as_data if form is Form.json else in_words
    write(told(planting, elsewhere, answer), output)
    if not answer.good and not answer.near:
        raise typer.Exit(1)


@app.command()
def check(
    plan: PlanArgument,
    delivery: Annotated[
        Path, typer.Argument(help="CSV, JSON or YAML file with key or ordered, and delivered, quantity, size.")
    ],
    form: ReportFormOption = ReportForm.text,
    output: OutputOption = None,
    file_form: FileFormOption = None,
    separator: SeparatorOption = "comma",
    fail_at: FailAtOption = None,
    records: RecordsOption = None,
    today: TodayOption = None,
) -> None:
    """Judge what was delivered against the plan: what was swapped, and what it breaks.

    A row names a line of the plan by key or by what was ordered. Nothing is judged while any row is at fault.
    """
    from bedfellow.linter.engine import Options, exit_status, lint, unreadable
    from bedfellow.linter.repair.delivery import arrivals, unknown_columns
    from bedfellow.linter.repair.swaps import checked
    from bedfellow.linter.settings import with_plan
    from bedfellow.traits_db.exchange.rows import BrokenFile, read_rows

    if output is not None and output.resolve() in (plan.resolve(), delivery.resolve()):
        refuse(f"{output} is what is to be judged; the report needs a name of its own")
    settings, kind = settings_of(plan), form_of_file(delivery, file_form)
    with data_in_words():
        result = lint(plan, library_of(records or []), Options(today=today_of(today), settings=settings))
    if result.border is None or result.plan is None:
        refuse(f"{plan} cannot be read as a plan: {unreadable(result.faults.values())}")
    settings, _ = with_plan(settings, result.document, result.plan.settings)
    try:
        rows = read_rows(delivery, kind, separator_of(separator), unknown_columns)
        came, faults = arrivals(rows, result.border)
    except BrokenFile as broken:
        refuse(f"{delivery}{f':{broken.line}' if broken.line else ''}: {broken}")
    for fault in faults:
        typer.echo(plain(f"{delivery}:{fault.line}: {fault.message}"), err=True)
    if faults or not came:
        number = f"{len(faults)} {'row' if len(faults) == 1 else 'rows'}"
        refuse(f"{delivery}: {number} at fault, nothing was judged" if faults else f"{delivery} has no rows")
    judged = checked(result.border, came, Options(today=today_of(today), settings=settings), result)
    write(report([judged], form, output is None and coloured()), output)
    raise typer.Exit(exit_status([judged], fail_at.value if fail_at else settings.fail_at))


def _planting(border: Border, plan: Path, key: str) -> Planting:
    """The planting of a key, or of a name that one line alone has; a refusal in words where there is none."""
    named = [p for p in border.plantings if p.key == key] or [p for p in border.plantings if p.line.name == key]
    if len(named) != 1:
        refuse(f"{plan}: {_no_planting(border, key, [p.key for p in named])}")
    return named[0]


def _no_planting(border: Border, key: str, several: list[str]) -> str:
    from difflib import get_close_matches

    if several:
        return f"{key} stands in {', '.join(several)}; say which by its key"
    strange = next((line for line in border.unknown_names if key in (line.key, line.name)), None)
    if strange is not None:
        told, near = f"no plant is called '{strange.name}'", list(border.near_names(strange.name))
    elif key in border.by_key:
        told, near = f"{key} was there before and stays; there is nothing to buy", []
    else:
        told = f"there is no line with the key '{key}'"
        near = get_close_matches(key, [p.key for p in border.plantings], 3, 0.5)
    return told + (f"; nearest: {', '.join(near)}" if near else "")
