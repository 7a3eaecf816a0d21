"""The command line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands import Mounted
from bedfellow.linter.console import refuse as _refuse
from bedfellow.linter.console import write as _write
from bedfellow.linter.opening import HERE, RecordsOption, RulesOption, codes_of, data_in_words, library_of, settings_of
from bedfellow.linter.report import ReportForm, report
from bedfellow.linter.reporting import FailAtOption, ReportFormOption, TodayOption, coloured, today_of

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result

app = typer.Typer(
    cls=Mounted, no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None,
    help="Checks planting plans: room, light, season and safety, before the client sees them.",
)  # fmt: skip
DEMO = Path(__file__).with_name("demo")


@app.command()
def lint(
    plans: Annotated[list[Path], typer.Argument(readable=False, help="Plan files.")],
    form: ReportFormOption = ReportForm.text,
    output: Annotated[Path | None, typer.Option(help="Write the report to a file.")] = None,
    only: Annotated[list[str] | None, typer.Option(help="Judge only these codes.")] = None,
    without: Annotated[list[str] | None, typer.Option(help="Leave these codes out.")] = None,
    fail_at: FailAtOption = None,
    rules: RulesOption = None,
    former: Annotated[
        Path | None, typer.Option(help="A former result (SARIF), to tell what is new and what is gone.")
    ] = None,
    fail_new: Annotated[
        bool, typer.Option("--fail-new", help="Fail only on findings that the former result has not.")
    ] = False,
    repairs: Annotated[
        bool, typer.Option("--repairs", help="Try repairs, and tell for each finding one that mends it.")
    ] = False,
    records: RecordsOption = None,
    today: TodayOption = None,
) -> None:
    """Judge plans and report what was found."""
    from bedfellow.linter.engine import Options, exit_status
    from bedfellow.linter.engine import lint as judge

    _keep_plans(output, plans)
    if fail_new and former is None:
        _refuse("--fail-new needs the former result, with --former")
    in_force = [settings_of(plan, rules) for plan in plans]
    known = {code for settings in in_force for code in settings.checks}
    options = Options(codes_of(only, known), codes_of(without, known), today_of(today))
    with data_in_words():
        library = library_of(records or [])
        asked = [replace(options, settings=settings) for settings in in_force]
        results = [judge(plan, library, wanted) for plan, wanted in zip(plans, asked, strict=True)]
        if repairs:
            from bedfellow.linter.commands.grown import with_repairs

            results = [with_repairs(result, library, wanted) for result, wanted in zip(results, asked, strict=True)]
    results = _with_former(results, former) if former else results
    _write(report(results, form, output is None and coloured()), output)
    statuses = [
        exit_status([result], fail_at.value if fail_at else settings.fail_at, fail_new)
        for result, settings in zip(results, in_force, strict=True)
    ]
    raise typer.Exit(max(statuses))


@app.command()
def about(
    code: Annotated[str, typer.Argument(help="Code of a check, such as SPACE-01.")], rules: RulesOption = None
) -> None:
    """Tell what a check looks for, why, and when it is wrong."""
    from bedfellow.linter.report.page import page
    from bedfellow.linter.settings import meant
    from bedfellow.rules.declaration import examples

    settings = settings_of(HERE, rules)
    check = settings.checks.get(code.upper())
    if check is None:
        families = ", ".join(dict.fromkeys(known.partition("-")[0] for known in settings.checks))
        asked = meant(code.upper(), settings.checks)
        _refuse(f"there is no check {code}{asked or f'; their families are {families}'}")
    document = settings.files.get(check.code)
    shown = document.data["examples"] if document is not None else examples(check)
    typer.echo(page(check, next((example for example in shown if example.get("finds")), None)), nl=False)


@app.command()
def demo(folder: Annotated[Path, typer.Argument(help="Where to put the demo plans.")] = Path()) -> None:
    """Write two demo plans of an invented garden: one with faults and the same put right."""
    sources = sorted(DEMO.glob("*.plan.yaml"))
    for source in sources:
        if (folder / source.name).exists():
            _refuse(f"{folder / source.name} is there already; nothing was written")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        _refuse(f"{folder} cannot be made: {error.strerror}")
    for source in sources:
        target = folder / source.name
        _write(source.read_text("utf-8"), target)
        typer.echo(str(target))


def _with_former(results: list[Result], former: Path) -> list[Result]:
    from bedfellow.linter.former import BadFormer, compared

    try:
        return compared(former, results)
    except BadFormer as error:
        _refuse(str(error))


def _keep_plans(output: Path | None, plans: list[Path]) -> None:
    """A report never takes the place of a plan."""
    if output is not None and any(output.resolve() == plan.resolve() for plan in plans):
        _refuse(f"{output} is a plan to be judged; the report needs a name of its own")
