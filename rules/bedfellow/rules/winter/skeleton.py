"""WINTER-01: what stands in January."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import pi
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.border.crown import crown_of
from bedfellow.rules.border.seasons import within
from bedfellow.rules.border.sight import elevation, longest_gap, occupied
from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import area
from bedfellow.schema.values import FIRST_DAYS

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

GROWN, YOUNG = 10, 3
STANDING = ("winter_outline", "bark", "standing_stems")


class Skeleton(NamedTuple):
    """form: share of the frontage, green: share of the ground, gap: the longest gap, from and to in metres."""

    form: float
    green: float
    gap: tuple[float, float]


def missing_skeleton(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Too little of the frontage has a persistent form in January, or too little is evergreen."""
    left, right = border.frontage()
    if right - left <= 0:
        return
    for planting in border.plantings:
        if planting.traits.word("foliage") is None and planting.life_form in ("tree", "shrub", "subshrub", "climber"):
            yield Unjudged(planting.key, ("foliage",), planting.path)
    season, found = GROWN, skeleton(border, GROWN, limits["height"])
    level = _level(border, found, limits)
    if level is None:
        season, found = YOUNG, skeleton(border, YOUNG, limits["height"])
        if found.form >= limits["form"] or found.green >= limits["evergreen"]:
            return
        level = "note"
    start, end = found.gap
    where = (
        f"The largest gap is {metres(end - start)} long, from {metres(start - left)} along the front."
        if end > start
        else ""
    )
    yield Finding(
        level, (), ("plants",),
        {"form": found.form, "evergreen": found.green, "height": limits["height"], "least_form": limits["form"],
         "least_evergreen": limits["evergreen"], "season": season, "where": where, "month": border.month_here(1)},
        case="young" if season == YOUNG else "grown",
    )  # fmt: skip


def _level(border: Border, found: Skeleton, limits: Mapping[str, Any]) -> Level | None:
    few_forms, little_green = found.form < limits["form"], found.green < limits["evergreen"]
    matters = bool(border.plan.brief and border.plan.brief.winter_matters)
    if few_forms and little_green:
        return "error" if matters else "warning"
    if few_forms or little_green:
        return "warning" if matters else "note"
    return None


def skeleton(border: Border, season: int, height: float) -> Skeleton:
    """What holds the border in January of the winter after a season."""
    left, right = border.frontage()
    here = [(p, crown) for p in border.of_the_bed if border.present(p, season) and (crown := border.crown(p, season))]
    standing = [(x, crown) for p, crown in here if stands(border, p) for x, _ in p.points]
    # A plant that is not known may be an evergreen of that height.
    standing += [(x, crown_of("columnar", 2 * height, 2 * radius)) for x, _, radius in border.strangers]
    heights = elevation(left, right, standing)
    circles = [(len(p.points), crown.greatest_radius) for p, crown in here if p.evergreen]
    green = sum(n * pi * radius**2 for n, radius in [*circles, *((1, radius) for *_, radius in border.strangers)])
    ground = sum(area(bed.outline) for bed in border.plan.borders)
    start, end = longest_gap(heights, height)
    cell = (right - left) / len(heights)
    return Skeleton(
        round(occupied(heights, height), 2), round(green / ground, 2), (left + start * cell, left + end * cell)
    )


def stands(border: Border, planting: Planting) -> bool:
    """The planting has a form in January."""
    if planting.evergreen:
        return True
    if border.cut_down(planting, border.month_here(1)) or planting.line.coppiced:
        return False
    # The twigs of a shrub are a form, leaves or none.
    if planting.life_form in ("tree", "shrub") and not planting.line.cut_back:
        return True
    middle = FIRST_DAYS[border.month_here(1) - 1] + 14
    return any((window := border.window(planting, trait)) and within(window, middle) for trait in STANDING)
