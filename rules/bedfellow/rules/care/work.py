"""CARE-01, -04, -05 and -06: hours, staking, renewal and water."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import UNRECOGNISED, Finding, Level, Unjudged
from bedfellow.rules.words import listed
from bedfellow.schema.geometry import area

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 3
# Hours a square metre and year by kind of planting. Records of trial gardens run from 0.03 to 0.29 (published, read
# second-hand); these are scaled for visits to a private garden: common practice.
LOW, EASY, MIXED, INTENSIVE, BEDDING = 0.05, 0.10, 0.25, 0.35, 0.60
SURELY = 0.7  # of the hours that are reckoned, at the favourable end
FIRST_YEARS = 1.75
PROPS = ("stak", "support", "tie", "prop")
RENEWS = ("renew", "replac", "divid")
WINDY = ("exposed", "seafront")
GROWS = (4, 8)  # planted in leaf, from April to August


def hours(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Care takes more hours a year than the brief allows."""
    brief = border.plan.brief
    beds = sum(area(bed.outline) for bed in border.plan.borders)
    grounds = [
        (border.ground_taken(planting, SEASON), planting)
        for planting in border.of_the_bed
        if planting.life_form != "bulb"
    ]
    planted = sum(ground for ground, _ in grounds)
    if brief is None or not brief.hours_a_year or planted <= 0:
        return
    is_limit = bool(brief.hours_are_a_limit)
    if border.strangers:
        yield UNRECOGNISED
        return
    works = [(beds * ground / planted * _rate(planting), planting) for ground, planting in grounds]
    needed, allowed = sum(work for work, _ in works), brief.hours_a_year
    if needed <= limits["over"] * allowed:
        return
    surely = is_limit and SURELY * needed > limits["over"] * allowed
    most = [planting for _, planting in sorted(works, key=lambda found: -found[0])[:3]]
    yield Finding(
        "error" if surely else "warning", (), (*brief.path, "hours_a_year"),
        {"needed": round(needed), "allowed": allowed, "first": round(FIRST_YEARS * needed), "most": listed([p.title for p in most])},
        tuple((planting.path, planting.key) for planting in most),
    )  # fmt: skip


def _rate(planting: Planting) -> float:
    """Hours a square metre and year of its kind of planting."""
    if planting.temporary:
        return BEDDING
    if planting.traits.yes("needs_staking") or planting.line.deadheaded:
        return INTENSIVE
    if planting.woody or planting.life_form == "subshrub" or planting.traits.word("habit") == "mat":
        return LOW
    return EASY if planting.life_form in ("fern", "grass") or "full shade" in planting.traits.words("light") else MIXED


def unstaked(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Tall plants that fall over, in the open, and no task to stake them: one finding names all."""
    exposure = border.plan.site.exposure
    if exposure == "sheltered":
        return
    tallest = limits["windy"] if exposure in WINDY else limits["height"]
    falling = []
    for planting in border.plantings:
        size, needs = border.size(planting, SEASON), planting.traits.yes("needs_staking")
        if planting.woody or planting.supported or planting.line.mix or size is None or size.height.typical < tallest:
            continue
        if needs is None:
            yield Unjudged(planting.key, ("needs_staking",), planting.path)
        elif needs and not _has_task(border, planting, PROPS):
            falling.append((size.height.typical, planting))
    if falling:
        yield Finding(
            "warning", tuple(sorted(planting.key for _, planting in falling)), falling[0][1].path,
            {"plants": listed([planting.title for _, planting in falling]), "height": round(max(height for height, _ in falling), 2),
             "keys": listed([planting.key for _, planting in falling]), "exposure": exposure or "open", "month": border.month_here(5)},
            tuple((planting.path, planting.key) for _, planting in falling[1:]), case="one" if len(falling) == 1 else "several",
        )  # fmt: skip


def _has_task(border: Border, planting: Planting, words: tuple[str, ...]) -> bool:
    return any(
        any(word in task.task.lower() for word in words) and (not task.plants or planting.key in task.plants)
        for task in border.plan.tasks
    )


def short_lived(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Much of the planting is gone in a few years."""
    if border.strangers:
        yield UNRECOGNISED
        return
    whole, brief_ground, brief_lives = 0.0, 0.0, []
    for planting in border.plantings:
        if planting.temporary or planting.life_form == "bulb" or planting.line.status in ("allowed", "tolerated"):
            continue
        life = planting.traits.measure("lifespan")
        if life is None:
            yield Unjudged(planting.key, ("lifespan",), planting.path)
            continue
        ground = border.ground_taken(planting, SEASON)
        whole += ground
        if life.typical < limits["years"] and not _has_task(border, planting, RENEWS):
            brief_ground += ground
            brief_lives.append(planting)
    share = round(brief_ground / whole, 2) if whole else 0.0
    if share > limits["note"]:
        yield Finding(
            "warning" if share > limits["warning"] else "note", tuple(sorted(planting.key for planting in brief_lives)),
            brief_lives[0].path,
            {"share": share, "years": limits["years"], "plants": listed([planting.title for planting in brief_lives])},
            tuple((planting.path, planting.key) for planting in brief_lives[1:]),
        )  # fmt: skip


def no_water(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Nobody waters in the first two summers, where planting in leaf, dry soil or heat makes that likely to fail."""
    site, beds = border.plan.site, border.plan.borders
    watered = any(bed.irrigated or bed.soil == "irrigated" for bed in beds)
    watered = watered or any(ground.kind == "irrigated" for ground in border.plan.soil_areas)
    if watered or not border.plantings or any("water" in task.task.lower() for task in border.plan.tasks):
        return
    planted = border.plan.planted[1] if border.plan.planted else None
    reasons: list[tuple[Level, str]] = []
    if planted in [border.month_here(month) for month in range(GROWS[0], GROWS[1] + 1)]:
        reasons.append(("warning", "in_leaf"))
    if site.moisture == "dry":
        reasons.append(("warning", "dry"))
    if site.hottest_month_maximum is not None and site.hottest_month_maximum >= limits["hot"]:
        reasons.append(("note", "hot"))
    if reasons:
        level, case = reasons[0]
        yield Finding(
            level, (), ("plants",), {"month": planted or 0, "hottest": site.hottest_month_maximum or 0.0}, case=case
        )  # fmt: skip
