"""FILL-01 to -05: fillers that stay, that smother, that have no end, gaps without any, and those that go out too early."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil, sqrt
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed, month
from bedfellow.schema.values import FIRST_DAYS, YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.cover import Cells
    from bedfellow.rules.border.planting import Planting

SHORT = ("annual", "biennial")
SUMMERS, SUMMER, DAY = (1, 2), 7, 14
CLOSED = 0.9  # of the width in season 10


def stays(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Temporary plants that come again from the root, or that live for years and have no end date."""
    for planting in border.plantings:
        line, traits = planting.line, planting.traits
        if not planting.temporary or line.winter == "lifted" or planting.life_form in (*SHORT, "bulb"):
            continue
        mode, life = traits.word("spread_mode"), traits.measure("lifespan")
        if mode is None:
            yield Unjudged(planting.key, ("spread_mode",), planting.path)
        case = ""
        if mode == "running rhizome":
            case = "rhizome"
        elif traits.yes("perennial_taproot"):
            case = "taproot"
        elif life and life.typical > limits["years"] and not line.until and not planting.woody:
            case = "lives on"
        if not case or _killed(border, planting):
            continue
        yield Finding(
            "warning", (planting.key,), planting.path,
            {"plant": planting.title, "years": round(life.typical) if life else 0, "fills": listed(line.fills)}, case=case,
        )  # fmt: skip


def _killed(border: Border, planting: Planting) -> bool:
    """The winters here kill it."""
    here, bears = border.plan.site.minimum_temperature, planting.traits.tolerance("minimum_temperature")
    return bool(planting.traits.yes("half_hardy") or (here is not None and bears and here < bears.lower))


def smothers(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A filler that in its first summer is well above a young plant beside it: one finding a filler."""
    for filler in border.plantings:
        if not filler.temporary or filler.life_form == "bulb" or filler.traits.yes("see_through"):
            continue
        size = border.size(filler, 1)
        if size is None:
            yield Unjudged(filler.key, border.wanting_size(filler), filler.path)
            continue
        under = []
        for other in border.plantings:
            if other.temporary or other.life_form == "bulb" or other.supported or not border.present(other, 1):
                continue
            young, distance = border.size(other, 1), round(filler.distance_to(other), 2)
            if young and distance <= limits["within"] and size.height.typical > limits["taller"] * young.height.typical:
                under.append((distance, other, young.height.typical))
        if under:
            distance, _, height = min(under, key=lambda found: found[0])
            yield Finding(
                "warning", (filler.key, *sorted(other.key for _, other, _ in under)), filler.path,
                {"filler": filler.title, "plants": listed([other.title for _, other, _ in under]), "distance": distance,
                 "height": round(size.height.typical, 2), "young": round(height, 2), "within": limits["within"]},
                tuple((other.path, other.key) for _, other, _ in under),
            )  # fmt: skip


def no_end(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Lasting plants that fill a place meanwhile, and nobody says until when: one finding names all."""
    endless = [
        planting
        for planting in border.plantings
        if planting.line.fills
        and not planting.line.until
        and not planting.line.makes_way_for
        and planting.line.grown_as not in SHORT
        and planting.life_form not in SHORT
    ]
    if not endless:
        return
    seasons = [closes for planting in endless if (closes := _closes(border, planting)) is not None]
    yield Finding(
        "note", tuple(sorted(planting.key for planting in endless)), endless[0].path,
        {"plants": listed([planting.title for planting in endless]), "season": max(seasons, default=3)},
        tuple((planting.path, planting.key) for planting in endless[1:]), case="one" if len(endless) == 1 else "several",
    )  # fmt: skip


def _closes(border: Border, filler: Planting) -> int | None:
    """The season in which the plants whose place it fills are as good as grown."""
    lasting = [border.by_key[key] for key in filler.line.fills if key in border.by_key]
    found = []
    for planting in lasting:
        grown = border.size(planting, 10)
        if grown:
            widths = ((n, border.size(planting, n)) for n in range(1, 11))
            found.append(next(n for n, size in widths if size and size.spread.typical >= CLOSED * grown.spread.typical))
    return max(found, default=None)


def gap(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Ground that lies open in the first two summers, with neither a filler nor mulch: the largest place is told."""
    mulch = border.plan.mulch
    gravel = border.plan.borders and all(bed.style == "gravel" for bed in border.plan.borders)
    if gravel or (mulch and (mulch.depth or 0.0) >= limits["mulch"]):
        return
    day = FIRST_DAYS[border.month_here(SUMMER) - 1] + DAY
    first, second = (border.bare(season, day) for season in SUMMERS)
    largest: tuple[float, float, float] | None = None
    for (ground, cells), (_, later) in zip(first, second, strict=True):
        found = _square(cells & later, ceil(sqrt(limits["ground"]) / ground.size + 1e-6))
        if found:
            row, column, side = found
            across, deep = (
                ground.left + (column + side / 2) * ground.size,
                ground.front + (row + side / 2) * ground.size,
            )
            if largest is None or side * ground.size > largest[0]:
                largest = (side * ground.size, across, deep)
    if largest:
        width, x, y = largest
        yield Finding(
            "note", (), ("plants",), {"ground": round(width**2, 1), "limit": limits["ground"], "x": round(x, 1), "y": round(y, 1)}
        )  # fmt: skip


def _square(cells: Cells, side: int) -> tuple[int, int, int] | None:
    """(row, column, side) of the largest square of cells that are all true, of at least so many cells a side."""
    import numpy as np

    sums = np.pad(np.cumsum(np.cumsum(cells, axis=0), axis=1), ((1, 0), (1, 0)))
    found = None
    while side <= min(cells.shape):
        full = sums[side:, side:] - sums[:-side, side:] - sums[side:, :-side] + sums[:-side, :-side] == side * side
        if not full.any():
            break
        row, column = np.argwhere(full)[0]
        found, side = (int(row), int(column), side), side + 1
    return found


def before_frost(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Half-hardy plants that go out before the site's last frost."""
    last = border.plan.site.last_frost
    for planting in border.plantings:
        line, half_hardy = planting.line, planting.traits.yes("half_hardy")
        if line.out is None or line.winter == "fleeced":
            continue
        if half_hardy is None:
            yield Unjudged(planting.key, ("half_hardy",), planting.path)
        elif half_hardy and last is None:
            yield Unjudged(planting.key, ("the site's last_frost",), planting.path)
        elif half_hardy and last is not None and 0 < (last - line.out) % YEAR - limits["days"] < YEAR / 3:
            yield Finding(
                "error" if planting.traits.sourced("half_hardy") else "warning", (planting.key,), (*planting.path, "out"),
                {"plant": planting.title, "out": _told(line.out), "last": _told(last), "early": (last - line.out) % YEAR},
            )  # fmt: skip


def _told(day: int) -> str:
    number = month_of(day)
    return f"{day - FIRST_DAYS[number - 1] + 1} {month(number)}"
