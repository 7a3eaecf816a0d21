"""``bedfellow border unsure``: the facts in doubt, by what would change with them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.commands.grown import PlanArgument, grown_border, judging
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption
from bedfellow.linter.console import write
from bedfellow.linter.opening import RecordsOption

if TYPE_CHECKING:
    from bedfellow.rules.finding import Finding


def unsure(
    plan: PlanArgument,
    most: Annotated[int, typer.Option(min=1, help="How many to show.")] = 20,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """What is not known and matters: the facts in doubt, by how many findings would change with them."""
    from bedfellow.linter.progress import progress
    from bedfellow.linter.repair.unsure import doubts, trials
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    border = grown_border(plan, records)
    whole = sum(len(trial.plans) for trial in trials(border))
    with progress("judging the plan with other facts", whole) as tell:
        found = doubts(border, judging(plan, border), tell)
    if form is Form.json:
        rows = [
            {
                "fact": doubt.fact, "tried": doubt.tried, "new": _codes(doubt.new), "gone": _codes(doubt.gone),
                "not_judged_for_want_of_it": doubt.unjudged,
            }
            for doubt in found
        ]  # fmt: skip
        write(as_json({"facts": rows}), output)
        return
    changing = [doubt for doubt in found if doubt.changes]
    lines = [
        (
            doubt.fact,
            " or ".join(doubt.tried) or "not known",
            len(doubt.new),
            len(doubt.gone),
            " ".join(sorted({finding.code for finding in (*doubt.new, *doubt.gone)})),
            " ".join(doubt.unjudged),
        )
        for doubt in changing[:most]
    ]
    idle = len(found) - len(changing)
    more = len(changing) - len(lines)
    ends = [
        f"… and {more} more that would change something" if more > 0 else "",
        f"{idle} others would change nothing" if idle else "",
    ]
    told = "".join(f"{end}\n" for end in ends if end)
    write(
        (table(("fact", "tried", "new", "gone", "findings", "wait for it"), lines) + "\n" if lines else "") + told,
        output,
    )


def _codes(findings: Sequence[Finding]) -> list[dict[str, Any]]:
    return [{"code": finding.code, "keys": finding.keys} for finding in findings]
