"""BULB-02 to -06: holes left in summer, bulbs that are smothered, cut too early, set too close or dug up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed
from bedfellow.schema.geometry import inside
from bedfellow.schema.values import FIRST_DAYS, YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.details import Task

SEASON = 3
MOST = 0.5  # of a drift's members
SUMMER = (5, 8)
CUTS = ("cut", "mow", "shear", "strim", "clip")
HEADS = ("head", "flower")  # taken off, they leave the leaves
WELCOME = ("allowed", "tolerated")
BY_HAND = 0.15  # m: a trowel beside a bulb turns it up


def summer_hole(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Perennials that die down in summer where nothing stands over their place afterwards."""
    for planting in border.plantings:
        decline, dormant = border.window(planting, "die_back"), planting.traits.word("foliage") == "summer-dormant"
        if planting.life_form != "perennial" or planting.temporary or planting.traits.yes("regrows_after_cutting"):
            continue
        if decline is None:
            if dormant:
                yield Unjudged(planting.key, (border.wanting(planting, "die_back"),), planting.path)
            continue
        if not border.in_months((decline.start.typical + decline.end.typical) / 2, *SUMMER):
            continue
        if border.size(planting, SEASON) is None:
            yield Unjudged(planting.key, border.wanting_size(planting), planting.path)
            continue
        ground = border.ground_taken(planting, SEASON)
        day = decline.end.typical + 7
        left = sum(not _filled(border, planting, point, day, limits["within"]) for point in planting.points)
        if round(ground, 2) <= limits["ground"] or left <= MOST * len(planting.points):
            continue
        yield Finding(
            "warning", (planting.key,), planting.path,
            {"plant": planting.title, "key": planting.key, "ground": round(ground, 1), "within": limits["within"],
             "gone": month_of(int((decline.end.typical - 1) % YEAR) + 1)},
        )  # fmt: skip


def _filled(border: Border, planting: Planting, point: tuple[float, float], day: float, within: float) -> bool:
    """Another plant in leaf then stands over this place, or near it; one that is not known may."""
    if any(dist(point, (x, y)) <= max(within, radius) for x, y, radius in border.strangers):
        return True
    for other in border.standing:
        if other.number == planting.number or not border.present(other, SEASON) or not border.in_leaf(other, day):
            continue
        crown = border.crown_on(other, SEASON, day)
        reach = max(within, crown.greatest_radius if crown else 0.0)
        if crown and any(dist(point, stem) <= reach for stem in other.points):
            return True
    return False


def smothered(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Bulbs under a plant that no bulb comes up through, which is a mat or taller than they flower: one finding a drift."""
    for bulbs in border.plantings:
        flower, size = border.window(bulbs, "flower"), border.size(bulbs, SEASON)
        if not _stays(bulbs) or flower is None or size is None:
            continue
        day = (flower.start.typical + flower.end.typical) / 2
        over = []
        for other in border.plantings:
            cover = border.size(other, SEASON)
            if other.woody or other.life_form == "bulb" or other.temporary or cover is None:
                continue
            if bulbs.distance_to(other) > cover.spread.typical or not (crown := border.crown_on(other, SEASON, day)):
                continue
            mat = other.traits.word("habit") == "mat" and other.evergreen
            if not (mat or crown.top > limits["height"] * size.height.typical) or not border.in_leaf(other, day):
                continue
            if _share_under(bulbs, other, crown.greatest_radius) < MOST or _sheared(border, other, flower.end.typical):
                continue
            through = other.traits.yes("lets_bulbs_through")
            if through is None:
                yield Unjudged(other.key, ("lets_bulbs_through",), other.path)
            elif not through:
                over.append((crown.top, other))
        if over:
            top, tallest = max(over, key=lambda found: found[0])
            yield Finding(
                "warning", tuple(sorted([bulbs.key, *(other.key for _, other in over)])), bulbs.path,
                {"plant": bulbs.title, "over": listed([other.title for _, other in over]), "key": tallest.key, "top": round(top, 2),
                 "height": size.height.typical, "month": month_of(int((day - 1) % YEAR) + 1)},
                tuple((other.path, other.key) for _, other in over),
            )  # fmt: skip


def _stays(planting: Planting) -> bool:
    """A bulb that is left in the ground for years."""
    line = planting.line
    left = line.winter != "lifted" and planting.traits.yes("returns_yearly") is not False
    return planting.life_form == "bulb" and not planting.temporary and left


def _share_under(bulbs: Planting, other: Planting, radius: float) -> float:
    """Share of a drift's members that stand under the leaves of another plant."""
    under = sum(any(dist(point, stem) < radius for stem in other.points) for point in bulbs.points)
    return under / len(bulbs.points) if bulbs.points else 0.0


def _sheared(border: Border, cover: Planting, day: float) -> bool:
    """It is cut within the three months before the bulbs have flowered, or kept short."""
    return cover.clipped or any(
        task.month and (day - FIRST_DAYS[task.month - 1]) % YEAR < 92
        for task in border.plan.tasks
        if _cuts(task, cover)
    )


def _cuts(task: Task, planting: Planting) -> bool:
    """The task takes the leaves of a planting off."""
    words = task.task.lower()
    return planting.key in task.plants and any(w in words for w in CUTS) and not any(w in words for w in HEADS)


def cut_early(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A task cuts bulb leaves before they have fed the bulb: one finding a task."""
    for task in border.plan.tasks:
        early: list[tuple[float, Planting]] = []
        for bulbs in border.plantings:
            if not _stays(bulbs) or task.month is None or not _cuts(task, bulbs):
                continue
            flower, leaf = border.window(bulbs, "flower"), border.window(bulbs, "in_leaf")
            if flower is None or leaf is None:
                wanting = [border.wanting(bulbs, t) for t in ("flower", "in_leaf") if border.window(bulbs, t) is None]
                yield Unjudged(bulbs.key, tuple(wanting), bulbs.path)
                continue
            decline = border.window(bulbs, "die_back")
            # Leaves that come up after the flowers are needed until they decline.
            until = (
                flower.end.typical + 7 * limits["weeks"]
                if flower.end.typical > leaf.start.typical
                else leaf.end.typical
            )
            until = min(until, decline.end.typical if decline else leaf.end.typical)
            last = FIRST_DAYS[task.month] - 1.0
            if any(leaf.start.typical <= day < until for day in (last, last + YEAR)):
                early.append((until, bulbs))
        if early:
            until, latest = max(early, key=lambda found: found[0])
            yield Finding(
                "warning", tuple(sorted(bulbs.key for _, bulbs in early)), task.path,
                {"plants": listed([bulbs.title for _, bulbs in early]), "month": task.month, "task": task.task, "key": latest.key,
                 "from": month_of(int((until - 1) % YEAR) + 1), "weeks": limits["weeks"]},
                tuple((bulbs.path, bulbs.key) for _, bulbs in early), apart=(str(task.month),),
            )  # fmt: skip


def density(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A drift of bulbs far closer or wider than they are usually set."""
    for bulbs in border.plantings:
        line = bulbs.line
        if bulbs.life_form != "bulb" or not line.ground or line.scattered or line.mix:
            continue
        usual = bulbs.traits.measure("density")
        if usual is None:
            yield Unjudged(bulbs.key, ("density",), bulbs.path)
            continue
        found = round(line.number / line.ground, 1)
        dense = found > limits["dense"] * usual.high
        if not dense and (found >= limits["sparse"] * usual.low or line.under or line.clumps):
            continue
        yield Finding(
            "note", (bulbs.key,), bulbs.path,
            {"plant": bulbs.title, "found": found, "low": usual.low, "high": usual.high, "number": round(line.ground * usual.typical),
             "source": border.source(bulbs, "density")},
            case="dense" if dense else "sparse",
        )  # fmt: skip


def dug_up(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Bulbs that stay, set where bedding is dug in each year."""
    bedding = [p for p in border.plantings if _bedding(p)]
    for bulbs in border.plantings if bedding else ():
        depth = bulbs.line.depth or getattr(bulbs.traits.measure("planting_depth"), "typical", 0.0)
        if not _stays(bulbs) or depth >= limits["depth"]:
            continue
        over = [other for other in bedding if _among(bulbs, other)]
        if over:
            yield Finding(
                "warning", (bulbs.key, *(other.key for other in over)), bulbs.path,
                {"plant": bulbs.title, "bedding": listed([other.title for other in over]), "depth": limits["depth"]},
                tuple((other.path, other.key) for other in over),
            )  # fmt: skip


def _bedding(planting: Planting) -> bool:
    yearly = planting.line.grown_as == "annual" or planting.life_form == "annual"
    return yearly and planting.life_form != "bulb" and planting.line.status not in WELCOME


def _among(bulbs: Planting, bedding: Planting) -> bool:
    """Half of the bulbs or more stand on the ground of the bedding, or a hand's breadth from one of its plants."""
    outline = bedding.line.outline
    hit = sum(
        inside(point, outline) if outline else any(dist(point, stem) <= BY_HAND for stem in bedding.points)
        for point in bulbs.points
    )
    return hit >= MOST * len(bulbs.points) > 0
