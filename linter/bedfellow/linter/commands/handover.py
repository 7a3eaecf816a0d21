"""``bedfellow handover``: all that is handed over with a plan, written into one folder."""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands.grown import PlanArgument, SeasonOption, judged
from bedfellow.linter.console import refuse
from bedfellow.linter.opening import RecordsOption, RulesOption
from bedfellow.linter.reporting import TodayOption

if TYPE_CHECKING:
    from collections.abc import Callable

    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.drawings.asked import Asked

app = typer.Typer(add_completion=False, rich_markup_mode=None)
DOCUMENT, WORKBOOK, CALENDAR = "handover.pdf", "schedules.xlsx", "calendar.ics"
STEPS = 4  # beside those of the pack


class Scale(Enum):
    twenty = "20"
    fifty = "50"
    hundred = "100"


@app.command()
def handover(
    plan: PlanArgument,
    folder: Annotated[Path, typer.Argument(help="Folder to write into; made if it is not there.")],
    season: SeasonOption = 10,
    scale: Annotated[
        Scale | None, typer.Option(help="Of the drawings, 1 to so many; as large as fits an A3 sheet if not said.")
    ] = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Write over files of a former pack; all else in the folder is left alone.")
    ] = False,
    rules: RulesOption = None,
    records: RecordsOption = None,
    today: TodayOption = None,
) -> None:
    """Write the whole pack of a plan: document, schedules, setting out, tasks and calendar. All of it, or nothing."""
    from bedfellow.linter.progress import progress
    from bedfellow.linter.report.drawings.asked import Asked
    from bedfellow.linter.report.handover.folder import put
    from bedfellow.linter.report.handover.pack import STEPS as PACKING

    _may_write(plan, folder, replace)
    _has_libraries()
    with progress("making the pack", PACKING + STEPS) as tell:
        tell(0)
        result = judged(plan, records, today, rules)
        _fit(plan, result)
        asked = Asked(int(scale.value) if scale else None, season, findings=False)
        files = _files(plan, result, asked, tell)
        try:
            put(folder, files)
        except OSError as error:
            refuse(f"{folder} cannot be written, and is as it was: {error.strerror or error}")
    for name in files:
        typer.echo(str(folder / name))
    _tell(result)


def _may_write(plan: Path, folder: Path, replace: bool) -> None:
    """Refuse before any work where the pack would have no place, or take that of something else."""
    from bedfellow.linter.report.handover.folder import in_the_way
    from bedfellow.linter.report.handover.tables import IN_FILES, file_of

    names = (DOCUMENT, WORKBOOK, CALENDAR, *map(file_of, IN_FILES))
    if folder.exists() and not folder.is_dir():
        refuse(f"{folder} is no folder; nothing was written")
    if not folder.exists() and not folder.absolute().parent.is_dir():
        refuse(f"{folder.parent} is no folder; nothing was written")
    there = in_the_way(folder, names)
    if any((folder / name).is_dir() or (folder / name).resolve() == plan.resolve() for name in there):
        refuse(f"{folder} has a folder or the plan itself under the name of a file of the pack; nothing was written")
    if there and not replace:
        more = f" and {len(there) - 1} more" if len(there) > 1 else ""
        refuse(f"{folder / there[0]}{more} would be written over; say so with --replace, or name another folder")


def _has_libraries() -> None:
    from importlib.util import find_spec

    if not all(map(find_spec, ("typst", "xlsxwriter", "icalendar"))):
        refuse("a pack needs more libraries: pip install 'bedfellow[handover]'")


def _fit(plan: Path, result: Result) -> None:
    """Refuse what is no plan, has no plant that is known, or would be handed over with something left out."""
    from bedfellow.linter.engine import unreadable

    if result.border is None or any(finding.code in ("PLAN-01", "PLAN-02") for finding in result.findings):
        refuse(f"{plan} cannot be read as a plan, or not all of it: {unreadable(result.faults.values())}")
    if result.nothing_to_judge:
        refuse(f"no plant in {plan} was recognised")
    # A line without a place is in no schedule: nobody would order it.
    lost = next((finding.message for finding in result.findings if finding.code == "PLAN-03"), None)
    if lost:
        refuse(f"a pack of {plan} would leave out what cannot be placed: {lost.rstrip('.')}; 'bedfellow mend' may help")


def _files(plan: Path, result: Result, asked: Asked, tell: Callable[[int], None]) -> dict[str, bytes]:
    """The files of the pack by name, complete and in memory."""
    from bedfellow.linter.report.drawings.sheet import CannotDraw
    from bedfellow.linter.report.handover import dates, document, tables
    from bedfellow.linter.report.handover.pack import STEPS as PACKING
    from bedfellow.linter.report.handover.pack import pack_of
    from bedfellow.linter.report.handover.standing import digest_of

    tell(1)
    pack = pack_of(result, digest_of(plan.read_bytes()), lambda done: tell(1 + done))
    try:
        files = {DOCUMENT: document.document(pack, asked)}
    except CannotDraw as reason:
        refuse(str(reason))
    tell(PACKING + 2)
    files[WORKBOOK] = tables.workbook(pack)
    files[CALENDAR] = dates.calendar(pack)
    tell(PACKING + 3)
    return {**files, **tables.files(pack)}


def _tell(result: Result) -> None:
    """What is still to be put right; exit status 3 where a check failed."""
    faults = sum(finding.level == "error" for finding in result.findings)
    if faults:
        words = "fault is" if faults == 1 else "faults are"
        typer.echo(f"bedfellow: {faults} {words} still to be put right; the document tells which", err=True)
    if result.crashed:
        typer.echo("bedfellow: some checks failed and judged nothing; the document tells which", err=True)
        raise typer.Exit(3)
