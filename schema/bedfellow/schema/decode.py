"""From a document that fits the schema to the plan's typed objects, and what is wrong with its geometry (PLAN-03)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import dist, isfinite
from typing import TYPE_CHECKING, Any

from bedfellow.schema import units
from bedfellow.schema.geometry import Point, along, area, crossing, distance_to, inside
from bedfellow.schema.place import Fault, Path
from bedfellow.schema.plan import (
    Acceptance,
    Bed,
    Brief,
    Kept,
    Line,
    Mulch,
    Plan,
    Retained,
    ScheduleLine,
    Site,
    Structure,
    Surface,
)
from bedfellow.schema.reader import Document

if TYPE_CHECKING:
    from bedfellow.schema.values import Value

OUTSIDE = 0.05  # m: a plant may stand this far beyond the outline before it is outside
HEDGE = 3.0  # plants a metre where a hedge states none: common practice for a single row
MOST_IN_A_HEDGE = 10_000
SLIP = 3.0  # times the bed's size: a coordinate beyond is a slip of units


class _Decoder:
    """Collects faults while it decodes; a list item at fault is left out and the rest kept."""

    def __init__(self, document: Document, at_fault: frozenset[Path]) -> None:
        self.document, self.at_fault = document, at_fault
        self.faults: list[Fault] = []

    def fault(self, path: Path, message: str, code: str = "PLAN-03") -> None:
        self.faults.append(Fault(code, path, self.document.span(path), message))

    def items(self, data: Any, name: str) -> list[tuple[Path, dict[str, Any]]]:
        entries = data.get(name)
        if not isinstance(entries, list):
            return []
        return [
            ((name, n), entry) for n, entry in enumerate(entries) if not self.bad((name, n)) and isinstance(entry, dict)
        ]

    def bad(self, path: Path) -> bool:
        return any(fault[: len(path)] == path for fault in self.at_fault)

    def length(self, path: Path, raw: Any, least: float | None = None) -> float | None:
        if raw is None:
            return None
        try:
            value = units.length(raw)
        except ValueError as error:
            self.fault(path, f"{error}.")
            return None
        if least is not None and value < least:
            self.fault(path, f"{units.shown(raw)} is below {least:g} m.")
            return None
        return value

    def point(self, path: Path, raw: Any) -> Point | None:
        if not isinstance(raw, list) or len(raw) != 2:
            return None
        x, y = self.length((*path, 0), raw[0]), self.length((*path, 1), raw[1])
        return (x, y) if x is not None and y is not None else None

    def points(self, path: Path, raw: Any) -> tuple[Point, ...]:
        got = [self.point((*path, n), entry) for n, entry in enumerate(raw or [])]
        return tuple(point for point in got if point is not None)

    def outline(self, path: Path, raw: Any) -> tuple[Point, ...]:
        points = self.points(path, raw)
        if points and points[0] == points[-1]:
            points = points[:-1]
        if raw and len(points) < 3:
            self.fault(path, "an outline needs three corners or more.")
            return ()
        if points and crossing(points):
            first, second = crossing(points)  # type: ignore[misc]
            self.fault(path, f"the outline crosses itself: edge {first + 1} and edge {second + 1}.")
            return ()
        if points and area(points) <= 0:
            self.fault(path, "the outline has no area.")
            return ()
        return points


def plan_from(document: Document, at_fault: frozenset[Path] = frozenset()) -> tuple[Plan | None, tuple[Fault, ...]]:
    """The plan in a document, and PLAN-03 faults. at_fault: paths that the schema found wrong; items with one are left out."""
    data = document.data
    if not isinstance(data, dict) or not isinstance(data.get("site", {}), dict):
        return None, ()
    endless = [path for path, number in _numbers(data, ()) if not isfinite(number)]
    de = _Decoder(document, at_fault | frozenset(endless))
    for path in endless:
        de.fault(path, "a number is expected here, and this is none or has no end.")
    borders = _beds(de, data)
    lines = tuple(
        _line(de, path, raw, n)
        for n, (path, raw) in enumerate(de.items(data, "plants"))
        if isinstance(raw.get("name"), str)
    )
    lines += _mixed(de, data)
    structures = tuple(_structure(de, path, raw) for path, raw in de.items(data, "structures"))
    lines = tuple(line for line in lines if _stands_inside(de, line, borders, structures))
    surfaces = tuple(
        Surface(
            path,
            raw.get("kind", ""),
            _ends(de, path, raw),
            de.outline((*path, "outline"), raw.get("outline")),
            raw.get("by", "hand"),
        )
        for path, raw in de.items(data, "surfaces")
    )
    mulch = data.get("mulch")
    plan = Plan(
        document=document,
        complete=document.complete and not at_fault and not de.faults,
        title=str(data.get("title", "")),
        planted=_month(data.get("planted")),
        site=_site(de, {} if de.bad(("site",)) and not isinstance(data.get("site"), dict) else data.get("site") or {}),
        borders=borders,
        structures=structures,
        lines=lines,
        retained=tuple(
            _retained(de, path, raw) for path, raw in de.items(data, "retained") if isinstance(raw.get("at"), list)
        ),
        surfaces=surfaces,
        brief=_brief(data["brief"]) if isinstance(data.get("brief"), dict) and not de.bad(("brief",)) else None,
        accepted=tuple(
            Acceptance(
                path, raw["code"], raw["reason"], tuple(raw.get("keys") or ()), _yes(raw.get("whole")), raw.get("until")
            )
            for path, raw in de.items(data, "accepted")
        ),
        schedule=tuple(
            ScheduleLine(path, raw["key"], raw.get("quantity"), raw) for path, raw in de.items(data, "schedule")
        ),
        mulch=Mulch(("mulch",), de.length(("mulch", "depth"), mulch.get("depth"), 0))
        if isinstance(mulch, dict)
        else None,
        more=data,
    )
    return plan, tuple(de.faults)


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


def _beds(de: _Decoder, data: Mapping[str, Any]) -> tuple[Bed, ...]:
    found = [(("border",), data["border"])] if isinstance(data.get("border"), dict) else []
    entries: list[tuple[Path, dict[str, Any]]] = [*found, *de.items(data, "borders")]
    beds = []
    for path, raw in entries:
        if de.bad(path):
            continue
        outline = de.outline((*path, "outline"), raw.get("outline"))
        if outline:
            beds.append(Bed(path, outline, raw.get("name", ""), raw))
    return tuple(beds)


def _site(de: _Decoder, raw: Mapping[str, Any]) -> Site:
    def known(name: str) -> Any:
        return None if de.bad(("site", name)) else raw.get(name)

    ph, faces, north = known("ph"), known("faces"), known("north")
    return Site(
        latitude=known("latitude"),
        longitude=known("longitude"),
        altitude=de.length(("site", "altitude"), known("altitude")),
        faces=None if faces is None else units.bearing(faces),
        north=None if north is None else units.bearing(north),
        ph=None if ph is None else (min(ph), max(ph)) if isinstance(ph, list) else (ph, ph),
        texture=known("texture"),
        moisture=known("moisture"),
        minimum_temperature=known("minimum_temperature"),
        hottest_month_maximum=known("hottest_month_maximum"),
        shrinkable=None if known("shrinkable") is None else _yes(known("shrinkable")),
        horizon=tuple((a, b) for a, b in known("horizon") or ()),
        more=raw,
    )


def _structure(de: _Decoder, path: Path, raw: Mapping[str, Any]) -> Structure:
    points = de.outline((*path, "outline"), raw.get("outline")) or _ends(de, path, raw)
    height = de.length((*path, "height"), raw.get("height"), 0)
    return Structure(
        path, raw.get("kind", ""), raw.get("key"), points, height, raw.get("openness"), _yes(raw.get("wires")), raw
    )


def _ends(de: _Decoder, path: Path, raw: Mapping[str, Any]) -> tuple[Point, ...]:
    ends = [de.point((*path, name), raw[name]) for name in ("from", "to", "at") if name in raw]
    return tuple(point for point in ends if point is not None)


def _line(de: _Decoder, path: Path, raw: Mapping[str, Any], number: int) -> Line:
    at = raw.get("at") or []
    single = bool(at) and not isinstance(at[0], list)
    group = raw.get("group")
    points = de.points((*path, "at"), [at]) if single else de.points((*path, "at"), at)
    if isinstance(group, dict):
        points = _cluster(de, path, group)
    centres = de.length((*path, "centres"), raw.get("centres"), 0.01)
    hedge = de.points((*path, "hedge"), raw.get("hedge"))
    if len(hedge) > 1 and not points:
        points = _row(hedge, raw, centres)

    def kept(name: str) -> Kept | None:
        size = raw.get(name)
        if not isinstance(size, dict):
            return None
        return Kept(
            de.length((*path, name, "height"), size.get("height"), 0),
            de.length((*path, name, "width"), size.get("width"), 0),
        )

    return Line(
        path=path, key=raw.get("key") or f"{raw['name']} {number + 1}", name=raw["name"], at=points,
        outline=de.outline((*path, "outline"), raw.get("outline")), quantity=raw.get("quantity"),
        centres=centres, per_m2=raw.get("per_m2"), grid=raw.get("grid", "staggered"),
        hedge=hedge, clear_stem=de.length((*path, "clear_stem"), raw.get("clear_stem"), 0),
        clipped=kept("clipped"), pruned_to=kept("pruned_to"), coppiced=_yes(raw.get("coppiced")), on=raw.get("on"),
        trained=raw.get("trained"), through=raw.get("through"), fills=tuple(raw.get("fills") or ()), out=raw.get("out"),
        until=raw.get("until"), grown_as=raw.get("grown_as"), status=_status(raw), spare=raw.get("spare", 0),
        traits=_stated(de, (*path, "traits"), raw.get("traits") or {}), more=raw,
    )  # fmt: skip


def _mixed(de: _Decoder, data: Mapping[str, Any]) -> tuple[Line, ...]:
    """The plants of mixes as lines of their own, which say so by `mix` in `more`."""
    found = []
    for path, raw in de.items(data, "mixes"):
        from bedfellow.schema.mixes import lines_of

        outline = de.outline((*path, "outline"), raw.get("outline"))
        centres = de.length((*path, "centres"), raw.get("centres"), 0.01)
        if outline:
            for part, n, line in lines_of(raw, raw.get("key") or f"mix {path[-1]}", outline, centres):
                found.append(_line(de, (*path, part, n), line, n))
    return tuple(found)


def _stated(de: _Decoder, path: Path, raw: Mapping[str, Any]) -> dict[str, Value]:
    """What the line itself says of its plant; a word or value that is none is told and left out."""
    if not raw:
        return {}
    from difflib import get_close_matches

    from bedfellow.schema.traits import trait_table
    from bedfellow.schema.values import read_value

    table, said = trait_table().traits, {}
    for name, entry in raw.items():
        if name not in table:
            near = get_close_matches(name, table, 1)
            de.fault(
                (*path, name), f"there is no trait '{name}'{f'; did you mean {near[0]}?' if near else ''}.", "PLAN-02"
            )
            continue
        try:
            said[name] = read_value(table[name], entry["value"])
        except ValueError as error:
            de.fault((*path, name), f"{error}.", "PLAN-02")
    return said


def _row(hedge: tuple[Point, ...], raw: Mapping[str, Any], centres: float | None) -> tuple[Point, ...]:
    """Where the plants of a hedge stand. `per_m` counts all rows; `centres` is the distance within one."""
    rows = raw.get("rows", 1)
    length = sum(dist(a, b) for a, b in pairwise(hedge))
    per_m = raw.get("per_m") or (rows / centres if centres else HEDGE)
    number = raw.get("quantity") or max(1, round(length * per_m))
    return along(hedge, min(number, MOST_IN_A_HEDGE), rows)


def _cluster(de: _Decoder, path: Path, group: Mapping[str, Any]) -> tuple[Point, ...]:
    """A group about its middle, on a ring wide enough for its centres; one plant in the middle from seven on."""
    from math import cos, pi, sin

    middle = de.point((*path, "group", "middle"), group["middle"])
    apart = de.length((*path, "group", "centres"), group.get("centres", 0.5), 0.01)
    number = group["number"]
    if middle is None or apart is None:
        return ()
    if number == 1:
        return (middle,)
    ring = number - 1 if number >= 7 else number
    radius = apart / (2 * sin(pi / ring))
    points = [
        (middle[0] + radius * cos(2 * pi * n / ring), middle[1] + radius * sin(2 * pi * n / ring)) for n in range(ring)
    ]
    return tuple(points if ring == number else [middle, *points])


def _stands_inside(de: _Decoder, line: Line, beds: tuple[Bed, ...], structures: tuple[Structure, ...]) -> bool:
    if not beds or line.hedge:
        return True  # a hedge has its own trench, which need not lie in a bed
    size = max(abs(value) for bed in beds for point in bed.outline for value in point)
    for index, point in enumerate(line.at):
        place = (*line.path, "at") if len(line.at) == 1 else (*line.path, "at", index)
        if max(abs(point[0]), abs(point[1])) > SLIP * size:
            de.fault(place, f"({point[0]:g}, {point[1]:g}) lies far outside the bed: are these metres?")
            return False
        if not any(inside(point, bed.outline) or distance_to(point, bed.outline) <= OUTSIDE for bed in beds):
            de.fault(place, f"{line.key} stands outside the bed, at ({point[0]:g}, {point[1]:g}).")
            return False
        if any(s.kind == "building" and len(s.points) > 2 and inside(point, s.points) for s in structures):
            de.fault(place, f"{line.key} stands inside a building.")
            return False
    return True


def _retained(de: _Decoder, path: Path, raw: Mapping[str, Any]) -> Retained:
    crown = raw.get("crown")
    radii = crown if isinstance(crown, list) else [] if crown is None else [crown]
    lengths = [de.length((*path, "crown"), radius, 0) for radius in radii]
    stems = [de.length((*path, "stems", n), stem, 0) for n, stem in enumerate(raw.get("stems") or [])]
    return Retained(
        path, raw.get("key") or raw["name"], raw["name"], de.point((*path, "at"), raw["at"]) or (0.0, 0.0),
        de.length((*path, "height"), raw.get("height"), 0), tuple(r for r in lengths if r is not None),
        tuple(s for s in stems if s is not None), raw.get("action", "keep"), raw,
    )  # fmt: skip


def _brief(raw: Mapping[str, Any]) -> Brief:
    children = raw.get("children")
    return Brief(
        must_have=tuple(raw.get("must_have") or ()),
        winter_matters=None if raw.get("winter_matters") is None else _yes(raw["winter_matters"]),
        children=None if children is None else tuple(children),
        pets=tuple(raw.get("pets") or ()),
        avoid=tuple(tuple(pair) for pair in raw.get("avoid") or ()),
        more=raw,
    )


def _status(raw: Mapping[str, Any]) -> str | None:
    """What the line says of its plant or of its seedlings: planted, allowed, tolerated or not wanted."""
    seedlings = raw.get("self_sown")
    said: str | None = seedlings.get("status") if isinstance(seedlings, dict) else seedlings
    return said or raw.get("status")


def _month(raw: Any) -> tuple[int, int] | None:
    try:
        return units.month(raw)
    except ValueError:
        return None


def _yes(raw: Any) -> bool:
    return raw in (True, "yes")
