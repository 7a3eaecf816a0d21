"""SPACE-05 to SPACE-07: crowns that reach over an edge, over a boundary or into a wall."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import box, distance_to, inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.crown import Crown
    from bedfellow.rules.border.planting import Planting

SEASON, GROWN = 10, 40
MOWN, WALKED = ("lawn",), ("path",)
SOLID = ("wall", "building", "fence", "retaining wall")


def over_edge(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Leaves that the mower meets, or that leave too little of a path to walk on."""
    strip = any((bed.mowing_strip or 0.0) >= limits["strip"] for bed in border.plan.borders)
    edges = [s for s in border.plan.surfaces if s.kind in WALKED or (s.kind in MOWN and not strip)]
    for planting in border.plantings:
        crown = border.crown(planting, SEASON)
        if crown is None or planting.supported or planting.temporary or planting.line.purpose == "softening":
            continue
        soft = planting.traits.yes("soft_edge")
        if soft or crown.base >= limits["headroom"] or not edges:
            continue
        over = [(*_over(planting, crown, surface, limits["headroom"]), surface) for surface in edges]
        for case, kinds in (("lawn", MOWN), ("path", WALKED)):
            worst = max((one for one in over if one[2].kind in kinds), key=lambda one: one[0], default=None)
            if worst is None or worst[0] <= limits["overhang"]:
                continue
            reach, width, surface = worst
            free = None if width is None else round(max(0.0, width - reach), 2)
            if case == "path" and (free is None or free >= limits["free"]):
                continue
            if soft is None and not planting.woody:
                yield Unjudged(planting.key, ("soft_edge",), planting.path)
                break
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "overhang": reach, "free": free, "season": SEASON,
                 "limit": limits["overhang" if case == "lawn" else "free"]},
                ((surface.path, f"the {surface.kind}"),), apart=(case,), case=case,
            )  # fmt: skip


def _over(planting: Planting, crown: Crown, surface: Any, headroom: float) -> tuple[float, float | None]:
    """How far the low leaves reach over a surface, and its width where that is known, in m."""
    radius = _below(crown, headroom)
    near = min(
        (surface.distance_to(point) for point in planting.points if not inside(point, surface.ground)), default=99.0
    )
    sides = box(surface.outline) if surface.outline else ()
    width = surface.width or (min(high - low for low, high in sides) if sides else None)
    return round(radius - near, 2), width


def _below(crown: Crown, height: float | None) -> float:
    """Radius in m of the crown at its widest below a height."""
    return crown.greatest_radius if height is None else crown.radius(min(crown.widest_at, height))


def over_boundary(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Trees and shrubs that grow over the boundary: by year 10, or only when grown, these in one note."""
    lines = [b for b in border.plan.boundaries if b.owner != "ours" and b.beyond != "same owner"]
    later: list[tuple[Planting, float]] = []
    for planting in border.plantings:
        if (
            planting.life_form not in ("tree", "shrub", "bamboo")
            or planting.supported
            or not planting.points
            or not lines
        ):
            continue
        near, line = min(
            ((distance_to(point, b.ends, closed=False), b) for point in planting.points for b in lines),
            key=lambda one: one[0],
        )
        ten, grown = (_radius(border, planting, season) - near for season in (SEASON, GROWN))
        if round(ten, 2) > limits["over"]:
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "over": round(ten, 2), "season": SEASON,
                 "limit": limits["over"], "move": round(ten, 2)},
                ((line.path, "the boundary"),), case="soon",
            )  # fmt: skip
        elif round(grown, 2) > limits["over"]:
            later.append((planting, round(grown, 2)))
    if later:
        said = [f" by {metres(over)}" for _, over in later]
        yield together("note", [planting for planting, _ in later], ("boundaries",), said=said, case="grown")


def _radius(border: Border, planting: Planting, season: int) -> float:
    crown = border.crown(planting, season)
    return crown.greatest_radius if crown else 0.0


def against_wall(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A free-standing tree or shrub nearer to a wall than its radius allows."""
    walls = [s for s in border.plan.structures if s.kind in SOLID and len(s.points) >= 2]
    for planting in border.plantings:
        if (
            planting.life_form not in ("tree", "shrub")
            or planting.supported
            or planting.line.hedge
            or planting.temporary
        ):
            continue
        crown = border.crown(planting, SEASON)
        if crown is None or not walls or not planting.points:
            continue
        # How much room it wants before each wall less what it has: what grows over the top needs none.
        short, index = max(
            (limits["share"] * _below(crown, wall.height) - dist(point, wall.nearest_to(point)), index)
            for point in planting.points
            for index, wall in enumerate(walls)
        )
        if round(short, 2) <= 0:
            continue
        radius = _below(crown, walls[index].height)
        needed = limits["share"] * radius
        distance = needed - short
        yield Finding(
            "warning", (planting.key,), planting.place,
            {"plant": planting.title, "key": planting.key, "wall": walls[index].kind, "distance": round(distance, 2),
             "radius": round(radius, 2), "needed": round(needed, 2), "season": SEASON,
             "move": round(radius - distance, 2)},
            ((walls[index].path, f"the {walls[index].kind}"),),
        )  # fmt: skip
