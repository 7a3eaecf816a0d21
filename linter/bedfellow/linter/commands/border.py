"""``bedfellow border``: ask a plan how it grows, without judging it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.commands import Told
from bedfellow.linter.commands.grown import PlanArgument, grown_border, rounded
from bedfellow.linter.commands.light import light
from bedfellow.linter.commands.retained import retained
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption
from bedfellow.linter.commands.sight import sight
from bedfellow.linter.commands.unsure import unsure
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import RecordsOption

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

app = typer.Typer(
    cls=Told, no_args_is_help=True, add_completion=False, rich_markup_mode=None,
    help="Ask a plan how large, how light, in what flower and how covered it will be.",
)  # fmt: skip
SeasonsOption = Annotated[str, typer.Option(help="Growing seasons after planting, such as 1,3,10.")]


@app.command()
def sizes(
    plan: PlanArgument,
    seasons: SeasonsOption = "1,3,5,10,20",
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Height and spread of each plant, season by season; with --format json with the range of each."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    years, border = _seasons(seasons), grown_border(plan, records)
    if form is Form.json:
        rows = []
        for planting in border.plantings:
            grown = {year: border.size(planting, year) for year in years if border.present(planting, year)}
            rows.append(
                {
                    "key": planting.key, "name": planting.traits.name, "wanting": border.wanting_size(planting),
                    "sizes": {str(year): rounded(size._asdict()) if size else None for year, size in grown.items()},
                }
            )  # fmt: skip
        write(as_json({"seasons": years, "plants": rows}), output)
        return
    lines = [(planting.title, *(_size(border, planting, year) for year in years)) for planting in border.plantings]
    write(table(("height × spread in m, season", *map(str, years)), lines), output)


def _size(border: Border, planting: Any, season: int) -> str:
    if not border.present(planting, season):
        return "gone"
    size = border.size(planting, season)
    return f"{size.height.typical:.2f} × {size.spread.typical:.2f}" if size else "not known"


@app.command()
def calendar(
    plan: PlanArgument,
    organ: Annotated[str, typer.Option(help="Only this: flower, scent, autumn colour, fruit, bark, seedhead, …")] = "",
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """What is in flower, fruit or colour when, and how far the dates move: nine years in ten lie from earliest to latest."""
    from bedfellow.linter.report.parts import year
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table
    from bedfellow.rules.border.interest import ORGANS, PART_OF_MONTH
    from bedfellow.rules.border.phenology import ALL_YEAR, share_of_month

    wanted = organ.strip().replace(" ", "_")
    if wanted and wanted not in (*ORGANS, "scent"):
        refuse(f"--organ is one of {', '.join(ORGANS).replace('_', ' ')} or scent, not '{organ}'")
    border = grown_border(plan, records)
    rows = list(_windows(border, (wanted,) if wanted else (*ORGANS, "scent")))
    if form is Form.json:
        write(as_json({"windows": [rounded(row) for row in rows]}), output)
        return
    lines = []
    for row in rows:
        start, end = row["from"], row["to"]
        strip = year([n for n in range(1, 13) if share_of_month((start, end), n) >= PART_OF_MONTH])
        days = [_day(row[name]) for name in ("earliest", "from", "to", "latest")]
        whole_year = end - start >= ALL_YEAR
        lines.append(
            (row["key"], row["name"], row["organ"], strip, *(("", "all year", "", "") if whole_year else days))
        )
    write(table(("key", "plant", "organ", "months", "earliest", "from", "to", "latest"), lines), output)


def _windows(border: Border, organs: tuple[str, ...]) -> Iterator[dict[str, Any]]:
    """A row for each window of interest, by the day on which it begins."""
    from bedfellow.rules.border.phenology import ALL_YEAR, early_and_late

    found: list[dict[str, Any]] = []
    for planting in border.plantings:
        for organ in organs:
            window = border.window(planting, organ)
            if window is None:
                continue
            start, end = window.start.typical, window.end.typical
            (earliest, _), (_, latest) = early_and_late(border.varying(window))
            if end - start >= ALL_YEAR:
                earliest, latest = start, end
            found.append(
                {
                    "key": planting.key, "name": planting.traits.name, "organ": organ.replace("_", " "),
                    "earliest": earliest, "from": start, "to": end,
                    "latest": latest, "strength": window.strength,
                    "colours": window.colours,
                }
            )  # fmt: skip
    yield from sorted(found, key=lambda row: ((row["from"] - 1) % 365, row["key"], row["organ"]))


@app.command()
def cover(
    plan: PlanArgument,
    seasons: SeasonsOption = "1,2,3,5",
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Share of the ground under living leaves, month by month, and free to dig; with --format json by layer too."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import share, table
    from bedfellow.schema.values import MONTHS, middle_of

    years, border = _seasons(seasons), grown_border(plan, records)
    if not border.plan.borders:
        refuse(f"{plan} has no border whose ground could be covered")
    by_year = {year: [border.cover_by_layer(year, middle_of(month)) for month in range(1, 13)] for year in years}
    free = {year: border.free_to_dig(year) for year in years}
    if form is Form.json:
        seasons_ = {str(year): [rounded(m) for m in months] for year, months in by_year.items()}
        write(
            as_json({"seasons": seasons_, "free_to_dig": {str(y): round(part, 3) for y, part in free.items()}}), output
        )
        return
    rows = [(MONTHS[month], *(share(by_year[year][month]["any"]) for year in years)) for month in range(12)]
    rows.append(("free to dig", *(share(free[year]) for year in years)))
    write(table(("ground under leaves, season", *map(str, years)), rows), output)


for asked in (light, retained, sight, unsure):
    app.command()(asked)


def _seasons(text: str) -> list[int]:
    try:
        found = [int(part) for part in text.split(",")]
    except ValueError:
        found = []
    if not found or not all(0 <= season <= 20 for season in found):
        refuse(f"--seasons is '{text}'; write seasons from 0 to 20, such as 1,3,10")
    return sorted(set(found))


def _day(day: float) -> str:
    date = datetime.date(2025, 1, 1) + datetime.timedelta(days=(round(day) - 1) % 365)
    return f"{date.day} {date:%B}"
