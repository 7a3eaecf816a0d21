"""A plan as typed, frozen objects; ``decode.plan_from`` makes them of a document that fits the schema.

    Plan ─ Site, Bed…, Structure…, Surface…, Line…, Brief, Acceptance…, ScheduleLine…, Mulch
      └ details.py: samples, soil areas, windows, services, boundaries, viewing places, retained plants, mixes, tasks …

Each field is an item of the plan, read as its kind says (items.py, kinds.py): lengths in metres, bearings in degrees, points
(x, y) in the plan's frame. Every object knows its path in the file. What the plan does not say is None, or empty where there
can be several; `extra` holds the keys that begin with x-. Two objects are the same only if they are one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bedfellow.schema import kinds
from bedfellow.schema.geometry import ROWS, Point, area, box, distance_to, nearest_on, strip
from bedfellow.schema.items import Reading, item, needed, others
from bedfellow.schema.place import Path
from bedfellow.schema.reader import Document

if TYPE_CHECKING:
    from bedfellow.schema import details
    from bedfellow.schema.units import Supplied

# Ground on which nothing is planted.
HARD = ("path", "paving", "water", "deck", "seat", "drive", "foothold", "road", "mowing strip")


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    path: Path
    latitude: float | None = item(kinds.number)
    longitude: float | None = item(kinds.number)
    altitude: float | None = item(kinds.level)
    faces: float | None = item(kinds.bearing)
    north: float | None = item(kinds.bearing)
    ph: tuple[float, float] | None = item(kinds.reaction)
    ph_measured_in: str | None = item(kinds.word)
    texture: str | None = item(kinds.word)
    moisture: str | None = item(kinds.word)
    fertility: str | None = item(kinds.word)
    minimum_temperature: float | None = item(kinds.number)
    hottest_month_maximum: float | None = item(kinds.number)
    first_frost: int | None = item(kinds.day)
    last_frost: int | None = item(kinds.day)
    shrinkable: bool | None = item(kinds.yes)
    soil_depth: float | None = item(kinds.length)
    added_topsoil: float | None = item(kinds.length)
    exposure: str | None = item(kinds.word)
    frost_pocket: bool | None = item(kinds.yes)
    coast: float | None = item(kinds.length)
    urban: bool | None = item(kinds.yes)
    warming: float | None = item(kinds.number)
    wild_land: float | None = item(kinds.length)
    horizon: tuple[tuple[float, float], ...] = item(kinds.several(kinds.pair(kinds.number)), ())
    slope: float | None = item(kinds.slope)
    jurisdiction: str | None = item(kinds.word)
    history: tuple[str, ...] = item(kinds.words, ())
    prevailing_wind: float | None = item(kinds.bearing)
    samples: tuple[details.Sample, ...] = item(kinds.many("Sample"), ())
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Bed:
    path: Path
    outline: tuple[Point, ...] = needed(kinds.outline)
    name: str = item(kinds.word, "")
    edging: str | None = item(kinds.word)
    mowing_strip: float | None = item(kinds.length)
    existing: bool | None = item(kinds.yes)
    soil: str | None = item(kinds.word)
    style: str | None = item(kinds.word)
    irrigated: bool | None = item(kinds.yes)
    matting: bool | None = item(kinds.yes)
    self_sown: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()

    @property
    def depth(self) -> float:
        """Metres across it the shorter way, on the mean of its length."""
        return area(self.outline) / max(high - low for low, high in box(self.outline))


@dataclass(frozen=True, slots=True, eq=False)
class Structure:
    path: Path
    kind: str = needed(kinds.word)
    key: str | None = item(kinds.word)
    outline: tuple[Point, ...] = item(kinds.outline, ())
    ends: tuple[Point, ...] = item(kinds.ends, (), "from", "to", "at")
    height: float | None = item(kinds.length)
    thickness: float | None = item(kinds.length)
    openness: float | None = item(kinds.number)
    wires: bool | None = item(kinds.yes)
    material: str | None = item(kinds.word)
    depth: float | None = item(kinds.length)
    damp_proof_course: float | None = item(kinds.length)
    eaves: float | None = item(kinds.length)
    foundations: str | None = item(kinds.word)
    windows: tuple[details.Window, ...] = item(kinds.many("Window"), ())
    air_bricks: tuple[Point, ...] = item(kinds.points, ())
    gutter: float | None = item(kinds.length)
    pointing: str | None = item(kinds.word)
    strength: str | None = item(kinds.word)
    supports: details.Supports | None = item(kinds.one("Supports"))
    extra: Mapping[str, Any] = others()

    @property
    def points(self) -> tuple[Point, ...]:
        """Its corners, else its ends or place."""
        return self.outline or self.ends

    def nearest_to(self, point: Point) -> Point:
        """The place on its faces or its line that is nearest to a point; it has two points or more."""
        return nearest_on(point, self.points, closed=len(self.points) > 2)


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    path: Path
    kind: str = needed(kinds.word)
    points: tuple[Point, ...] = item(kinds.ends, (), "from", "to", "at")
    outline: tuple[Point, ...] = item(kinds.outline, ())
    by: str = item(kinds.word, "hand")
    key: str | None = item(kinds.word)
    width: float | None = item(kinds.length)
    self_sown: str | None = item(kinds.word)
    splay: details.Splay | None = item(kinds.one("Splay"))
    extra: Mapping[str, Any] = others()

    @property
    def ground(self) -> tuple[Point, ...]:
        """Corners of the ground it takes: its outline, or its width along its line or about its place."""
        return self.outline or strip(self.points, self.width or 0.0)

    def distance_to(self, point: Point) -> float:
        """Metres from a point to its edge, line or place; infinite where it has none."""
        ground = self.ground
        return distance_to(point, ground) if ground else distance_to(point, self.points, closed=False)


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A line of plants. at: where they stand, whichever way that is stated; ground: net m² of its outline, less its holes."""

    path: Path
    name: str = needed(kinds.word)
    key: str = item(kinds.word, "")
    at: tuple[Point, ...] = item(kinds.points, ())
    outline: tuple[Point, ...] = item(kinds.outline, ())
    quantity: int | None = item(kinds.whole)
    centres: float | None = item(kinds.centres)
    per_m2: float | None = item(kinds.number)
    per_m: float | None = item(kinds.number)
    grid: str = item(kinds.word, "staggered")
    group: details.Group | None = item(kinds.one("Group"))
    hedge: tuple[Point, ...] = item(kinds.points, ())
    rows: int = item(kinds.whole, 1)
    scattered: float | None = item(kinds.length)
    border: str | None = item(kinds.word)
    clear_stem: float | None = item(kinds.length)
    form: str | None = item(kinds.word)
    supplied: Supplied | None = item(kinds.supplied)
    root_form: str | None = item(kinds.word)
    delivery: tuple[int, int] | None = item(kinds.month)
    planted: tuple[int, int] | None = item(kinds.month)
    clipped: details.Kept | None = item(kinds.one("Kept"))
    pruned_to: details.Kept | None = item(kinds.one("Kept"))
    coppiced: bool | None = item(kinds.yes)
    cut_back: details.CutBack | None = item(kinds.one("CutBack"))
    on: tuple[str, ...] = item(kinds.words, ())
    covers: float | None = item(kinds.length)
    trained: str | None = item(kinds.word)
    through: tuple[str, ...] = item(kinds.words, ())
    under: tuple[str, ...] = item(kinds.words, ())
    depth: float | None = item(kinds.length)
    clumps: int | None = item(kinds.whole)
    fills: tuple[str, ...] = item(kinds.words, ())
    out: int | None = item(kinds.day)
    until: tuple[int, int] | None = item(kinds.month)
    makes_way_for: str | None = item(kinds.word)
    grown_as: str | None = item(kinds.word)
    grown_in: str | None = item(kinds.word)
    winter: str | None = item(kinds.word)
    purpose: str | None = item(kinds.word)
    status: str | None = item(kinds.word)
    self_sown: details.SelfSown | None = item(kinds.one("SelfSown", short="status"))
    spare: int = item(kinds.whole, 0)
    locked: bool | None = item(kinds.yes)
    deadheaded: bool | None = item(kinds.yes)
    client_informed: bool | None = item(kinds.yes)
    trade_name: str | None = item(kinds.word)
    note: str | None = item(kinds.word)
    traits: Mapping[str, details.Stated] = item(kinds.stated, dict)
    extra: Mapping[str, Any] = others()
    mix: str | None = None
    ground: float | None = None
    holes: tuple[tuple[Point, ...], ...] = ()

    @property
    def stated_quantity(self) -> int | None:
        """Number of plants that the line states, by quantity or by positions."""
        return self.quantity if self.quantity is not None else len(self.at) or None

    @property
    def fitting(self) -> float | None:
        """How many plants its net ground takes at the distance or density that the line states."""
        if self.ground is None:
            return None
        if self.centres:
            return self.ground / self.centres**2 / (1 if self.grid == "square" else ROWS)
        return self.ground * self.per_m2 if self.per_m2 else None

    @property
    def number(self) -> int:
        """Number of plants, as stated or as fit; at least one."""
        return self.stated_quantity or max(1, round(self.fitting or 1))


@dataclass(frozen=True, slots=True, eq=False)
class Brief:
    path: Path
    must_have: tuple[int, ...] = item(kinds.several(kinds.whole), ())
    weights: Mapping[int, float] = item(kinds.by_month, dict)
    winter_matters: bool | None = item(kinds.yes)
    pollinators: bool | None = item(kinds.yes)
    style: str | None = item(kinds.word)
    palette: Mapping[str, tuple[str, ...]] = item(kinds.by_season, dict)
    avoid: tuple[tuple[str, str], ...] = item(kinds.several(kinds.pair(kinds.word)), ())
    children: tuple[float, ...] | None = item(kinds.numbers)
    pets: tuple[str, ...] = item(kinds.words, ())
    livestock: tuple[str, ...] = item(kinds.words, ())
    hours_a_year: float | None = item(kinds.number)
    hours_are_a_limit: bool | None = item(kinds.yes)
    budget: float | None = item(kinds.number)
    currency: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Acceptance:
    path: Path
    code: str = needed(kinds.word)
    reason: str = item(kinds.word, "")
    keys: tuple[str, ...] = item(kinds.words, ())
    whole: bool | None = item(kinds.yes)
    until: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class ScheduleLine:
    path: Path
    key: str = needed(kinds.word)
    quantity: int | None = item(kinds.whole)
    supplied: Supplied | None = item(kinds.supplied)
    price: float | None = item(kinds.number)
    substitution: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Mulch:
    path: Path
    depth: float | None = item(kinds.length)
    material: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """complete: everything in the file was read; readings: lengths in other units than metres. Lines hold those of mixes too."""

    path: Path
    document: Document
    complete: bool
    readings: tuple[Reading, ...]
    site: Site = needed(kinds.one(Site))
    format: int | None = item(kinds.whole)
    title: str = item(kinds.word, "")
    planted: tuple[int, int] | None = item(kinds.month)
    traits_version: str | None = item(kinds.word)
    borders: tuple[Bed, ...] = item(kinds.either(Bed, "border", "borders"), (), "border", "borders")
    structures: tuple[Structure, ...] = item(kinds.many(Structure), ())
    surfaces: tuple[Surface, ...] = item(kinds.many(Surface), ())
    retained: tuple[details.Retained, ...] = item(kinds.many("Retained"), ())
    boundaries: tuple[details.Boundary, ...] = item(kinds.many("Boundary"), ())
    soil_areas: tuple[details.SoilArea, ...] = item(kinds.many("SoilArea"), ())
    services: tuple[details.Service, ...] = item(kinds.many("Service"), ())
    viewing: tuple[details.Viewing, ...] = item(kinds.many("Viewing"), ())
    lines: tuple[Line, ...] = item(kinds.many(Line), (), "plants")
    mixes: tuple[details.Mix, ...] = item(kinds.many("Mix"), ())
    brief: Brief | None = item(kinds.one(Brief))
    accepted: tuple[Acceptance, ...] = item(kinds.many(Acceptance), ())
    schedule: tuple[ScheduleLine, ...] = item(kinds.many(ScheduleLine), ())
    tasks: tuple[details.Task, ...] = item(kinds.many("Task"), ())
    mulch: Mulch | None = item(kinds.one(Mulch))
    settings: Mapping[str, Any] = item(kinds.as_it_is, dict)
    extra: Mapping[str, Any] = others()
