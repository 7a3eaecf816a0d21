"""LIGHT-06 and LIGHT-07: coloured leaves, and clematis, that want their own light."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.light.exposure import SUN
from bedfellow.schema.values import YEAR

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 3
DRY = ("dry", "well-drained")
DARK = (
    "purplish red",
    "reddish purple",
    "reddish brown",
    "blackish red",
    "dark red",
    "blackish purple",
    "grayish purple",
)
WINTER = (305, 60)  # November to February


def wrong_light_for_colour(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Golden leaves that scorch in hot sun on dry soil, and purple leaves that turn green for want of it."""
    if border.plan.site.latitude is None:
        return  # LIGHT-01 says so
    coloured = [p for p in border.plantings if not p.temporary and not p.supported and (_golden(p) or _purple(p))]
    lit = border.light(coloured, SEASON)
    green: list[Planting] = []
    for planting in coloured:
        if planting.number not in lit:
            continue
        hours = round(lit[planting.number][0], 1)
        if _purple(planting):
            green += [planting] if hours < limits["purple"] else []
            continue
        scorches = planting.traits.yes("scorches")
        if hours <= limits["gold"] or border.soil(planting).moisture not in DRY or scorches is False:
            continue
        if scorches is None:
            yield Unjudged(planting.key, ("scorches",), planting.path)
            continue
        yield Finding(
            "warning", (planting.key,), planting.place,
            {"plant": planting.title, "key": planting.key, "hours": hours, "moisture": border.soil(planting).moisture or ""},
            case="gold",
        )  # fmt: skip
    yield from _note(green, "purple")


def _golden(planting: Planting) -> bool:
    """Its leaves are yellow first of all; greens that lean to yellow are none."""
    first = (planting.traits.words("leaf_colour") or ("",))[0]
    return first.endswith("yellow")


def _purple(planting: Planting) -> bool:
    first = (planting.traits.words("leaf_colour") or ("",))[0]
    return SUN in planting.traits.words("light") and first.endswith(DARK)


def clematis(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Clematis whose head is in shade, or whose roots are in the sun at the foot of a dry warm wall."""
    if border.plan.site.latitude is None:
        return  # LIGHT-01 says so
    climbers = [
        p for p in border.plantings
        if p.life_form == "climber" and p.traits.name.startswith("Clematis ") and p.points and not _in_winter(border, p)
    ]  # fmt: skip
    lit = border.light(climbers, SEASON)
    heads = [p for p in climbers if p.number in lit and round(lit[p.number][0], 1) < limits["head"]]
    feet = [
        p for p in climbers
        if p not in heads and border.soil(p).moisture in DRY and border.warm_wall(p, limits["wall"]) and not _shaded_foot(border, p)
    ]  # fmt: skip
    yield from _note(heads, "head")
    yield from _note(feet, "feet")


def _in_winter(border: Border, planting: Planting) -> bool:
    window = border.window(planting, "flower")
    if window is None:
        return False
    day = (window.start.typical - border.later) % YEAR
    return day >= WINTER[0] or day < WINTER[1]


def _shaded_foot(border: Border, climber: Planting) -> bool:
    """Leaves of another plant, or of one that is not known, are over its foot."""
    foot = climber.points[0]
    circles = list(border.strangers)
    for other in border.plantings:
        if other is not climber and not other.supported and (crown := border.crown(other, SEASON)):
            circles += [(x, y, crown.greatest_radius) for x, y in other.points]
    return any(dist(foot, (x, y)) <= radius for x, y, radius in circles)


def _note(plantings: Sequence[Planting], case: str) -> Iterator[Finding]:
    if plantings:
        yield together("note", plantings, plantings[0].place, case=case)
