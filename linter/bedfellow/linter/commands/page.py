"""``bedfellow page``: a plan as one page for a browser."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bedfellow.linter.commands.grown import PlanArgument, with_repairs
from bedfellow.linter.commands.shared import ReplaceOption
from bedfellow.linter.console import free, refuse, write
from bedfellow.linter.opening import RecordsOption, RulesOption, data_in_words, library_of, settings_of
from bedfellow.linter.reporting import TodayOption, today_of

app = typer.Typer(add_completion=False, rich_markup_mode=None)


@app.command()
def page(
    plan: PlanArgument,
    output: Annotated[Path, typer.Option(help="HTML file to write.")],
    season: Annotated[int, typer.Option(help="Growing season with which it opens: 1 to 10, 15 or 20.")] = 10,
    repairs: Annotated[
        bool, typer.Option("--repairs", help="Try repairs, and tell for each finding one that mends it.")
    ] = False,
    replace: ReplaceOption = False,
    rules: RulesOption = None,
    records: RecordsOption = None,
    today: TodayOption = None,
) -> None:
    """Make one page of a plan for a browser: findings, and the border by year and month. It needs no network."""
    from bedfellow.linter.engine import Options, lint
    from bedfellow.linter.progress import progress
    from bedfellow.linter.report.browser.growth import SEASONS
    from bedfellow.linter.report.browser.page import NothingToShow
    from bedfellow.linter.report.browser.page import page as made

    if season not in SEASONS:
        refuse(f"--season is one of {', '.join(map(str, SEASONS))}, not {season}")
    free(output, replace, plan)
    options = Options(today=today_of(today), settings=settings_of(plan, rules))
    with data_in_words():
        library = library_of(records or [])
        result = lint(plan, library, options)
        if repairs:
            result = with_repairs(result, library, options)
    try:
        with progress("growing the border", len(SEASONS)) as tell:
            text = made(result, season, tell)
    except NothingToShow as error:
        refuse(f"{plan}: {error}")
    write(text, output)
    if output.is_file():
        typer.echo(f"{output}: {len(text.encode()) / 1000:,.0f} kB")
