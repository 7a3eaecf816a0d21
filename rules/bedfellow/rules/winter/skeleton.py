"""WINTER-01: what stands in January."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import pi
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.border import within
from bedfellow.rules.border.sight import elevation, longest_gap, occupied
from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import area

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
MID_JANUARY = 15


def missing_skeleton(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Too little of the frontage has a persistent form in January, or too little is evergreen."""
    left, right = border.frontage()
    if right - left <= 0:
        return
    standing = [p for p in border.plantings if _stands(p)]
    crowns = [(x, crown) for p in standing if (crown := border.crown(p, SEASON)) for x, _ in p.points]
    heights = elevation(left, right, crowns)
    form = occupied(heights, limits["height"])
    green = sum(
        len(p.points) * pi * crown.greatest_radius**2
        for p in border.plantings
        if p.evergreen and (crown := border.crown(p, SEASON))
    ) / sum(area(bed.outline) for bed in border.plan.borders)
    few_forms, little_green = round(form, 2) < limits["form"], round(green, 2) < limits["evergreen"]
    if not (few_forms or little_green):
        return
    brief = border.plan.brief
    matters = bool(brief and brief.winter_matters)
    level: Level = (
        ("error" if matters else "warning") if few_forms and little_green else ("warning" if matters else "note")
    )
    start, end = longest_gap(heights, limits["height"])
    cell = (right - left) / len(heights)
    where = (
        f" The largest gap is {metres((end - start) * cell)} long, from {metres(left + start * cell)} along the front."
        if end > start
        else ""
    )
    yield Finding(
        "WINTER-01", level, (),
        f"In January {form:.0%} of the frontage has a form of {metres(limits['height'])} or more, and {green:.0%} of the ground "
        f"is evergreen; a border that holds in winter has {limits['form']:.0%} and {limits['evergreen']:.0%}.{where}",
        ("plants",), (), {"form": round(form, 2), "evergreen": round(green, 2), "season": SEASON},
        mend="Add an evergreen at the largest gap.",
    )  # fmt: skip


def _stands(planting: Planting) -> bool:
    if planting.evergreen or planting.line.hedge or (planting.traits.yes("marcescent") and planting.line.clipped):
        return True
    return any(
        (window := planting.traits.window(trait)) is not None and within(window, MID_JANUARY)
        for trait in ("winter_outline", "bark", "standing_stems")
    )
