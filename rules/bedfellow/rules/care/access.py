"""CARE-02 and -03: plants out of reach, and walls that nobody can get at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed
from bedfellow.schema.geometry import Point, distance_to

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.plan import Structure

GROWN = 10
FOOTHOLDS = ("path", "paving", "lawn", "foothold", "gravel", "deck", "mowing strip", "drive", "meadow", "play area")
BARRING = ("wall", "fence", "building", "hedge", "screen", "retaining wall")
AGAINST = 0.3  # m: an edge with a structure so near gives no foothold
STAKED = ("stak", "tie")
PAINTED = ("paint", "render", "limewash")
UPRIGHT = ("wall", "fence", "building")


def out_of_reach(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Plants that want work often stand too far from a foothold: one finding names all."""
    edges = _open_edges(border)
    far: list[tuple[float, Point, Planting]] = []
    for planting in border.plantings:
        if not _high_care(border, planting) or not planting.points:
            continue
        ways = [(round(_to_foothold(border, point, edges), 2), point) for point in planting.points]
        distance, point = max(ways)
        if distance > limits["reach"]:
            far.append((distance, point, planting))
    if far:
        distance, (x, y), _ = max(far, key=lambda found: found[0])
        yield Finding(
            "warning", tuple(sorted(planting.key for *_, planting in far)), far[0][2].path,
            {"plants": listed([planting.title for *_, planting in far]), "distance": distance, "x": round(x, 1), "y": round(y, 1)},
            tuple((planting.path, planting.key) for *_, planting in far[1:]), case="one" if len(far) == 1 else "several",
        )  # fmt: skip


def _high_care(border: Border, planting: Planting) -> bool:
    """The plan itself has it deadheaded, staked or planted anew every year."""
    line = planting.line
    staked = any(
        any(w in task.task.lower() for w in STAKED) and planting.key in task.plants for task in border.plan.tasks
    )
    bedding = line.grown_as == "annual" or planting.life_form == "annual"
    return bool(
        line.deadheaded or staked or (bedding and not line.fills and line.status not in ("allowed", "tolerated"))
    )


def _open_edges(border: Border) -> list[tuple[Point, Point]]:
    """The edges of the beds from which somebody can lean in."""
    barring = [s for s in border.plan.structures if s.kind in BARRING and len(s.points) > 1]
    found = []
    for bed in border.plan.borders:
        for a, b in pairwise([*bed.outline, bed.outline[0]]):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            if not any(dist(structure.nearest_to(middle), middle) <= AGAINST for structure in barring):
                found.append((a, b))
    return found


def _to_foothold(border: Border, point: Point, edges: list[tuple[Point, Point]]) -> float:
    ways = [distance_to(point, edge, closed=False) for edge in edges]
    return min([*ways, *(s.distance_to(point) for s in border.plan.surfaces if s.kind in FOOTHOLDS)], default=0.0)


def wall_strip(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Shrubs shut off a wall that is painted, or that carries what is pruned or trained: one finding a wall."""
    shrubs = [
        (planting, size.spread.typical / 2)
        for planting in border.plantings
        if planting.life_form in ("shrub", "tree") and not planting.supported and not planting.line.clear_stem
        if (size := border.size(planting, GROWN)) and size.height.typical >= limits["height"]
    ]
    for wall in border.plan.structures:
        if wall.kind not in UPRIGHT or len(wall.points) < 2:
            continue
        worked = [p for p in border.plantings if wall.key and wall.key in p.line.on and _pruned(border, p)]
        painted = wall.pointing == "render" or any(word in (wall.material or "").lower() for word in PAINTED)
        near = []
        for planting, radius in shrubs:
            gaps = [dist(point, wall.nearest_to(point)) - radius for point in planting.points]
            over = [p for p in worked if p.distance_to(planting) < radius]
            if min(gaps, default=limits["strip"]) < limits["strip"] and (painted or over):
                near.append((round(max(0.0, min(gaps)), 2), planting))
        if near:
            yield _shut_off(wall, near, worked if not painted else [], limits["strip"])


def _pruned(border: Border, climber: Planting) -> bool:
    """It is trained, or a task or its line has it cut."""
    cut = any("prun" in t.task.lower() or "cut" in t.task.lower() for t in border.plan.tasks if climber.key in t.plants)
    return bool(climber.line.trained or climber.line.cut_back or cut)


def _shut_off(wall: Structure, near: list[tuple[float, Planting]], worked: list[Planting], strip: float) -> Finding:
    return Finding(
        "warning", tuple(sorted(planting.key for _, planting in near)), wall.path,
        {"plants": listed([planting.title for _, planting in near]), "wall": f"the {wall.kind} {wall.key or ''}".strip(),
         "gap": min(gap for gap, _ in near), "strip": strip, "worked": listed([planting.title for planting in worked]), "season": GROWN},
        tuple((planting.path, planting.key) for _, planting in near), apart=(wall.key or wall.kind,),
        case="climber" if worked else "paint",
    )  # fmt: skip
