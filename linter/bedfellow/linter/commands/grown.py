"""The grown border of a plan, for the commands that ask it something."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.console import refuse
from bedfellow.linter.opening import data_in_words, library_of, settings_of
from bedfellow.linter.reporting import today_of

if TYPE_CHECKING:
    from bedfellow.linter.engine import Options, Result
    from bedfellow.rules.border.border import Border
    from bedfellow.traits_db.library import Library
    from bedfellow.traits_db.snapshot import Store

# Whether it may be read is for the reader to say, in our words and beside the other plans: 'readable' would refuse first.
PlanArgument = Annotated[Path, typer.Argument(readable=False, help="Plan file.")]
SeasonOption = Annotated[int, typer.Option(min=0, max=20, help="Growing season after planting.")]


def border_read(file: Path, source: Library | Store) -> Border:
    """The border of a plan; a word where parts of it could not be read, a refusal where the file is no plan."""
    from bedfellow.linter.engine import border_of, unreadable

    with data_in_words():
        border, faults = border_of(file, source)
    if border is None:
        refuse(f"{file} cannot be read as a plan: {unreadable(faults)}")
    if faults:
        typer.echo("bedfellow: parts of the plan could not be read; 'bedfellow lint' tells which", err=True)
    return border


def judging(file: Path, border: Border) -> Options:
    """As 'lint' judges that plan: by the settings of its repository and its own."""
    from bedfellow.linter.engine import Options
    from bedfellow.linter.settings import with_plan

    settings, _ = with_plan(settings_of(file), border.plan.document, border.plan.settings)
    return Options(settings=settings)


def judged(file: Path, records: list[Path] | None, today: str | None, rules: list[Path] | None = None) -> Result:
    """What 'lint' says of that plan: by the settings of its repository, and by further house rules."""
    from bedfellow.linter.engine import Options, lint

    options = Options(today=today_of(today), settings=settings_of(file, rules))
    with data_in_words():
        return lint(file, library_of(records or []), options)


def with_repairs(result: Result, library: Library, options: Options) -> Result:
    """The same with a repair that was tried for each finding that has one."""
    from bedfellow.linter.progress import progress
    from bedfellow.linter.repair.mending import offers

    with progress(f"trying repairs of {result.document.name}") as tell:
        return replace(result, repairs=offers(result, library, options, tell))


def grown_border(file: Path, records: list[Path] | None) -> Border:
    """The border of a plan; a refusal where the file is no plan or no plant in it is known."""
    border = border_read(file, library_of(records or []))
    if not border.plantings:
        refuse(f"no plant in {file} was recognised")
    return border


def rounded(values: dict[str, Any]) -> dict[str, Any]:
    """Figures to the third place, those inside a measure too."""
    return {name: _round(value) for name, value in values.items()}


def _round(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, 3)
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return rounded(value._asdict())
    return value
