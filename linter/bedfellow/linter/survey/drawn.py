"""What was found in a drawing or a table of positions, before it is a plan; and where the plan lies in it.

Drawing ─ Mark… (one place), Shape… (a line or outline), Label…, Ring… (a crown drawn about a place)
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import cos, sin
from typing import NamedTuple

from bedfellow.linter.survey.layers import Role
from bedfellow.schema.geometry import Point


class BadDrawing(ValueError):
    """Why a file cannot be taken, in words, with the place in it."""


class Mark(NamedTuple):
    """One place. word: the name of its block; said: what its attributes or columns say; where: its type and handle, or line."""

    role: Role
    layer: str
    at: Point
    where: str
    radius: float | None = None
    word: str = ""
    said: Mapping[str, str] = {}


class Shape(NamedTuple):
    """Corners or the ends of legs, in order."""

    role: Role
    layer: str
    points: tuple[Point, ...]
    closed: bool
    where: str


class Label(NamedTuple):
    """A text, or the attributes of a tag (`said`), at a place on a layer; role: what the layer holds."""

    role: Role | None
    layer: str
    at: Point
    text: str
    said: Mapping[str, str] = {}


class Ring(NamedTuple):
    """A crown drawn about a place."""

    layer: str
    at: Point
    radius: float


@dataclass(slots=True)
class Drawing:
    """All lengths are in the drawing's unit, of which one is `metres` m, in its own frame.

    told: how the unit is known; origin: where the plan's origin is marked in it; taken: (layer, role) → how many;
    left: (layer, type, why) → how many were not understood; nearly: type → how many curves are made of straight pieces.
    """

    unit: str
    metres: float
    told: str
    marks: list[Mark] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
    origin: Point | None = None
    taken: Counter[tuple[str, str]] = field(default_factory=Counter)
    left: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    nearly: Counter[str] = field(default_factory=Counter)


class Frame(NamedTuple):
    """Where a plan lies in a drawing: metres to its unit, the plan's origin in metres, and the turn of its front in radians."""

    metres: float
    origin: Point = (0.0, 0.0)
    turn: float = 0.0

    def to_plan(self, point: Point) -> Point:
        """A place of the drawing in the plan, in metres."""
        x, y = point[0] * self.metres - self.origin[0], point[1] * self.metres - self.origin[1]
        return x * cos(self.turn) + y * sin(self.turn), y * cos(self.turn) - x * sin(self.turn)

    def to_drawing(self, point: Point) -> Point:
        """A place of the plan in the drawing, in its unit."""
        x, y = point
        return (
            (x * cos(self.turn) - y * sin(self.turn) + self.origin[0]) / self.metres,
            (x * sin(self.turn) + y * cos(self.turn) + self.origin[1]) / self.metres,
        )

    def placed(self, drawing: Drawing) -> Drawing:
        """The drawing in the plan's frame and in metres."""
        return Drawing(
            "m", 1.0, drawing.told,
            [m._replace(at=self.to_plan(m.at), radius=m.radius and m.radius * self.metres) for m in drawing.marks],
            [s._replace(points=tuple(map(self.to_plan, s.points))) for s in drawing.shapes],
            [label._replace(at=self.to_plan(label.at)) for label in drawing.labels],
            [ring._replace(at=self.to_plan(ring.at), radius=ring.radius * self.metres) for ring in drawing.rings],
            (0.0, 0.0), drawing.taken, drawing.left, drawing.nearly,
        )  # fmt: skip
