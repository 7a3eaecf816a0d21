"""Every position from two fixed points: the distances that two tapes measure, and offsets in the plan's own frame.

Two circles about A and B meet in two places, mirrored in the line through them: each row says on which side of that line, seen
from A towards B, its place lies. Where the tapes meet at a flat or sharp angle a slip of one moves the place by far more; such
rows are marked, to be checked by their offsets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import acos, degrees, dist, hypot, sqrt
from typing import TYPE_CHECKING

from bedfellow.schema.geometry import Point, cuts

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

Pair = tuple[tuple[Point, str], tuple[Point, str]]

# Common practice: lasting things to measure from, the most lasting first; how far apart they are at least; and the angles
# between which two tapes cross well.
LASTING = ("building", "wall", "retaining wall", "fence", "railing", "screen")
LEAST_BASE, TAPE = 1.0, 30.0  # m
SHARP, FLAT = 30.0, 150.0  # degrees
ON_LINE = 0.005  # m
MOST_CORNERS = 40  # of a bed, that are tried


@dataclass(frozen=True, slots=True)
class Fixed:
    """A fixed point: its letter, what it is in words, and where."""

    letter: str
    words: str
    at: Point


@dataclass(frozen=True, slots=True)
class Place:
    """A place to be marked. a, b: m from the fixed points; side: of the line from A to B; x, y: m in the plan's frame.

    sound: the tapes reach it and cross well there.
    """

    what: str
    key: str
    part: str
    x: float
    y: float
    a: float
    b: float
    side: str
    sound: bool


@dataclass(frozen=True, slots=True)
class SettingOut:
    """The two fixed points, metres between them, and the places; none where the plan has nothing to measure from."""

    fixed: tuple[Fixed, Fixed] | None
    base: float
    places: tuple[Place, ...]


def setting_out(border: Border) -> SettingOut:
    """The corners of the beds, then plants, outlines and hedges in the order of the plan."""
    wanted = list(_wanted(border))
    fixed = _fixed(border, [point for *_, point in wanted])
    if fixed is None:
        return SettingOut(None, 0.0, ())
    a, b, walls = fixed[0].at, fixed[1].at, _walls(border)
    places = tuple(
        Place(
            what, key, part, x, y, dist(a, (x, y)), dist(b, (x, y)), side_of(a, b, (x, y)), _sound(a, b, (x, y), walls)
        )
        for what, key, part, (x, y) in wanted
    )
    return SettingOut(fixed, dist(a, b), places)


def side_of(a: Point, b: Point, point: Point) -> str:
    """``left``, ``right`` or ``on the line``, seen from A towards B."""
    cross = (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
    away = cross / dist(a, b)
    return "on the line" if abs(away) <= ON_LINE else "left" if away > 0 else "right"


def meeting(a: Point, b: Point, from_a: float, from_b: float, side: str) -> Point:
    """Where two tapes meet on a side of the line from A to B; of tapes too short for each other, the place between."""
    base = dist(a, b)
    along = (from_a**2 - from_b**2 + base**2) / (2 * base)
    away = sqrt(max(0.0, from_a**2 - along**2))
    away = -away if side == "right" else 0.0 if side == "on the line" else away
    ux, uy = (b[0] - a[0]) / base, (b[1] - a[1]) / base
    return a[0] + ux * along - uy * away, a[1] + uy * along + ux * away


def _sound(a: Point, b: Point, point: Point, walls: Sequence[tuple[Point, Point]]) -> bool:
    """Two tapes cross well there, and nothing that stands is in their way."""
    if not SHARP <= _angle(a, b, point) <= FLAT:
        return False
    return not any(cuts((end, point), wall) for end in (a, b) for wall in walls)


def _walls(border: Border) -> list[tuple[Point, Point]]:
    """The faces of all that no tape goes through."""
    return [
        face
        for structure in border.plan.structures
        if structure.kind in LASTING and len(structure.points) > 1
        for face in pairwise([*structure.points, *(structure.points[:1] if structure.outline else ())])
    ]


def _angle(a: Point, b: Point, point: Point) -> float:
    """Degrees between the two tapes."""
    to_a, to_b = (a[0] - point[0], a[1] - point[1]), (b[0] - point[0], b[1] - point[1])
    lengths = hypot(*to_a) * hypot(*to_b)
    cosine = (to_a[0] * to_b[0] + to_a[1] * to_b[1]) / lengths if lengths else 1.0
    return degrees(acos(max(-1.0, min(1.0, cosine))))


def _wanted(border: Border) -> Iterator[tuple[str, str, str, Point]]:
    """(what, key, part, place) of all that is set out; a mix once, by its outline."""
    plan = border.plan
    names = {planting.number: planting.traits.name for planting in border.plantings}
    for number, bed in enumerate(plan.borders, 1):
        what = bed.name or ("bed" if len(plan.borders) == 1 else f"bed {number}")
        yield from ((what, "", f"corner {n}", point) for n, point in enumerate(bed.outline, 1))
    for number, line in enumerate(plan.lines):
        if line.mix:
            continue
        name = names.get(number, line.name)
        if line.hedge:
            for n, point in enumerate(line.hedge, 1):
                yield name, line.key, f"hedge, point {n} of {len(line.hedge)}", point
        elif line.at:
            for n, point in enumerate(line.at, 1):
                yield name, line.key, f"{n} of {len(line.at)}" if len(line.at) > 1 else "", point
        else:
            yield from ((name, line.key, f"drift, corner {n}", point) for n, point in enumerate(line.outline, 1))
    for mix in plan.mixes:
        yield from ((mix.name or "mix", mix.key, f"mix, corner {n}", point) for n, point in enumerate(mix.outline, 1))


def _fixed(border: Border, places: Sequence[Point]) -> tuple[Fixed, Fixed] | None:
    """The two ends of something lasting from which most places are measured well; else two corners of a bed."""
    pairs = list(_lasting(border)) or list(_corners(border))
    pairs = [pair for pair in pairs if dist(pair[0][0], pair[1][0]) >= LEAST_BASE] or [
        pair for pair in pairs if pair[0][0] != pair[1][0]
    ]
    if not pairs:
        return None

    walls = _walls(border)

    def suits(pair: Pair) -> tuple[int, float]:
        (a, _), (b, _) = pair
        well = sum(_sound(a, b, place, walls) and max(dist(a, place), dist(b, place)) <= TAPE for place in places)
        return well, dist(a, b)

    (a, first), (b, second) = max(pairs, key=suits)
    return Fixed("A", first, a), Fixed("B", second, b)


def _lasting(border: Border) -> Iterator[Pair]:
    """The ends of walls and fences and the neighbouring corners of buildings."""
    for structure in sorted(
        (s for s in border.plan.structures if s.kind in LASTING), key=lambda s: LASTING.index(s.kind)
    ):
        name = f"the {structure.kind} {structure.key}" if structure.key else f"the {structure.kind}"
        if structure.outline:
            corners = [(point, f"corner {n} of {name}") for n, point in enumerate(structure.outline, 1)]
            yield from pairwise([*corners, corners[0]])
        elif len(structure.ends) > 1:
            first, second = sorted(structure.ends[:2])
            ends = ("left", "right") if second[0] - first[0] > abs(second[1] - first[1]) else ("one", "other")
            if ends == ("one", "other"):
                first, second = sorted(structure.ends[:2], key=lambda point: (point[1], point[0]))
                ends = ("front", "back")
            yield (first, f"the {ends[0]} end of {name}"), (second, f"the {ends[1]} end of {name}")


def _corners(border: Border) -> Iterator[Pair]:
    """Every two corners of a bed."""
    for number, bed in enumerate(border.plan.borders, 1):
        name = bed.name or ("the bed" if len(border.plan.borders) == 1 else f"bed {number}")
        corners = [(point, f"corner {n} of {name}") for n, point in enumerate(bed.outline, 1)]
        corners = corners[:: 1 + len(corners) // MOST_CORNERS]
        yield from ((one, other) for n, one in enumerate(corners) for other in corners[n + 1 :])
