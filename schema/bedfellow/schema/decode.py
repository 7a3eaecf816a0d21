"""From a document that fits the schema to the plan's typed objects, and what is wrong with its geometry (PLAN-03).

``plan.py`` declares what is read and how. Here is what takes more than one item: keys by default, where the plants of a
group, a hedge or a mix stand, net ground, pH by samples, and whether a plant stands where it can.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import dist, isfinite
from typing import Any

from bedfellow.schema.geometry import NO_GROUND, Point, along, cluster, distance_to, inside, meet, net_area, strip
from bedfellow.schema.items import Notes, read, table_of
from bedfellow.schema.place import Fault, Path
from bedfellow.schema.plan import HARD, Bed, Line, Plan, Site, Structure
from bedfellow.schema.reader import Document

OUTSIDE = 0.05  # m: a plant may stand this far beyond the outline before it is outside
HEDGE = 3.0  # plants a metre where a hedge states none: common practice for a single row
MOST_IN_A_HEDGE = 10_000
SLIP = 3.0  # times the bed's size: a coordinate beyond is a slip of units


def plan_from(document: Document, at_fault: frozenset[Path] = frozenset()) -> tuple[Plan | None, tuple[Fault, ...]]:
    """The plan in a document, and what is wrong with it.

    at_fault: paths that the schema found wrong. A list item with one in it is left out, and of a mapping the value.
    """
    data = document.data
    if not isinstance(data, dict) or not isinstance(data.get("site", {}), dict):
        return None, ()
    endless = [path for path, number in _numbers(data, ()) if not isfinite(number)]
    notes = Notes(document, at_fault | frozenset(endless), SPECIAL)
    for path in endless:
        notes.fault(path, "a number is expected here, and this is none or has no end.")
    notes.measured_in = data.get("site", {}).get("ph_measured_in")
    # In the order of the declaration: what takes ground comes before what is planted on it.
    forms = table_of(Plan).forms
    ordered = {name: data[name] for name in (*forms, *(name for name in data if name not in forms)) if name in data}
    plan: Plan | None = read(Plan, notes, (), ordered)
    return plan, tuple(notes.faults)


def _numbers(data: Any, path: Path) -> Iterator[tuple[Path, float]]:
    """Every fractional number of a document with its path."""
    if isinstance(data, float):
        yield path, data
    elif isinstance(data, dict):
        for key, value in data.items():
            yield from _numbers(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from _numbers(value, (*path, index))


# ---- what more is made of the values of an object before it is made; False leaves it out


def _plan(notes: Notes, _: Path, values: dict[str, Any]) -> bool:
    values.setdefault("site", Site(("site",)))
    lines = values.get("lines", ())
    if "mixes" in values:
        from bedfellow.schema.mixes import lines_of

        lines += tuple(line for mix in values["mixes"] for line in lines_of(mix))
    beds = values.get("borders", ())
    stated = [entry for name in ("border", "borders") for entry in _listed(notes.document.data.get(name))]
    buildings = [s for s in values.get("structures", ()) if s.kind == "building" and s.outline]
    values["lines"] = tuple(
        line for line in lines if _stands(notes, line, beds if len(beds) == len(stated) else (), buildings)
    )
    values["document"] = notes.document
    values["complete"] = notes.document.complete and not notes.at_fault and not notes.faults
    values["readings"] = tuple(notes.readings)
    return True


def _listed(raw: Any) -> list[Any]:
    return raw if isinstance(raw, list) else [] if raw is None else [raw]


def _site(_: Notes, __: Path, values: dict[str, Any]) -> bool:
    """Where the site states no pH, the range of its samples."""
    found = [end for sample in values.get("samples", ()) if sample.ph for end in sample.ph]
    if found and "ph" not in values:
        values["ph"] = (min(found), max(found))
    return True


def _structure(notes: Notes, _: Path, values: dict[str, Any]) -> bool:
    if "outline" in values:
        notes.holes.append(values["outline"])
    return True


def _surface(notes: Notes, _: Path, values: dict[str, Any]) -> bool:
    hole = values.get("outline") or strip(values.get("points", ()), values.get("width", 0.0))
    if hole and values.get("kind") in HARD:
        notes.holes.append(hole)
    return True


def _line(notes: Notes, path: Path, values: dict[str, Any]) -> bool:
    if "name" not in values:
        return False
    values.setdefault("key", f"{values['name']} {int(path[-1]) + 1}")
    group, hedge, seedlings = values.get("group"), values.get("hedge", ()), values.get("self_sown")
    if group:
        values["at"] = cluster(group.middle, max(1, group.number), group.centres)
    elif len(hedge) > 1 and not values.get("at"):
        values["at"] = _row(hedge, values)
    if seedlings:
        # What a line says of its plant's seedlings is what it says of the plant as a seedling.
        values["status"] = seedlings.status
    return _on_ground(notes, path, values)


def _mix(notes: Notes, path: Path, values: dict[str, Any]) -> bool:
    values.setdefault("key", f"mix {path[-1]}")
    return _on_ground(notes, path, values)


def _retained(_: Notes, __: Path, values: dict[str, Any]) -> bool:
    values.setdefault("key", values.get("name", ""))
    return True


def _on_ground(notes: Notes, path: Path, values: dict[str, Any]) -> bool:
    """Adds the net ground of an outline."""
    outline = values.get("outline")
    if not outline:
        return True
    holes = tuple(hole for hole in notes.holes if meet(outline, hole))
    values["ground"], values["holes"] = net_area(outline, holes), holes
    if values["ground"] > NO_GROUND:
        return True
    notes.fault(
        (*path, "outline"), f"{values['key']} has no ground to stand on: all of it is built on, paved or water."
    )
    return False


def _row(hedge: Sequence[Point], values: dict[str, Any]) -> tuple[Point, ...]:
    """Where the plants of a hedge stand. `per_m` counts all rows; `centres` is the distance within one."""
    rows, apart = values.get("rows", 1), values.get("centres")
    length = sum(dist(a, b) for a, b in pairwise(hedge))
    per_m = values.get("per_m") or (rows / apart if apart else HEDGE)
    number = values.get("quantity") or max(1, round(length * per_m))
    return along(hedge, min(number, MOST_IN_A_HEDGE), rows)


def _stands(notes: Notes, line: Line, beds: Sequence[Bed], buildings: Sequence[Structure]) -> bool:
    """A line stands in a bed and outside the buildings, as far as these are known."""
    if not beds or line.hedge:
        return True  # a hedge has its own trench, which need not lie in a bed
    size = max(abs(value) for bed in beds for point in bed.outline for value in point)
    for index, point in enumerate(line.at):
        place = (*line.path, "at") if len(line.at) == 1 else (*line.path, "at", index)
        if max(abs(point[0]), abs(point[1])) > SLIP * size:
            notes.fault(place, f"({point[0]:g}, {point[1]:g}) lies far outside the bed: are these metres?")
            return False
        if not any(inside(point, bed.outline) or distance_to(point, bed.outline) <= OUTSIDE for bed in beds):
            notes.fault(place, f"{line.key} stands outside the bed, at ({point[0]:g}, {point[1]:g}).")
            return False
        if any(inside(point, building.outline) for building in buildings):
            notes.fault(place, f"{line.key} stands inside a building.")
            return False
    return True


SPECIAL = {
    "Plan": _plan, "Site": _site, "Structure": _structure, "Surface": _surface, "Line": _line, "Mix": _mix,
    "Retained": _retained,
}  # fmt: skip
