"""A plan as typed, frozen objects; ``decode.plan_from`` makes them of a document that fits the schema.

    Plan ─ Site, Bed…, Structure…, Line…, Retained…, Surface…, Brief, Acceptance…, ScheduleLine…

Lengths are metres, bearings degrees, points (x, y) in the plan's frame. Every object knows its path in the file. What the
plan does not say is None, or empty where there can be several.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from bedfellow.schema.geometry import Point, distance_to
from bedfellow.schema.place import Path
from bedfellow.schema.reader import Document

if TYPE_CHECKING:
    from bedfellow.schema.values import Value


@dataclass(frozen=True, slots=True)
class Site:
    path: Path = ("site",)
    latitude: float | None = None
    longitude: float | None = None
    altitude: float | None = None
    faces: float | None = None
    north: float | None = None
    ph: tuple[float, float] | None = None
    texture: str | None = None
    moisture: str | None = None
    minimum_temperature: float | None = None
    hottest_month_maximum: float | None = None
    shrinkable: bool | None = None
    horizon: tuple[tuple[float, float], ...] = ()
    more: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Bed:
    path: Path
    outline: tuple[Point, ...]
    name: str = ""
    more: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Structure:
    path: Path
    kind: str
    key: str | None = None
    points: tuple[Point, ...] = ()
    height: float | None = None
    openness: float | None = None
    wires: bool = False
    more: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Kept:
    """Height and width in metres that pruning keeps."""

    height: float | None = None
    width: float | None = None


@dataclass(frozen=True, slots=True)
class Line:
    path: Path
    key: str
    name: str
    at: tuple[Point, ...] = ()
    outline: tuple[Point, ...] = ()
    quantity: int | None = None
    centres: float | None = None
    per_m2: float | None = None
    grid: str = "staggered"
    hedge: tuple[Point, ...] = ()
    clear_stem: float | None = None
    clipped: Kept | None = None
    pruned_to: Kept | None = None
    coppiced: bool = False
    on: str | None = None
    trained: str | None = None
    through: str | None = None
    fills: tuple[str, ...] = ()
    out: str | None = None
    until: str | None = None
    grown_as: str | None = None
    status: str | None = None
    spare: int = 0
    traits: Mapping[str, Value] = field(default_factory=dict)
    more: Mapping[str, Any] = field(default_factory=dict)

    @property
    def stated_quantity(self) -> int | None:
        """Number of plants that the line states, by quantity or by positions."""
        return self.quantity if self.quantity is not None else len(self.at) or None


@dataclass(frozen=True, slots=True)
class Retained:
    path: Path
    key: str
    name: str
    at: Point
    height: float | None = None
    crown: tuple[float, ...] = ()
    stems: tuple[float, ...] = ()
    action: str = "keep"
    more: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Surface:
    path: Path
    kind: str
    points: tuple[Point, ...] = ()
    outline: tuple[Point, ...] = ()
    by: str = "hand"

    def distance_to(self, point: Point) -> float:
        """Metres from a point to its edge, line or place; infinite where it has none."""
        return distance_to(point, self.outline) if self.outline else distance_to(point, self.points, closed=False)


@dataclass(frozen=True, slots=True)
class Brief:
    path: Path = ("brief",)
    must_have: tuple[int, ...] = ()
    winter_matters: bool | None = None
    children: tuple[float, ...] | None = None
    pets: tuple[str, ...] = ()
    avoid: tuple[tuple[str, ...], ...] = ()
    more: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Acceptance:
    path: Path
    code: str
    reason: str
    keys: tuple[str, ...] = ()
    whole: bool = False
    until: str | None = None


@dataclass(frozen=True, slots=True)
class ScheduleLine:
    path: Path
    key: str
    quantity: int | None = None
    more: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Mulch:
    path: Path
    depth: float | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    document: Document
    complete: bool
    title: str
    planted: tuple[int, int] | None
    site: Site
    borders: tuple[Bed, ...]
    structures: tuple[Structure, ...]
    lines: tuple[Line, ...]
    retained: tuple[Retained, ...]
    surfaces: tuple[Surface, ...]
    brief: Brief | None
    accepted: tuple[Acceptance, ...]
    schedule: tuple[ScheduleLine, ...]
    mulch: Mulch | None
    more: Mapping[str, Any] = field(default_factory=dict)
