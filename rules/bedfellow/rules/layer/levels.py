"""LAYER-02 and LAYER-05: the levels of a border, from ground cover to what stands over eye height."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.stature import STRANGER
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed
from bedfellow.schema.geometry import area, inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
COVERS = 2  # class of spread from which a low plant counts as ground cover
COVERING = ("mat", "mound", "rosette", "scrambling")
OPEN = ("gravel", "woodland")


def styles(border: Border) -> set[str]:
    """Every style that the brief and the beds name."""
    brief = border.plan.brief
    return {style for style in (brief.style if brief else None, *(bed.style for bed in border.plan.borders)) if style}


def missing(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Too little ground cover, too little of middle height, or nothing over it."""
    beds = border.plan.borders
    size = sum(area(bed.outline) for bed in beds)
    if size < limits["least_area"] or styles(border) & set(OPEN):
        return
    shares = _shares(border, limits)
    lacking = [level for level in ("ground", "middle") if round(shares[level], 2) < limits[level]]
    windows = any(structure.windows for structure in border.plan.structures)
    if not windows and not _reaches_up(border, limits["top_from"]):
        lacking.append("top")
    if not lacking:
        return
    named = {
        "ground": f"ground cover on {shares['ground']:.0%} of the area",
        "middle": f"middle height on {shares['middle']:.0%}",
        "top": "nothing that stands over it",
    }
    yield Finding(
        "note" if len(lacking) == 1 else "warning", (), beds[0].path,
        {"lacking": [named[level] for level in lacking], "ground": round(shares["ground"], 2),
         "middle": round(shares["middle"], 2), "season": SEASON},
    )  # fmt: skip


def _level(border: Border, planting: Planting, limits: Mapping[str, Any]) -> str:
    """ground, middle or top by the height of its leaves; empty for what is in none."""
    leafy = border.foliage_height(planting, SEASON) or 0.0
    if leafy >= limits["top_from"]:
        return "top"
    if leafy > limits["low"]:
        return "middle"
    covers = planting.traits.word("habit") in COVERING or (planting.traits.step("spread_rate") or 0) >= COVERS
    return "ground" if covers and planting.life_form != "bulb" else ""


def _shares(border: Border, limits: Mapping[str, Any]) -> dict[str, float]:
    """Share of all beds under ground cover, and under what has leaves between it and the top.

    What is not known, or whose size is not, counts for both.
    """
    from bedfellow.rules.border.cover import ground_of, layers

    ground, middle = list(border.strangers), list(border.strangers)
    for planting in border.plantings:
        crown = border.crown(planting, SEASON)
        if planting.supported or not border.present(planting, SEASON):
            continue
        circles = [(x, y, crown.greatest_radius if crown else STRANGER / 2) for x, y in planting.points]
        if crown is None or _level(border, planting, limits) == "ground":
            ground += circles
        if crown is None or (crown.top > limits["low"] and crown.base < limits["top_from"]):
            middle += circles
    grounds = [ground_of(bed.outline) for bed in border.plan.borders]
    found = [(bed.area, layers(bed, {"ground": ground, "middle": middle})) for bed in grounds]
    size = sum(part for part, _ in found) or 1.0
    return {level: sum(part * shares[level] for part, shares in found) / size for level in ("ground", "middle")}


def _reaches_up(border: Border, height: float) -> bool:
    """Something stands so high, or may: what is not known may be it."""
    sizes = [border.size(planting, SEASON) for planting in border.plantings]
    retained = [standing.kept.height for standing in border.retained]
    known = all(sizes) and all(retained) and not border.unknown_names
    return not known or any(top >= height for top in (*(size.height.typical for size in sizes if size), *retained))


def too_shallow(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A bed too shallow for three levels, or for a large shrub."""
    for number, bed in enumerate(border.plan.borders):
        depth = round(bed.depth, 2)
        if depth >= max(limits["three_levels"], limits["large_shrub"]):
            continue
        free = [
            planting
            for planting in border.plantings
            if not planting.supported and any(inside(point, bed.outline) for point in planting.points[:1])
        ]
        large = [
            planting.title
            for planting in free
            if planting.life_form == "shrub"
            and (size := border.size(planting, SEASON))
            and size.spread.typical >= limits["large"]
        ]
        levels = {_level(border, planting, limits) for planting in free} - {""}
        if depth < limits["three_levels"] and len(levels) == 3:
            case = "levels"
        elif depth < limits["large_shrub"] and large:
            case = "shrub"
        else:
            continue
        evidence = {"depth": depth, "shrubs": listed(large)}
        yield Finding("note", (), bed.path, evidence, apart=(str(number),), case=case)
