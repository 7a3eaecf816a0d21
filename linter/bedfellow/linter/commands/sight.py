"""``bedfellow border sight``: what is seen of each plant from where the border is looked at, and its front elevation."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bedfellow.linter.commands.grown import PlanArgument, SeasonOption, grown_border
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import RecordsOption

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

MOST_MEMBERS = 9  # of a drift that are looked at


def sight(
    plan: PlanArgument,
    season: SeasonOption = 3,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """What is seen of each plant from each viewing place, month by month; with --format json with the front elevation."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import share, table
    from bedfellow.schema.values import MONTHS, middle_of

    border = grown_border(plan, records)
    if not border.plan.borders:
        refuse(f"{plan} has no border that could be looked at")
    middles = [middle_of(month) for month in range(1, 13)]
    by_month = [_seen(border, season, day) for day in middles]
    plantings = [planting for planting in border.of_the_bed if any(planting.number in seen for seen in by_month)]
    if form is Form.json:
        places = [
            {
                **view._asdict(),
                "plants": [
                    {
                        "key": planting.key, "name": planting.traits.name,
                        "seen": [seen[planting.number][number] if planting.number in seen else None for seen in by_month],
                    }
                    for planting in plantings
                ],
            }
            for number, view in enumerate(border.views)
        ]  # fmt: skip
        left, right = border.frontage()
        heights = [[round(height, 2) for height in border.front_elevation(season, day)] for day in middles]
        elevation = {"left": left, "right": right, "heights": heights}
        write(as_json({"season": season, "places": places, "front_elevation": elevation}), output)
        return
    letters = [name[:3] for name in MONTHS]
    tables = []
    for number, view in enumerate(border.views):
        lines = [
            (
                planting.title,
                *(share(seen[planting.number][number]) if planting.number in seen else "" for seen in by_month),
            )
            for planting in plantings
        ]
        tables.append(table((view.name, *letters), lines))
    write(f"Share seen in season {season}, from\n\n" + "\n".join(tables), output)


def _seen(border: Border, season: int, day: float) -> dict[int, tuple[float, ...]]:
    """Share from 0 to 1 of what stands there of each planting on a day that is seen from each place, by number.

    From a side it is the mean of what somebody sees who walks by. What nothing is up of is left out, and what clothes a support.
    """
    up = [
        (planting, crown)
        for planting in border.of_the_bed
        if not planting.supported
        and border.present(planting, season)
        and (crown := border.crown_on(planting, season, day))
    ]
    return {
        number: tuple(round(share, 3) for share in seen.means())
        for number, seen in border.seen(up, season, day, MOST_MEMBERS).items()
    }
