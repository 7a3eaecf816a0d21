"""``bedfellow border light``: sun at a place, of every plant, or on the ground."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedfellow.linter.commands.grown import PlanArgument, SeasonOption, grown_border, rounded
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption, point
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import RecordsOption

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

HIGHEST, CELL = 1_000, 0.25  # m


def light(
    plan: PlanArgument,
    at: Annotated[
        str, typer.Argument(metavar="[X,Y]", help="A place in metres, such as 3.2,1.4; all plants if not said.")
    ] = "",
    season: SeasonOption = 3,
    height: Annotated[float, typer.Option(min=0, help="Height above the ground in metres, for a place.")] = 0.3,
    ground: Annotated[bool, typer.Option("--ground", help="A map of the ground instead.")] = False,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Sun: at a place month by month, of every plant at midsummer and through the half year, or as a map of the ground."""
    border = grown_border(plan, records)
    if border.plan.site.latitude is None:
        refuse(f"{plan} does not say the latitude, without which nothing is known of light")
    if not height <= HIGHEST:
        refuse(f"--height is {height:g}; write metres above the ground up to {HIGHEST}, such as 0.3")
    if at:
        _light_at(border, (*point(at), height), season, form, output)
    elif ground:
        _light_on_the_ground(border, season, form, output)
    else:
        _light_of_plants(border, season, form, output)


def _light_at(border: Border, place: tuple[float, float, float], season: int, form: Form, output: Path | None) -> None:
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import share, table
    from bedfellow.schema.values import MONTHS

    months = border.light_by_month(place, season)
    if form is Form.json:
        write(
            as_json(
                {
                    "at": place[:2],
                    "height": place[2],
                    "season": season,
                    "months": [rounded(m._asdict()) for m in months],
                }
            ),
            output,
        )
        return
    rows = [
        (MONTHS[m.month - 1], f"{m.hours:.1f}", f"{m.morning:.1f}", f"{m.midday:.1f}", share(m.beam), share(m.sky))
        for m in months
    ]
    headings = ("mid-month", "hours of sun", "before 10 h", "11 to 16 h", "of the open beam", "of the sky")
    write(table(headings, rows), output)


def _light_of_plants(border: Border, season: int, form: Form, output: Path | None) -> None:
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import share, table

    got = border.light(border.plantings, season)
    rows = [(planting, got[planting.number]) for planting in border.plantings if planting.number in got]
    if form is Form.json:
        names = ("june_hours", "midday_hours", "march_hours", "share_of_beam")
        plants = [
            {"key": p.key, "name": p.traits.name, **rounded(dict(zip(names, figures, strict=True)))}
            for p, figures in rows
        ]
        write(as_json({"season": season, "plants": plants}), output)
        return
    june, march = ("21 December", "15 September") if border.south else ("21 June", "15 March")
    lines = [
        (
            p.title,
            f"{june_hours:.1f}",
            f"{midday:.1f}",
            f"{march_hours:.1f}",
            share(part),
            ", ".join(p.traits.words("light")),
        )
        for p, (june_hours, midday, march_hours, part) in rows
    ]
    write(
        table((f"hours of sun in season {season}", june, "11 to 16 h", march, "of the open beam", "wants"), lines),
        output,
    )


def _light_on_the_ground(border: Border, season: int, form: Form, output: Path | None) -> None:
    from bedfellow.linter.report.plain import as_json
    from bedfellow.rules.words import metres

    if not border.plan.borders:
        refuse("the plan has no border to make a map of")
    columns, rows, shares = border.light_map(season, CELL)
    if not shares or not columns:
        refuse("the border is too narrow for a map")
    if form is Form.json:
        write(as_json({"season": season, "x": columns, "y": rows, "share_of_beam": shares}), output)
        return
    half = "October to March" if border.south else "April to September"
    lines = [
        "".join(" " if value is None else str(min(9, int(value * 10))) for value in row) for row in reversed(shares)
    ]
    head = f"Share of the open site's beam on the ground, {half}, season {season}, in "
    cell = columns[1] - columns[0] if len(columns) > 1 else CELL
    scale = f"tenths (9 is 90% or more).\nA digit is {metres(cell)}; the front is below.\n\n"
    write(head + scale + "\n".join(lines) + "\n", output)
