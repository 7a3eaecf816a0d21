"""``bedfellow draw``: pictures of a plan, as SVG, PNG or PDF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands.grown import PlanArgument, SeasonOption, judged
from bedfellow.linter.commands.shared import ReplaceOption
from bedfellow.linter.console import deliver, free, refuse
from bedfellow.linter.opening import RecordsOption, RulesOption
from bedfellow.linter.report.drawings import PICTURES
from bedfellow.linter.reporting import TodayOption

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.linter.report.drawings.sheet import Drawing

app = typer.Typer(add_completion=False, rich_markup_mode=None)
ALL = "all"
FORMS = (".svg", ".png", ".pdf")


@app.command()
def draw(
    plan: PlanArgument,
    output: Annotated[Path, typer.Option(help="File to write: .svg, .png or .pdf.")],
    picture: Annotated[str, typer.Option(help=f"{', '.join(PICTURES)}; or all, as the pages of a PDF.")] = "plan",
    season: SeasonOption = 10,
    month: Annotated[
        str, typer.Option(help="Month of the elevation, by name or number; that of midsummer if not said.")
    ] = "",
    scale: Annotated[
        int | None,
        typer.Option(help="Of plan and elevation: 20, 50 or 100; the largest that fits an A3 sheet if not said."),
    ] = None,
    findings: Annotated[bool, typer.Option("--findings/--no-findings", help="Show the findings on the plan.")] = True,
    replace: ReplaceOption = False,
    rules: RulesOption = None,
    records: RecordsOption = None,
    today: TodayOption = None,
) -> None:
    """Draw a plan to scale, and what it will look like."""
    from bedfellow.linter.report.drawings.asked import SCALES, Asked

    free(output, replace, plan)
    form = output.suffix.lower()
    if form not in FORMS:
        refuse(f"{output}: a drawing is written as .svg, .png or .pdf")
    if picture not in (*PICTURES, ALL):
        refuse(f"--picture is one of {', '.join(PICTURES)} or all, not '{picture}'")
    if picture == ALL and form != ".pdf":
        refuse(f"all pictures together make the pages of a PDF; {output} would hold only one")
    if scale is not None and scale not in SCALES:
        refuse(f"--scale is 20, 50 or 100, not {scale}")
    number = month_of(month) if month else None
    result = judged(plan, records, today, rules)
    asked = Asked(scale, season, number or _midsummer(result), findings)
    deliver(_written(_drawn(result, plan, list(PICTURES) if picture == ALL else [picture], asked), form), output)


def _midsummer(result: Result) -> int:
    """June, or December in the south."""
    return result.border.month_here(6) if result.border else 6


def month_of(text: str) -> int:
    """A month by its name, the first letters of it, or its number; a refusal for what is none."""
    from bedfellow.schema.values import MONTHS

    word = text.strip().casefold()
    if word.isdecimal() and 1 <= int(word) <= 12:
        return int(word)
    found = [number for number, name in enumerate(MONTHS, 1) if len(word) >= 3 and name.casefold().startswith(word)]
    if len(found) != 1:
        refuse(f"--month is '{text}'; write a month by its name, or 1 to 12")
    return found[0]


def _drawn(result: Result, plan: Path, names: Sequence[str], asked: Asked) -> list[Drawing]:
    """The pictures asked for. Of several, those for which the plan says too little are left out and told."""
    from bedfellow.linter.progress import progress
    from bedfellow.linter.report.drawings import drawn
    from bedfellow.linter.report.drawings.sheet import CannotDraw

    found: list[Drawing] = []
    without: list[str] = []
    with progress("drawing", len(names)) as tell:
        for number, name in enumerate(names):
            try:
                found.append(drawn(name, result, asked))
            except CannotDraw as reason:
                without.append(f"{name}: {reason}")
            tell(number + 1)
    if not found:
        refuse(f"{plan}: {without[0].partition(': ')[2]}")
    for words in without:
        typer.echo(f"bedfellow: left out {words}", err=True)
    return found


def _written(drawings: Sequence[Drawing], form: str) -> bytes:
    from bedfellow.linter.report.drawings.paper import CannotPrint, pdf, png

    try:
        if form == ".svg":
            return drawings[0].svg.encode()
        return png(drawings[0]) if form == ".png" else pdf(drawings)
    except CannotPrint as reason:
        refuse(str(reason))
