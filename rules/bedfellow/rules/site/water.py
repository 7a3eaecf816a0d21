"""SITE-06 to SITE-08: ground that is drier than the site, and neighbours that want different ground."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.site.soil import steps_off
from bedfellow.rules.site.wind import WINDWARD, turn
from bedfellow.schema.geometry import inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

WALLS = ("wall", "building")
MOIST = ("moist", "wet")
SEASON, DARK = 10, 0.05  # share of light under which LIGHT-08 speaks
WRONG = 2  # steps from which SITE-02 tells that the ground is wrong
DEEP = ("tree", "shrub")


def dry_wall_foot(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants moisture, in the rain shadow of a wall or its eaves."""
    walls = [s for s in border.plan.structures if s.kind in WALLS and len(s.points) >= 2]
    for planting in border.plantings:
        least = limits["climber" if planting.life_form == "climber" else "distance"]
        near = [
            (dist(point, foot), wall)
            for wall in walls
            for point in planting.points
            if round(dist(point, foot := wall.nearest_to(point)), 2) < max(least, wall.eaves or 0.0)
            and (wall.eaves or not _rained_on(border, foot, point))
        ]
        if not near or planting.temporary or watered(border, planting):
            continue
        moisture, drought = planting.traits.tolerance("moisture"), planting.traits.step("drought")
        if moisture is None or drought is None:
            known = (("moisture", moisture), ("drought", drought))
            yield Unjudged(planting.key, tuple(name for name, value in known if value is None), planting.path)
            continue
        if moisture.lower < limits["moisture"] or drought > limits["drought"]:
            continue
        distance, wall = min(near, key=lambda one: one[0])
        wanted = max(least, wall.eaves or 0.0)
        yield Finding(
            "warning", (planting.key,), planting.place,
            {"plant": planting.title, "key": planting.key, "wall": wall.kind, "distance": round(distance, 2), "wanted": wanted,
             "move": round(wanted - distance, 2)},
            ((wall.path, f"the {wall.kind}"),),
        )  # fmt: skip


def _rained_on(border: Border, foot: tuple[float, float], point: tuple[float, float]) -> bool:
    """The face looks towards the wind that brings the rain."""
    site = border.plan.site
    if site.prevailing_wind is None or (site.faces is None and site.north is None) or foot == point:
        return False
    return turn(border.bearing(foot, point), site.prevailing_wind) <= WINDWARD


def watered(border: Border, planting: Planting) -> bool:
    """The plan waters it: irrigation in its bed or ground, or a task."""
    plan = border.plan
    ground = [bed.outline for bed in plan.borders if bed.irrigated]
    ground += [area.outline for area in plan.soil_areas if area.kind == "irrigated"]
    if any(inside(point, outline) for outline in ground for point in planting.points[:1]):
        return True
    return any("water" in task.task.lower() and (not task.plants or planting.key in task.plants) for task in plan.tasks)


def dry_shade(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Plants that do not bear dry shade, beneath an established tree or among its roots; one finding a tree."""
    trees = [standing for standing in border.retained if standing.is_tree]
    below: dict[int, list[Planting]] = {}
    for planting in border.plantings if trees else ():
        moisture = border.soil(planting).moisture
        if planting.life_form in ("bulb", "tree") or planting.temporary or moisture in MOIST:
            continue
        dry = moisture in ("dry", "well-drained")
        over = next((index for index, tree in enumerate(trees) if _beneath(tree, planting, dry)), None)
        if over is None or (border.plan.mulch and watered(border, planting)):
            continue
        bears = planting.traits.yes("bears_dry_shade")
        if bears is None:
            yield Unjudged(planting.key, ("bears_dry_shade",), planting.path)
        elif not bears:
            below.setdefault(over, []).append(planting)
    suffering = [planting for plantings in below.values() for planting in plantings]
    lit = border.light(suffering, SEASON) if border.plan.site.latitude is not None else {}
    for index, plantings in below.items():
        dark = [planting for planting in plantings if _suffers(planting, lit.get(planting.number), limits)]
        if dark:
            tree = trees[index]
            yield together(
                "warning",
                dark,
                dark[0].place,
                {"tree": tree.title},
                (),
                ((tree.kept.path, "the tree"),),
                apart=tree.kept.key,
            )


def _suffers(planting: Planting, light: tuple[float, float, float, float] | None, limits: Mapping[str, Any]) -> bool:
    """On the sunny side of a tree what bears drought does well; where there is no light at all LIGHT-08 says so."""
    if light is None:
        return True
    share = round(light[3], 2)
    bears_drought = (planting.traits.step("drought") or 0) >= limits["drought"]
    return share >= DARK and not (bears_drought and share >= limits["share"])


def _beneath(tree: Planting, planting: Planting, dry: bool) -> bool:
    """The middle member stands under the tree's crown or, on dry soil, among its roots."""
    apart = sorted(dist(point, tree.kept.at) for point in planting.points)
    middle = apart[len(apart) // 2] if apart else None
    reach = max(tree.reach or 0.0, (tree.root_radius or 0.0) if dry else 0.0)
    return middle is not None and middle <= reach


def mixed_needs(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Neighbours of which one wants ground far wetter than the other."""
    for pair in border.neighbours(SEASON):
        a, b = pair.first, pair.second
        if (
            pair.distance >= limits["apart"]
            or (a.life_form in DEEP) != (b.life_form in DEEP)
            or a.temporary
            or b.temporary
        ):
            continue
        wants = [planting.traits.tolerance("moisture") for planting in (a, b)]
        if any(steps_off(border, planting) >= WRONG for planting in (a, b)) or not all(wants):
            continue  # SITE-02 tells of what stands in the wrong ground, or is not known
        (low, dry), (high, wet) = sorted(
            (((want.lower + want.upper) / 2, planting) for want, planting in zip(wants, (a, b), strict=True) if want),
            key=lambda one: one[0],
        )
        if high - low < limits["steps"]:
            continue
        yield Finding(
            "warning", tuple(sorted((a.key, b.key))), wet.place,
            {"wet": wet.title, "dry": dry.title, "distance": round(pair.distance, 2), "steps": high - low},
            ((dry.place, f"{dry.key} stands here"),),
        )  # fmt: skip
