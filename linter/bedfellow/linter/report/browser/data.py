"""What the page is told of a plan, for its scripts to look up: nothing of it is worked out in the browser.

seasons, months    what the sliders run over; years: in which each month of a season falls
plants             a planting each: name, place in the file, where its members stand; by month leaf and flower; by season the
                   numbers of its crowns, one or twelve
crowns, profiles   see `growth.Grown`           light     see `light.Cells`; hours by season and month
elevation          heights of the border seen from the front, by season and month
findings           number, level, words, line of the file, the plants and structures it is about
ground, views      beds, surfaces and structures; places that the border is seen from
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.browser.findings import Entry
from bedfellow.linter.report.browser.growth import MONTHS, SEASONS, UP, Grown, interest, leaves, paint
from bedfellow.linter.report.browser.light import cells_of, hours
from bedfellow.linter.report.browser.text import Shelf, packed
from bedfellow.linter.report.parts import file_name
from bedfellow.linter.report.plain import plain
from bedfellow.schema.values import MONTHS as NAMES
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

MOST_COLUMNS = 600  # of the elevation: of a longer border several parts of 0.1 m are told as one, by the highest


def told(result: Result, entries: Sequence[Entry], season: int, tell: Callable[[int], None]) -> dict[str, Any]:
    """Everything, as plain data. season: with which the page opens; tell: is told how many seasons are done."""
    border = result.border
    assert border is not None
    grown = Grown(border)
    of_the_bed = {planting.number for planting in border.of_the_bed}
    plants = [
        _plant(result, border, planting) | {"bed": planting.number in of_the_bed and not planting.supported}
        for planting in border.standing
    ]
    for planting, plant in zip(border.standing, plants, strict=True):
        plant["crowns"] = [grown.season(planting, number) for number in SEASONS]
    views = [view._asdict() | {"name": plain(view.name)} for view in border.views]
    return {
        "seasons": SEASONS, "months": NAMES, "years": _years(border), "season": season, "month": border.month_here(7), "file": file_name(result),
        "plants": plants, "crowns": grown.crowns, "profiles": grown.profiles, "up": [round(up, 4) for up in UP],
        **_by_season(border, grown, plants, tell), "findings": [_finding(entry) for entry in entries],
        "ground": _ground(border), "views": views, "box": border.box,
    }  # fmt: skip


def _years(border: Border) -> list[list[int]] | None:
    """The year in which each month of each season falls; None where the plan does not say when it is planted."""
    planted = border.plan.planted
    if planted is None:
        return None
    possible = range(planted[0] - 1, planted[0] + max(SEASONS) + 3)
    by_month = [{border.season_of((year, month)): year for year in possible} for month in MONTHS]
    return [[years[season] for years in by_month] for season in SEASONS]


def _plant(result: Result, border: Border, planting: Planting) -> dict[str, Any]:
    looked_at = interest(border, planting)
    flower, autumn = looked_at.get("flower"), looked_at.get("autumn_colour")
    line = result.document.span(planting.path)
    return {
        "key": plain(planting.key), "name": plain(planting.traits.name), "title": plain(planting.title),
        "woody": planting.woody, "herb": planting.rises_yearly, "supported": planting.supported, "kept": bool(planting.kept),
        "at": [[round(x, 3), round(y, 3)] for x, y in planting.points],
        "place": f"{line.start_line}:{line.start_column}", "line": plain(result.document.line(line.start_line).strip()),
        "leaf": leaves(border, planting), "leaves": paint(planting.traits.words("leaf_colour")),
        "flower": flower and {"months": flower["months"], "paint": paint(flower["colours"]), "words": plain(", ".join(flower["colours"]))},
        "autumn": autumn and {"months": autumn["months"], "paint": paint(autumn["colours"])},
    }  # fmt: skip


def _by_season(
    border: Border, grown: Grown, plants: Sequence[dict[str, Any]], tell: Callable[[int], None]
) -> dict[str, Any]:
    """Light and elevation, each None where it cannot be told: without a bed neither, without a latitude no light."""
    if not border.plan.borders:
        return {"light": None, "elevation": None}
    cells = cells_of(border) if border.plan.site.latitude is not None else None
    light, lines, heights = [], Shelf(), []
    for number, season in enumerate(SEASONS):
        if cells is not None and cells.places:
            light.append(hours(border, cells, season))
        standing: dict[tuple[int, ...], int] = {}
        row = []
        for month in MONTHS:
            # Where every crown is as in another month, so is the elevation.
            crowns = tuple(_of_month(plant["crowns"][number], month) for plant in plants)
            if crowns not in standing:
                standing[crowns] = lines.of(_skyline(border, season, month))
            row.append(standing[crowns])
        heights.append(row)
        tell(number + 1)
    left, right = border.frontage()
    return {
        "light": {**cells.data, "hours": light} if cells is not None and light else None,
        "elevation": {"left": left, "right": right, "lines": lines.things, "heights": heights},
    }


def _of_month(crowns: Sequence[int], month: int) -> int:
    return crowns[0] if len(crowns) == 1 else crowns[month - 1]


def _skyline(border: Border, season: int, month: int) -> str:
    heights = border.front_elevation(season, middle_of(month))
    step = -(-len(heights) // MOST_COLUMNS)
    return packed((100 * max(heights[at : at + step]) for at in range(0, len(heights), step)), 3)


def _finding(entry: Entry) -> dict[str, Any]:
    return {
        "number": entry.number, "level": entry.finding.level, "code": entry.finding.code, "name": entry.name,
        "message": plain(entry.finding.message), "mend": plain(entry.finding.mend), "tried": plain(entry.tried), "plants": entry.plants, "structures": entry.structures,
        "place": entry.place, "line": entry.line,
    }  # fmt: skip


def _ground(border: Border) -> dict[str, Any]:
    plan = border.plan
    return {
        "beds": [bed.outline for bed in plan.borders],
        "surfaces": [{"kind": plain(one.kind), "outline": one.ground} for one in plan.surfaces if len(one.ground) > 2],
        "structures": [
            {"kind": plain(one.kind), "key": plain(one.key or ""), "points": one.points, "height": one.height}
            for one in plan.structures
        ],
    }
