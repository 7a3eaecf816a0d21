"""What would mend a finding: concrete changes of the plan, the likeliest first. Whether one does is for `mending` to try.

SPACE-01 -04 -05 -06 -07 -12, CLIMB-02, SITE-06, TREE-03 -04, SAFE-03   the plant moves to the nearest place with room
LIGHT-01    it moves to the nearest place with sun enough        SPACE-02    the canopy is raised
LAYER-01    it changes places with what stands before it         STOCK-01 -02, SPACE-08, COVER-02   the quantity
STOCK-03    the name as it is accepted, or the nearest one
SITE-01 -02 -03 -04, LIGHT-02, SAFE-01, VIGOUR-02 -03 -04, CLIMB-03   another plant that keeps its role
SEASON-01, WINTER-01    a plant more, at the roomiest place
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import chain, islice
from math import cos, dist, pi, sin
from typing import Any, NamedTuple

from bedfellow.linter.engine import Options
from bedfellow.linter.repair.edit import Edit
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.crown import widest_together
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.declaration import declarations
from bedfellow.rules.finding import Finding
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import Point, distance_to, inside
from bedfellow.schema.place import Path
from bedfellow.schema.values import MONTHS

SEASON = 10
# Common practice: m of a step and of the farthest move; a move up to NEAR leaves the design as it is; crowns may touch by
# so much of the room that they need; so many places are tried for one plant, this far apart.
WANTED = 2  # plants that are tried in place of one, or besides
STEP, FARTHEST, NEAR, ROOM, TRIED, APART = 0.05, 2.0, 1.0, 0.95, 4, 0.2
TURNS = 24
SHARED = 0.3  # m of height that two crowns must share to be in each other's way
SUNNY = 3.0  # m: as far as a plant is moved for sun


class Repair(NamedTuple):
    """A change in words, its edits, and whether it leaves the design as it is."""

    words: str
    edits: tuple[Edit, ...]
    keeps_design: bool
    keys: tuple[str, ...]


def repairs(finding: Finding, border: Border, options: Options, design: bool) -> Iterator[Repair]:
    """What may mend a finding, the likeliest first; nothing for a plant that is locked.

    design: what changes the design too.
    """
    makes = [make(finding, border) for make in (MENDS.get(finding.code),) if make]
    makes += [make(finding, border, options) for make in (CHANGES.get(finding.code),) if make and design]
    for repair in chain.from_iterable(makes):
        if not any((planting := border.by_key.get(key)) and planting.line.locked for key in repair.keys):
            yield repair


# ---- to another place


def _move(finding: Finding, border: Border) -> Iterator[Repair]:
    subject = _mover(finding, border)
    if subject is None:
        return
    planting, index = subject
    here = planting.points[index]
    enough = _far_enough(finding, border, here)
    places = (place for place in _places(border, planting, index, FARTHEST) if enough(place))
    for place in _spread(places):
        yield _moved(border, planting, index, place)


def _mover(finding: Finding, border: Border) -> tuple[Planting, int] | None:
    """The plant that moves, and which member of it: the one nearest to what it is too near to."""
    stated = [
        finding.evidence.get("key"),
        *(key for key in reversed(finding.keys) if key != finding.evidence.get("other")),
    ]
    planting = next(
        (p for key in stated if isinstance(key, str) and (p := border.by_key.get(key)) and _is_placed(border, p)), None
    )
    if planting is None:
        return None
    others = [border.by_key[key] for key in finding.keys if key != planting.key and key in border.by_key]
    aim = [point for other in others for point in other.points]
    thing = _thing(finding, border)

    def near(index: int) -> float:
        here = planting.points[index]
        return min((dist(here, point) for point in aim), default=thing(here) if thing else 0.0)

    return planting, min(range(len(planting.points)), key=near)


def _is_placed(border: Border, planting: Planting) -> bool:
    """Its line says where each member stands."""
    if planting.kept or planting.supported:
        return False
    said = _stated(border, planting.path)
    return isinstance(said, dict) and "at" in said


def _stated(border: Border, path: Path) -> Any:
    data = border.plan.document.data
    for step in path:
        data = data[step]
    return data


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
                return partial(distance_to, outline=getattr(plan, str(path[0]))[number].points, closed=False)
    return None


def _far_enough(finding: Finding, border: Border, here: Point) -> Callable[[Point], bool]:
    """Whether a place is further from what a finding is about, by what it says that is wanting."""
    thing, wanting = _thing(finding, border), finding.evidence.get("move") or finding.evidence.get("overhang") or 0.0
    if thing is None or not isinstance(wanting, int | float):
        return lambda place: True
    least = thing(here) + float(wanting)
    return lambda place: thing(place) >= least - 0.005


def _places(border: Border, planting: Planting, index: int, farthest: float) -> Iterator[Point]:
    """Places about a member, the nearest first, in the bed, and no nearer to a neighbour than there is room for both."""
    here, free = planting.points[index], _free(border, planting, index)
    for ring in range(1, round(farthest / STEP) + 1):
        for turn in range(TURNS):
            angle = 2 * pi * turn / TURNS
            place = round(here[0] + ring * STEP * sin(angle), 2), round(here[1] + ring * STEP * cos(angle), 2)
            if free(place):
                yield place


def _free(border: Border, planting: Planting, index: int) -> Callable[[Point], bool]:
    """Whether a place is in a bed, outside the buildings, and no nearer to a neighbour than there is room for both.

    A woody plant and a low one may mean to share the ground: they come no nearer than they are.
    """
    here, crown = planting.points[index], border.crown(planting, SEASON)
    kept: list[tuple[Point, float]] = []
    for other in border.standing:
        beside = border.crown(other, SEASON)
        if other.number == planting.number or crown is None or beside is None or _in_no_way(planting, other):
            continue
        meeting = widest_together(crown, beside, SHARED)
        if meeting is None or meeting[0] <= 0:
            continue
        needed = ROOM * meeting[0]
        mixed = planting.woody != other.woody
        kept += [(point, min(needed, dist(here, point)) if mixed else needed) for point in other.points]
    beds = [bed.outline for bed in border.plan.borders]
    houses = [structure.outline for structure in border.plan.structures if structure.outline]

    def free(place: Point) -> bool:
        if beds and not any(inside(place, bed) for bed in beds):
            return False
        if any(inside(place, house) for house in houses):
            return False
        return all(dist(place, point) >= least - 0.005 for point, least in kept)

    return free


def _in_no_way(planting: Planting, other: Planting) -> bool:
    if other.traits.name == planting.traits.name or other.temporary or other.supported or other.life_form == "bulb":
        return True
    return bool(other.traits.yes("weaves") or other.traits.yes("see_through"))


def _spread(places: Iterator[Point]) -> Iterator[Point]:
    """A few of the places, each some way from those before it."""
    chosen: list[Point] = []
    for place in places:
        if all(dist(place, other) >= APART for other in chosen):
            chosen.append(place)
            yield place
        if len(chosen) == TRIED:
            return


def _moved(border: Border, planting: Planting, index: int, place: Point) -> Repair:
    here = planting.points[index]
    way = dist(here, place)
    said = _stated(border, (*planting.path, "at"))
    path = (
        (*planting.path, "at", index)
        if isinstance(said, list) and said and isinstance(said[0], list)
        else (*planting.path, "at")
    )
    words = f"Move {planting.title} {metres(way)} {_towards(here, place)}, to ({place[0]:g}, {place[1]:g})"
    return Repair(words, (Edit(path, [place[0], place[1]]),), way <= NEAR, (planting.key,))


def _towards(here: Point, place: Point) -> str:
    """Which way, seen from the front."""
    across, back = place[0] - here[0], place[1] - here[1]
    parts = [
        word
        for word, far in (
            ("back" if back > 0 else "forward", abs(back)),
            ("to the right" if across > 0 else "to the left", abs(across)),
        )
        if far >= 0.03
    ]
    return " and ".join(parts) or "a little"


def _into_sun(finding: Finding, border: Border) -> Iterator[Repair]:
    subject = _mover(finding, border)
    if subject is None or len(subject[0].points) > 1 or border.plan.site.latitude is None:
        return
    planting, index = subject
    crown = border.crown(planting, SEASON)
    limits = declarations()["LIGHT-01"].limits()
    if crown is None:
        return
    for place in _spread(
        _sunny(border, planting, index, 0.9 * crown.top, limits["warning_hours"], limits["warning_share"])
    ):
        yield _moved(border, planting, index, place)


def _sunny(
    border: Border, planting: Planting, index: int, height: float, hours: float, share: float
) -> Iterator[Point]:
    for place in islice(_places(border, planting, index, SUNNY), 0, 600, 7):
        june, _, _, beam = border.light_at((*place, height), SEASON, planting.number)
        if june >= hours and beam >= share:
            yield place


def _exchange(finding: Finding, border: Border) -> Iterator[Repair]:
    planting = border.by_key.get(finding.keys[0]) if finding.keys else None
    if planting is None or len(planting.points) != 1 or not _is_placed(border, planting):
        return
    here = planting.points[0]
    before = [
        other
        for other in border.plantings
        if other is not planting and len(other.points) == 1 and _is_placed(border, other) and not other.line.locked
        and other.points[0][1] < here[1] and dist(other.points[0], here) <= FARTHEST
    ]  # fmt: skip
    for other in sorted(before, key=lambda other: dist(other.points[0], here))[:TRIED]:
        there = other.points[0]
        edits = (_moved(border, planting, 0, there).edits[0], _moved(border, other, 0, here).edits[0])
        yield Repair(f"Let {planting.title} and {other.title} change places", edits, False, (planting.key, other.key))
    for place in _spread(place for place in _places(border, planting, 0, FARTHEST) if place[1] < here[1] - STEP):
        yield _moved(border, planting, 0, place)


# ---- on the spot


def _raise(finding: Finding, border: Border) -> Iterator[Repair]:
    lift = finding.evidence.get("lift")
    over = next(
        (border.by_key[key] for key in finding.keys if border.by_key[key].title == finding.evidence.get("over")), None
    )
    if finding.case != "raise" or over is None or over.kept or not isinstance(lift, int | float):
        return
    words = f"Raise the canopy of {over.title} to {metres(float(lift))}, in stages as it grows"
    yield Repair(words, (Edit((*over.path, "clear_stem"), float(lift)),), True, (over.key,))


def _quantity(finding: Finding, border: Border) -> Iterator[Repair]:
    number = next(
        (finding.evidence[name] for name in ("fit", "enough", "drawn", "quantity") if name in finding.evidence), None
    )
    planting = border.by_key.get(finding.keys[0]) if finding.keys else None
    if not isinstance(number, int) or planting is None or finding.at[-1] != "quantity":
        return
    where = " in the schedule" if finding.at[0] == "schedule" else ""
    words = f"Set the quantity of {planting.title}{where} to {number}"
    yield Repair(words, (Edit(finding.at, number),), True, finding.keys)


def _name(finding: Finding, border: Border) -> Iterator[Repair]:
    name = finding.evidence.get("accepted") or finding.evidence.get("nearest")
    if isinstance(name, str) and name:
        yield Repair(f"Write {name} for {finding.evidence['name']}", (Edit(finding.at, name),), True, finding.keys)


# ---- another plant, or one more


def _swap(finding: Finding, border: Border, options: Options) -> Iterator[Repair]:
    from bedfellow.linter.repair.substitute import substitutes

    planting = border.by_key.get(finding.keys[0]) if finding.keys else None
    if planting is None or planting.kept or planting.line.mix or planting.line.traits:
        return
    try:
        found = substitutes(border, planting, (), (), WANTED, options)
    except ValueError:  # too little is known of the plant for another to keep its role
        return
    for one in (*found.good, *found.near):
        name = one.candidate.traits.name
        if finding.code in {gone.code for gone in one.outcome.gone}:
            yield Repair(
                f"Plant {name} in place of {planting.title}",
                (Edit((*planting.path, "name"), name),),
                False,
                (planting.key,),
            )


def _add(finding: Finding, border: Border, options: Options) -> Iterator[Repair]:
    from bedfellow.linter.repair.gap import NoRoom, fillers, line_of, place, roomiest
    from bedfellow.traits_db.search.asked import asked

    month = finding.evidence.get("month")
    asks = (
        [asked(f"flower {MONTHS[month - 1]}")]
        if isinstance(month, int)
        else [asked("foliage evergreen"), asked("height at least 60 cm")]
    )
    spot = roomiest(border)
    data = border.plan.document.data
    if spot is None or not isinstance(data.get("plants"), list):
        return
    try:
        found = fillers(border, place(border, spot), asks, [], "", WANTED, options)
    except NoRoom:
        return
    for filler in found.good:
        line = line_of(filler, spot)
        at = [[x, y] for x, y in line.at]
        item = {"key": _key(line.name, set(border.by_key)), "name": line.name, "at": at[0] if len(at) == 1 else at}
        number = f"{filler.number} of " if filler.number > 1 else ""
        words = f"Add {number}{line.name} at ({spot[0]:g}, {spot[1]:g})"
        yield Repair(words, (Edit(("plants", len(data["plants"])), item),), False, ())


def _key(name: str, taken: set[str]) -> str:
    """A key as designers make them: CoM for Cornus mas, with a number where that is taken."""
    genus, *rest = name.replace("×", " ").split()
    key = genus[:2] + next((word[0].upper() for word in rest if word[0].isalpha()), "")
    return next(one for one in (key, *(f"{key}{n}" for n in range(2, len(taken) + 3))) if one not in taken)


_MOVING: Sequence[str] = (
    "SPACE-01", "SPACE-04", "SPACE-05", "SPACE-06", "SPACE-07", "SPACE-12", "CLIMB-02", "SITE-06", "TREE-03", "TREE-04", "SAFE-03",
)  # fmt: skip
MENDS: dict[str, Callable[[Finding, Border], Iterator[Repair]]] = {
    **dict.fromkeys(_MOVING, _move), "LIGHT-01": _into_sun, "LAYER-01": _exchange, "SPACE-02": _raise, "STOCK-01": _quantity,
    "STOCK-02": _quantity, "SPACE-08": _quantity, "COVER-02": _quantity, "STOCK-03": _name, "STOCK-04": _name,
}  # fmt: skip
_SWAPPED: Sequence[str] = (
    "SITE-01", "SITE-02", "SITE-03", "SITE-04", "LIGHT-02", "SAFE-01", "VIGOUR-02", "VIGOUR-03", "VIGOUR-04", "CLIMB-03",
)  # fmt: skip
CHANGES: dict[str, Callable[[Finding, Border, Options], Iterator[Repair]]] = {
    **dict.fromkeys(_SWAPPED, _swap), "SEASON-01": _add, "WINTER-01": _add,
}  # fmt: skip
