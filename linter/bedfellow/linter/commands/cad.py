"""``bedfellow cad``: a plan from a drawing or a table of positions, and a plan as one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bedfellow.linter.commands import Told
from bedfellow.linter.commands.grown import PlanArgument, SeasonOption, border_read
from bedfellow.linter.commands.shared import ReplaceOption, SeparatorOption, separator_of
from bedfellow.linter.commands.survey import needs_ezdxf, take
from bedfellow.linter.console import free, refuse, write
from bedfellow.linter.opening import RecordsOption, library_of

app = typer.Typer(
    cls=Told, no_args_is_help=True, add_completion=False, rich_markup_mode=None,
    help="Take the positions of a drawing or a table into a plan, and give a plan to those who draw.",
)  # fmt: skip
SEASON = 10

app.command("import")(take)


@app.command("export")
def give(
    plan: PlanArgument,
    output: Annotated[Path, typer.Option(help="File to write: .dxf, .geojson or .csv.")],
    season: SeasonOption = SEASON,
    separator: SeparatorOption = "comma",
    replace: ReplaceOption = False,
    records: RecordsOption = None,
) -> None:
    """Write a plan as a drawing (DXF), as places on the globe (GeoJSON) or as a table of positions (CSV)."""
    from bedfellow.linter.report.plain import plain

    form = output.suffix.lower()
    if form not in (".dxf", ".geojson", ".csv"):
        refuse(f"{output}: a drawing ends in .dxf, places on the globe in .geojson, a table in .csv")
    free(output, replace, plan)
    border = border_read(plan, library_of(records or []))
    placeless = [line.key for line in border.plan.lines if not line.at and not line.outline]
    if placeless:
        typer.echo(
            f"bedfellow: these lines have no place of their own and are left out: {', '.join(map(plain, placeless))}",
            err=True,
        )
    if form == ".dxf":
        needs_ezdxf()
        from bedfellow.linter.report.cad.dxf import drawing

        write(drawing(border, season), output)
    elif form == ".csv":
        from bedfellow.linter.report.cad.positions import table

        write(table(border, season, separator_of(separator)), output)
    else:
        from bedfellow.linter.report.cad.geojson import NoPlace, accuracy, collection

        try:
            text = collection(border, season)
        except NoPlace as why:
            refuse(f"{plan}: {why}")
        write(text, output)
        typer.echo(accuracy(border), err=True)
