"""VIGOUR-03, -05 and -06: runners without a barrier, suckers into lawn or paving, and self-sown plants that change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf, pi
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.vigour.spreading import WELCOME
from bedfellow.rules.words import listed
from bedfellow.schema.geometry import Point, cuts, distance_to, inside, nearest_on

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.plan import Structure, Surface

RUNS = 4
EDGES = ("lawn", "path", "paving", "gravel", "drive")
LOOSE = ("gravel",)
SUCKERING = ("tree", "shrub", "climber")
SEEDS = 1


def runner(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A running bamboo anywhere, or another plant that runs near a boundary or gravel, with no barrier about it."""
    for planting in border.plantings:
        mode, rate = planting.traits.word("spread_mode"), planting.traits.step("spread_rate")
        if mode is None:
            yield Unjudged(planting.key, ("spread_mode",), planting.path)
        bamboo = planting.life_form == "bamboo"
        if mode != "running rhizome" or planting.line.grown_in == "container" or planting.temporary:
            continue
        edge = min((_to_edge(border, point) for point in planting.points), default=inf)
        if not bamboo and (rate != RUNS or round(edge, 2) >= limits["edge"]):
            continue
        barriers = [
            s for s in border.plan.structures if s.kind == "root barrier" and _about(s, planting, limits["edge"])
        ]
        depth = max((barrier.depth or limits["depth"] for barrier in barriers), default=0.0)
        if barriers and depth >= limits["depth"]:
            continue
        sourced = bamboo and planting.traits.sourced("spread_mode") and not barriers
        yield Finding(
            "error" if sourced else "warning", (planting.key,), planting.path,
            {"plant": planting.title, "key": planting.key, "depth": depth, "least": limits["depth"],
             "edge": round(edge, 2) if edge < inf else None, "length": round(2 * pi * limits["edge"]), "source": border.source(planting, "spread_mode")},
            tuple((barrier.path, "the barrier") for barrier in barriers),
            case="shallow" if barriers else "bamboo" if bamboo else "runner",
        )  # fmt: skip


def _to_edge(border: Border, point: Point) -> float:
    """Metres to the nearest boundary or loose ground."""
    edges = [distance_to(point, boundary.ends, closed=False) for boundary in border.plan.boundaries]
    return min((*edges, *(s.distance_to(point) for s in border.plan.surfaces if s.kind in LOOSE)), default=inf)


def _about(barrier: Structure, planting: Planting, reach: float) -> bool:
    """A barrier in the ground encloses the plants, or runs so near that it is meant for them."""
    if barrier.outline and all(inside(point, barrier.outline) for point in planting.points):
        return True
    closed = bool(barrier.outline)
    return any(distance_to(point, barrier.points, closed=closed) < reach for point in planting.points)


def suckers(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Woody plants that throw suckers near lawn or paving: one finding an edge."""
    grounds = [s for s in border.plan.surfaces if s.kind in EDGES and not _mown(border, s)]
    if not grounds:
        return
    throwing = []
    for planting in border.plantings:
        if planting.life_form not in SUCKERING or planting.line.grown_in == "container":
            continue
        throws = planting.traits.yes("suckering")
        if throws is None:
            yield Unjudged(planting.key, ("suckering",), planting.path)
        elif throws and (planting.traits.step("spread_rate") or 0) >= limits["class"]:
            throwing.append(planting)
    for number, ground in enumerate(grounds):
        near = [
            (round(distance, 2), planting)
            for planting in throwing
            if (distance := _free_way(border, planting, ground)) <= limits["reach"] + 1e-6
        ]
        if not near:
            continue
        yield Finding(
            "warning", tuple(sorted(planting.key for _, planting in near)), ground.path,
            {"plants": listed([planting.title for _, planting in near]), "ground": ground.kind,
             "distance": min(distance for distance, _ in near)},
            tuple((planting.path, planting.key) for _, planting in near), apart=(f"{ground.kind} {number + 1}",),
            case="one" if len(near) == 1 else "several",
        )  # fmt: skip


def _mown(border: Border, ground: Surface) -> bool:
    """A lawn whose edge is mown along a hard strip: suckers go with the grass."""
    return ground.kind == "lawn" and any(bed.mowing_strip for bed in border.plan.borders)


def _free_way(border: Border, planting: Planting, ground: Surface) -> float:
    """Metres from the nearest member to the ground, by a way on which no root barrier lies."""
    line = ground.ground or ground.points
    barriers = [s.points for s in border.plan.structures if s.kind == "root barrier" and len(s.points) == 2]
    ways = [(point, nearest_on(point, line, closed=len(line) > 2)) for point in planting.points if len(line) > 1]
    free = [way for way in ways if not any(cuts((ends[0], ends[1]), way) for ends in barriers)]
    return min((ground.distance_to(point) for point, _ in free), default=inf)


def changes(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Cultivars left to seed themselves whose seedlings do not resemble them."""
    found = []
    for planting in border.plantings:
        line, traits = planting.line, planting.traits
        if line.status not in WELCOME or traits.rank != "cultivar" or line.deadheaded:
            continue
        if traits.yes("comes_true") is None:
            yield Unjudged(planting.key, ("comes_true",), planting.path)
        elif not traits.yes("comes_true") and (traits.step("self_seeding") or 0) > SEEDS and not traits.yes("sterile"):
            found.append(planting)
    if found:
        yield Finding(
            "note", tuple(sorted(planting.key for planting in found)), found[0].path,
            {"plants": listed([planting.title for planting in found])},
            tuple((planting.path, planting.key) for planting in found[1:]),
            case="one" if len(found) == 1 else "several",
        )  # fmt: skip
