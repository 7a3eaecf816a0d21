"""Plants that move: to the nearest place with room, into sun or out of it, or in exchange with what stands before them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from itertools import islice
from math import cos, dist, pi, sin
from typing import NamedTuple

from bedfellow.linter.repair.changes.repair import SEASON, Repair, stated, subject
from bedfellow.linter.repair.edit import Edit
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.crown import widest_together
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.declaration import declarations
from bedfellow.rules.finding import Finding
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import Point, distance_to, inside

# Common practice: m of a step and of the farthest move; a move up to NEAR leaves the design as it is; crowns may touch by
# so much of the room that they need; so many places are tried for one plant, by this share of the way apart.
STEP, FARTHEST, NEAR, ROOM, TRIED, APART = 0.05, 4.0, 1.0, 0.95, 12, 0.25
TURNS = 24
# As SPACE-07 and SPACE-05 have it: share of a crown's radius from a wall, and m by which it may hang over the edge.
OFF_WALL, OVER = 0.8, 0.15
SHARED = 0.3  # m of height that two crowns must share to be in each other's way
LIT = 3.0  # m: as far as a plant is moved for sun or shade
LOOKED_AT = 12  # members of a drift for which room is sought


class Movable(NamedTuple):
    """What of a line moves together: (x, y) of its members, the nearest to the cause first; whole: the line as one.

    edit: of the file, for a move by (x, y).
    """

    planting: Planting
    members: tuple[Point, ...]
    whole: bool
    edit: Callable[[Point], Edit]


def move(finding: Finding, border: Border) -> Iterator[Repair]:
    """To the nearest places that have room and are far enough from what the finding is about."""
    movable = _mover(finding, border)
    if movable is None:
        return
    enough = _far_enough(finding, border, movable.members[0])
    for by in _spread(by for by in _ways(border, movable, FARTHEST) if enough(_moved_by(movable.members[0], by))):
        yield _moved(movable, by)


def _mover(finding: Finding, border: Border) -> Movable | None:
    """What moves: the line that the finding names last, or as it says, if its place is stated in a form that can move."""
    named = [
        finding.evidence.get("key"),
        *(key for key in reversed(finding.keys) if key != finding.evidence.get("other")),
    ]
    climber = finding.code in ("CLIMB-02", "SITE-06")
    planting = next(
        (p for key in named if isinstance(key, str) and (p := border.by_key.get(key)) and _placed(p, climber)), None
    )
    if planting is None:
        return None
    others = [border.by_key[key] for key in finding.keys if key != planting.key and key in border.by_key]
    aim = [point for other in others for point in other.points]
    thing = _thing(finding, border)

    def near(here: Point) -> float:
        return min((dist(here, point) for point in aim), default=thing(here) if thing else 0.0)

    return _movable(border, planting, min(range(len(planting.points)), key=lambda n: near(planting.points[n])))


def _placed(planting: Planting, climber: bool = False) -> bool:
    """Its place is stated in a form that can move. climber: one at its support too."""
    line = planting.line
    stands = line.at or line.outline or line.group
    fixed = planting.kept or (planting.supported and not climber) or line.hedge or line.mix
    return bool(planting.points and stands) and not fixed


def _movable(border: Border, planting: Planting, index: int) -> Movable:
    """A group or drift as a whole, and of plants placed one by one the member that is meant."""
    line, points = planting.line, planting.points
    first = points[index]
    if line.group or line.outline:
        step = max(1, len(points) // LOOKED_AT)
        members = (first, *(line.outline or ()), *points[::step])
        return Movable(planting, members, True, partial(_shifted, planting))
    said = stated(border, (*line.path, "at"))
    path = (*line.path, "at", index) if isinstance(said[0], list) else (*line.path, "at")
    return Movable(planting, (first,), False, lambda by: Edit(path, list(_moved_by(first, by))))


def _shifted(planting: Planting, by: Point) -> Edit:
    if planting.line.group:
        return Edit((*planting.path, "group", "middle"), list(_moved_by(planting.line.group.middle, by)))
    return Edit((*planting.path, "outline"), [list(_moved_by(corner, by)) for corner in planting.line.outline])


def _moved_by(here: Point, by: Point) -> Point:
    return round(here[0] + by[0], 2), round(here[1] + by[1], 2)


def _thing(finding: Finding, border: Border) -> Callable[[Point], float] | None:
    """Metres from a place to the structure, surface, boundary or drain that a finding is about."""
    plan = border.plan
    for path, _ in finding.related:
        match path:
            case ("structures", int(number)):
                points = plan.structures[number].points
                return partial(distance_to, outline=points, closed=len(points) > 2)
            case ("surfaces", int(number)):
                away: Callable[[Point], float] = plan.surfaces[number].distance_to
                return away
            case ("boundaries" | "services", int(number)):
                return partial(distance_to, outline=getattr(plan, str(path[0]))[number].ends, closed=False)
    return None


def _far_enough(finding: Finding, border: Border, here: Point) -> Callable[[Point], bool]:
    """Whether a place is further from what a finding is about, by what it says that is wanting."""
    thing, wanting = _thing(finding, border), finding.evidence.get("move") or finding.evidence.get("overhang") or 0.0
    if thing is None or not isinstance(wanting, int | float):
        return lambda place: True
    least = thing(here) + float(wanting)
    return lambda place: thing(place) >= least - 0.005


def _ways(border: Border, movable: Movable, farthest: float) -> Iterator[Point]:
    """Moves by (x, y), the nearest first, to where all members have room."""
    free = _free(border, movable)
    for across, back in rings(ring * STEP for ring in range(1, round(farthest / STEP) + 1)):
        by = round(across, 2), round(back, 2)
        if free(by):
            yield by


def rings(radii: Iterable[float]) -> Iterator[Point]:
    """Offsets by (x, y) on a ring of each radius about a place, in m."""
    for radius in radii:
        for turn in range(TURNS):
            angle = 2 * pi * turn / TURNS
            yield radius * sin(angle), radius * cos(angle)


def _free(border: Border, movable: Movable) -> Callable[[Point], bool]:
    """Whether a move leads all members into a bed, outside the buildings, and no nearer to a neighbour than there is room.

    A woody plant and a low one may mean to share the ground: they come no nearer than they are; nor does any come nearer to a
    wall or to the edge than it is, or should be.
    """
    planting, crown = movable.planting, border.crown(movable.planting, SEASON)
    standing: list[tuple[Point, Point, float]] = []
    for other in border.standing:
        beside = border.crown(other, SEASON)
        if other.number == planting.number or crown is None or beside is None or _in_no_way(planting, other):
            continue
        if planting.supported:
            break  # its crown is its support's
        meeting = widest_together(crown, beside, SHARED)
        if meeting is None or meeting[0] <= 0:
            continue
        needed = ROOM * meeting[0]
        mixed = planting.woody != other.woody
        standing += [
            (here, point, min(needed, dist(here, point)) if mixed else needed)
            for here in movable.members
            for point in other.points
            if dist(here, point) < needed + LIT
        ]
    beds = [bed.outline for bed in border.plan.borders]
    houses = [structure.outline for structure in border.plan.structures if structure.outline]
    walls = [structure.points for structure in border.plan.structures if len(structure.points) == 2]
    radius = 0.0 if crown is None or planting.supported or movable.whole else crown.greatest_radius
    off = OFF_WALL * radius if planting.woody else 0.0
    lines = [*((wall, off, False) for wall in walls), *((bed, max(0.0, radius - OVER), True) for bed in beds)]
    kept_off = [
        (line, min(least, *(distance_to(here, line, closed) for here in movable.members)), closed)
        for line, least, closed in lines
        if least
    ]

    def free(by: Point) -> bool:
        places = [(here[0] + by[0], here[1] + by[1]) for here in movable.members]
        if beds and not all(any(inside(place, bed) for bed in beds) for place in places):
            return False
        if any(inside(place, house) for house in houses for place in places):
            return False
        if any(distance_to(place, line, to) < least - 0.005 for line, least, to in kept_off for place in places):
            return False
        return all(dist((here[0] + by[0], here[1] + by[1]), point) >= least - 0.005 for here, point, least in standing)

    return free


def _in_no_way(planting: Planting, other: Planting) -> bool:
    if other.traits.name == planting.traits.name or other.temporary or other.supported or other.life_form == "bulb":
        return True
    return bool(other.traits.yes("weaves") or (other.traits.yes("see_through") and not planting.woody))


def _spread(ways: Iterator[Point]) -> Iterator[Point]:
    """A few of the moves, each some way from those before it."""
    chosen: list[Point] = []
    for by in ways:
        if all(dist(by, other) >= max(APART * dist((0.0, 0.0), by), 4 * STEP) for other in chosen):
            chosen.append(by)
            yield by
        if len(chosen) == TRIED:
            return


def _moved(movable: Movable, by: Point) -> Repair:
    planting, far = movable.planting, dist((0.0, 0.0), by)
    there = _moved_by(movable.members[0], by)
    what = f"the {'group' if planting.line.group else 'drift'} of " if movable.whole else ""
    where = "" if movable.whole else f", to ({there[0]:g}, {there[1]:g})"
    words = f"Move {what}{planting.title} {metres(far)} {_towards(by)}{where}"
    return Repair(words, (movable.edit(by),), far <= NEAR, (planting.key,), far=far)


def _towards(by: Point) -> str:
    """Which way, seen from the front."""
    across, back = by
    parts = [
        word
        for word, far in (
            ("back" if back > 0 else "forward", abs(back)),
            ("to the right" if across > 0 else "to the left", abs(across)),
        )
        if far >= 0.03
    ]
    return " and ".join(parts) or "a little"


# ---- for light


def into_sun(finding: Finding, border: Border) -> Iterator[Repair]:
    """To the nearest places with sun enough, by the limits of LIGHT-01."""
    limits = declarations()["LIGHT-01"].limits()
    yield from _to_light(
        finding, border, lambda june, _, share: june >= limits["warning_hours"] and share >= limits["warning_share"]
    )


def out_of_sun(finding: Finding, border: Border) -> Iterator[Repair]:
    """To the nearest places that are not too sunny, by the limits of LIGHT-02."""
    limits = declarations()["LIGHT-02"].limits()
    yield from _to_light(
        finding, border,
        lambda june, midday, share: june <= limits["hours"] or share <= limits["share"] or midday < limits["midday_hours"],
    )  # fmt: skip


def _to_light(finding: Finding, border: Border, suits: Callable[[float, float, float], bool]) -> Iterator[Repair]:
    """suits: by the hours of 21 June, those from 11 to 16 h, and the share of the open beam."""
    movable = _mover(finding, border)
    if movable is None or len(movable.planting.points) > 1 or border.plan.site.latitude is None:
        return
    crown = border.crown(movable.planting, SEASON)
    if crown is None:
        return

    def lit(by: Point) -> bool:
        place = (*_moved_by(movable.members[0], by), 0.9 * crown.top)
        june, midday, _, share = border.light_at(place, SEASON, movable.planting.number)
        return suits(june, midday, share)

    for by in _spread(by for by in islice(_ways(border, movable, LIT), 0, 600, 7) if lit(by)):
        yield _moved(movable, by)


# ---- with one another


def exchange(finding: Finding, border: Border) -> Iterator[Repair]:
    """With what stands before it, or forward."""
    planting = subject(finding, border)
    if planting is None or len(planting.points) != 1 or not planting.line.at or not _placed(planting):
        return
    movable, here = _movable(border, planting, 0), planting.points[0]
    before = [
        other
        for other in border.plantings
        if other is not planting and len(other.points) == 1 and other.line.at and _placed(other) and not other.line.locked
        and other.points[0][1] < here[1] and dist(other.points[0], here) <= FARTHEST
    ]  # fmt: skip
    for other in sorted(before, key=lambda other: dist(other.points[0], here))[:TRIED]:
        there = other.points[0]
        by = there[0] - here[0], there[1] - here[1]
        edits = (movable.edit(by), _movable(border, other, 0).edit((-by[0], -by[1])))
        words = f"Let {planting.title} and {other.title} change places"
        yield Repair(words, edits, False, (planting.key, other.key), far=2 * dist(here, there))
    for by in _spread(by for by in _ways(border, movable, FARTHEST) if by[1] < -STEP):
        yield _moved(movable, by)
