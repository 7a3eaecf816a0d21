"""A place that cannot be one: outside the beds, within a building, or written in another unit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import dist

from bedfellow.linter.repair.changes.moves import NEAR, TRIED, rings
from bedfellow.linter.repair.changes.repair import Repair, stated
from bedfellow.linter.repair.edit import Edit
from bedfellow.rules.border.border import Border
from bedfellow.rules.finding import Finding
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import Point, distance_to, inside

UNITS = (("centimetres", 0.01), ("millimetres", 0.001), ("feet", 0.3048))
EDGE, STEP, BEYOND = (
    0.3,
    0.1,
    2.0,
)  # m: from the edge of a bed, between rings, and farther than the bed: common practice


def into_a_bed(finding: Finding, border: Border) -> Iterator[Repair]:
    """The place read in another unit, else the nearest places in a bed."""
    said, line = stated(border, finding.at), stated(border, finding.at[:2])
    beds = [bed.outline for bed in border.plan.borders]
    if not (_is_point(said) and isinstance(line, dict) and beds) or line.get("locked"):
        return
    here = float(said[0]), float(said[1])
    title = f"{line.get('name')} ({line['key']})" if line.get("key") else str(line.get("name"))

    def free(place: Point) -> bool:
        within = any(inside(place, bed) and distance_to(place, bed) >= EDGE for bed in beds)
        return within and not any(inside(place, s.outline) for s in border.plan.structures if s.outline)

    for unit, factor in UNITS:
        place = round(here[0] * factor, 2), round(here[1] * factor, 2)
        if free(place):
            words = f"Read the place of {title} in {unit}: ({place[0]:g}, {place[1]:g}) in metres"
            yield Repair(words, (Edit(finding.at, list(place)),), True, ())
    for place in _nearest(here, free, min(distance_to(here, bed) for bed in beds)):
        far = dist(here, place)
        words = f"Move {title} {metres(far)} into the bed, to ({place[0]:g}, {place[1]:g})"
        yield Repair(words, (Edit(finding.at, list(place)),), far <= NEAR, (), far=far)


def _is_point(said: object) -> bool:
    return isinstance(said, list) and len(said) == 2 and all(isinstance(value, int | float) for value in said)


def _nearest(here: Point, free: Callable[[Point], bool], off: float) -> Iterator[Point]:
    """A few free places, the nearest first, each some way from those before it; off: m to the nearest bed."""
    chosen: list[Point] = []
    first = max(0.0, off - STEP)
    for across, back in rings(first + ring * STEP for ring in range(round((off + BEYOND) / STEP) + 1)):
        place = round(here[0] + across, 2), round(here[1] + back, 2)
        if free(place) and all(dist(place, other) >= 2 * EDGE for other in chosen):
            chosen.append(place)
            yield place
            if len(chosen) == TRIED:
                return
