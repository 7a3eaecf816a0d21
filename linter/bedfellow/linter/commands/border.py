"""``bedfellow border``: ask a plan how it grows, without judging it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bedfellow.linter.commands.grown import PlanArgument, SeasonOption, grown_border, rounded
from bedfellow.linter.commands.retained import retained
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption, point
from bedfellow.linter.commands.sight import sight
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import RecordsOption

if TYPE_CHECKING:
    from bedfellow.linter.repair.unsure import Doubt
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.finding import Finding

app = typer.Typer(
    no_args_is_help=True, add_completion=False, rich_markup_mode=None,
    help="Ask a plan how large, how light, in what flower and how covered it will be.",
)  # fmt: skip
ALL_YEAR = 345  # days: 'January to December' is read as 8 January to 23 December
HIGHEST, CELL = 1_000, 0.25  # m
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
    from bedfellow.rules.border.phenology import share_of_month

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
    from bedfellow.rules.border.phenology import early_and_late

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
    from bedfellow.schema.values import FIRST_DAYS, MONTHS

    years, border = _seasons(seasons), grown_border(plan, records)
    if not border.plan.borders:
        refuse(f"{plan} has no border whose ground could be covered")
    by_year = {year: [border.cover_by_layer(year, FIRST_DAYS[month] + 14) for month in range(12)] for year in years}
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


app.command()(retained)
app.command()(sight)


@app.command()
def unsure(
    plan: PlanArgument,
    most: Annotated[int, typer.Option(min=1, help="How many to show.")] = 20,
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """What is not known and matters: the facts in doubt, by how many findings would change with them."""
    from bedfellow.linter.engine import Options
    from bedfellow.linter.progress import progress
    from bedfellow.linter.repair.unsure import doubts, trials
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.table import table

    border = grown_border(plan, records)
    whole = sum(len(trial.plans) for trial in trials(border))
    with progress("judging the plan with other facts", whole) as tell:
        found = doubts(border, Options(), tell)
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
            " ".join(_all_codes(doubt)),
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
    write((table(("fact", "tried", "new", "gone", "checks"), lines) + "\n" if lines else "") + told, output)


def _codes(findings: Sequence[Finding]) -> list[dict[str, Any]]:
    return [{"code": finding.code, "keys": finding.keys} for finding in findings]


def _all_codes(doubt: Doubt) -> list[str]:
    return sorted({finding.code for finding in (*doubt.new, *doubt.gone)} | set(doubt.unjudged))


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
