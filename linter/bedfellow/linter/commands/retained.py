"""``bedfellow border retained``: what goes with each plant that was there before, and what it costs if it stays."""

from __future__ import annotations

from bedfellow.linter.commands.grown import PlanArgument, SeasonOption, border_read, judging
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption
from bedfellow.linter.console import write
from bedfellow.linter.opening import RecordsOption, library_of


def retained(
    plan: PlanArgument,
    season: SeasonOption = 10,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Both sides of each plant that was there before: what the border loses if it goes, and what it shades if it stays."""
    from bedfellow.linter.progress import progress
    from bedfellow.linter.repair.retained import both_sides
    from bedfellow.linter.report.retained import in_words
    from bedfellow.linter.report.retained_data import as_data

    border = border_read(plan, library_of(records or []))
    with progress("judging the plan with and without each", len(border.plan.retained)) as tell:
        answers = both_sides(border, judging(plan, border), season, tell)
    write((as_data if form is Form.json else in_words)(answers, season), output)
