"""``bedfellow mend``: repairs made in the plan itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands.grown import PlanArgument
from bedfellow.linter.console import refuse, rewrite, write
from bedfellow.linter.opening import RecordsOption, RulesOption, codes_of, data_in_words, library_of, settings_of
from bedfellow.linter.reporting import FailAt, TodayOption, today_of

if TYPE_CHECKING:
    from bedfellow.linter.repair.together import Done

app = typer.Typer(add_completion=False, rich_markup_mode=None)


@app.command()
def mend(
    plan: PlanArgument,
    level: Annotated[FailAt, typer.Option(help="Mend findings from this level on.")] = FailAt.error,
    design: Annotated[
        bool,
        typer.Option("--design", help="Try what changes the design too: far moves, other plants, plants more."),
    ] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show what would change, and write nothing.")] = False,
    take: Annotated[str, typer.Option("--take", help="Make only these of the repairs, by their numbers: 1,3.")] = "",
    ask: Annotated[bool, typer.Option("--ask", help="Ask for each repair whether to make it.")] = False,
    only: Annotated[list[str] | None, typer.Option(help="Mend only these codes.")] = None,
    rules: RulesOption = None,
    records: RecordsOption = None,
    today: TodayOption = None,
) -> None:
    """Mend what can be mended in the plan itself, with the fewest repairs that do.

    They are made only if judging again shows their findings gone and no other error or warning come. What is left is told
    with what stands against mending it; then the exit status is 1, or 2 where the file is no plan.
    """
    from bedfellow.linter.engine import Options, unreadable
    from bedfellow.linter.progress import progress
    from bedfellow.linter.repair import mending
    from bedfellow.linter.report.mending import report
    from bedfellow.schema.reader import read_file

    settings = settings_of(plan, rules)
    options = Options(today=today_of(today), settings=settings)
    document = read_file(plan)
    if document.faults and not document.text:
        refuse(f"{plan} cannot be read as a plan: {unreadable(document.faults)}")
    library, codes = library_of(records or []), codes_of(only, settings.checks)
    with data_in_words(), progress("trying repairs") as tell:
        found = mending.mend(document, library, options, level.value, design, codes, tell)
    if take or ask:
        chosen = _numbered(take, found.done) if take else _asked(found.done)
        try:
            with data_in_words():
                found = mending.some(document, found, chosen, library, options)
        except mending.CannotTake as error:
            refuse(f"{plan}: {error}; nothing was written")
    if found.document.text != document.text and not dry_run:
        rewrite(plan, document.text, found.document.text)  # before it is said to be done
    write(report(document, found, dry_run), None)
    no_plan = any(left.finding.code in ("PLAN-01", "PLAN-02") for left in found.left)
    raise typer.Exit(2 if no_plan else 1 if found.left else 0)


def _numbered(text: str, done: Sequence[Done]) -> list[int]:
    """Places in the list of repairs, from their numbers; a refusal for what is none."""
    numbers = [part.strip() for part in text.split(",") if part.strip()]
    for number in numbers:
        if not number.isdigit() or not 1 <= int(number) <= len(done):
            refuse(f"there is no repair {number}; 'mend --dry-run' numbers those that there are, {len(done)} here")
    return sorted({int(number) - 1 for number in numbers})


def _asked(done: Sequence[Done]) -> list[int]:
    """Those that the person wants."""
    from bedfellow.linter.report.mending import line

    chosen = []
    for number, one in enumerate(done):
        typer.echo(line(number + 1, one))
        if typer.confirm("     Make it?", default=True):
            chosen.append(number)
    return chosen
