"""The parts of a plan that most plans do without, loaded when one has them; as in ``plan.py``.

Site      Sample…                    Line      Group, Kept, CutBack, SelfSown, Stated…
Structure Window…, Supports          Mix       Member…
Surface   Splay                      Plan      SoilArea…, Service…, Boundary…, Viewing…, Retained…, Mix…, Task…
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bedfellow.schema import kinds
from bedfellow.schema.geometry import Point
from bedfellow.schema.items import item, needed, others
from bedfellow.schema.place import Path

if TYPE_CHECKING:
    from bedfellow.schema.units import Supplied
    from bedfellow.schema.values import Value


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    path: Path
    at: Point | None = item(kinds.point)
    depth: float | None = item(kinds.length)
    ph: tuple[float, float] | None = item(kinds.reaction)
    texture: str | None = item(kinds.word)
    note: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class SoilArea:
    path: Path
    kind: str = needed(kinds.word)
    outline: tuple[Point, ...] = needed(kinds.outline)
    ph: tuple[float, float] | None = item(kinds.reaction)
    texture: str | None = item(kinds.word)
    moisture: str | None = item(kinds.word)
    depth: float | None = item(kinds.length)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """In the face of a building: its ends on the ground plan, heights of sill and head above the ground."""

    path: Path
    ends: tuple[Point, ...] = needed(kinds.ends, "from", "to")
    sill: float | None = item(kinds.length)
    head: float | None = item(kinds.length)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Supports:
    path: Path
    diameter: float | None = item(kinds.length)
    spacing: float | None = item(kinds.length)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Splay:
    """Ground beside a drive that must stay low: greatest height of planting in it."""

    path: Path
    outline: tuple[Point, ...] = needed(kinds.outline)
    height: float | None = item(kinds.length)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Service:
    path: Path
    kind: str = needed(kinds.word)
    ends: tuple[Point, ...] = item(kinds.ends, (), "from", "to", "at")
    depth: float | None = item(kinds.length)
    lift_out_tray: bool | None = item(kinds.yes)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Boundary:
    path: Path
    ends: tuple[Point, ...] = needed(kinds.ends, "from", "to")
    key: str | None = item(kinds.word)
    owner: str | None = item(kinds.word)
    beyond: str | None = item(kinds.word)
    double_fenced: bool | None = item(kinds.yes)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Viewing:
    """A place that the border is seen from: a side of it, or a point; height of the eye."""

    path: Path
    side: str | None = item(kinds.word)
    at: Point | None = item(kinds.point)
    eye: float | None = item(kinds.length)
    name: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Retained:
    """A plant that was there before. crown: its radius, or radii north, east, south and west; stems: diameters."""

    path: Path
    name: str = needed(kinds.word)
    at: Point = needed(kinds.point)
    key: str = item(kinds.word, "")
    height: float | None = item(kinds.length)
    crown: tuple[float, ...] = item(kinds.lengths, ())
    clear_stem: float | None = item(kinds.length)
    stems: tuple[float, ...] = item(kinds.lengths, ())
    action: str = item(kinds.word, "keep")
    protection: str | None = item(kinds.word)
    protected: bool | None = item(kinds.yes)
    consent: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    path: Path
    middle: Point = needed(kinds.point)
    number: int = needed(kinds.whole)
    centres: float = item(kinds.centres, 0.5)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """What pruning keeps: height and width, since which season or (year, month), in which months."""

    path: Path
    height: float | None = item(kinds.length)
    width: float | None = item(kinds.length)
    since: int | tuple[int, int] | None = item(kinds.since, None, "from")
    months: tuple[int, ...] = item(kinds.several(kinds.whole), ())
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class CutBack:
    """Height left, every so many years, in which month."""

    path: Path
    to: float | None = item(kinds.length)
    every: int | None = item(kinds.whole)
    month: int | None = item(kinds.whole)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class SelfSown:
    path: Path
    status: str = needed(kinds.word)
    keep_out_of: tuple[str, ...] = item(kinds.words, ())
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Stated:
    """What the plan itself says of a trait of its plant, and why."""

    path: Path
    value: Value
    reason: str = ""
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Member:
    """A plant of a mix: its share of the plants, or its number."""

    path: Path
    name: str = needed(kinds.word)
    key: str | None = item(kinds.word)
    share: float | None = item(kinds.number)
    number: int | None = item(kinds.whole)
    supplied: Supplied | None = item(kinds.supplied)
    extra: Mapping[str, Any] = others()


@dataclass(frozen=True, slots=True, eq=False)
class Mix:
    """Plants intermingled on one ground, which become lines of their own. ground: net m² of its outline, less its holes."""

    path: Path
    outline: tuple[Point, ...] = needed(kinds.outline)
    key: str = item(kinds.word, "")
    name: str | None = item(kinds.word)
    border: str | None = item(kinds.word)
    quantity: int | None = item(kinds.whole)
    per_m2: float | None = item(kinds.number)
    centres: float | None = item(kinds.centres)
    matrix: tuple[Member, ...] = item(kinds.many("Member"), ())
    mingled: tuple[Member, ...] = item(kinds.many("Member"), ())
    scattered: tuple[Member, ...] = item(kinds.many("Member"), ())
    note: str | None = item(kinds.word)
    extra: Mapping[str, Any] = others()
    ground: float = 0.0
    holes: tuple[tuple[Point, ...], ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """Work in the aftercare: in which month, every so many years."""

    path: Path
    task: str = needed(kinds.word)
    plants: tuple[str, ...] = item(kinds.words, ())
    month: int | None = item(kinds.whole)
    every: float | None = item(kinds.number)
    extra: Mapping[str, Any] = others()
