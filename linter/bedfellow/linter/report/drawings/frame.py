"""Which piece of the plan is drawn, at which scale, and where it comes to lie on the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.drawings.asked import SCALES
from bedfellow.linter.report.drawings.sheet import CannotDraw

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

Box = tuple[float, float, float, float]  # left, front, right, back in m
ABOUT = 1.0  # m of ground drawn about the beds and plants
TREES = 8.0  # m
BEYOND = 3.0  # m: what lies further off is cut off at the edge of the drawing
# ISO 216, landscape, mm.
PAPERS = {"A4": (297.0, 210.0), "A3": (420.0, 297.0), "A2": (594.0, 420.0), "A1": (841.0, 594.0), "A0": (1189.0, 841.0)}
EDGE, STRIP = 8.0, 15.0  # mm: from the edge of the paper to the frame, and the height of the title strip
ROUND = 16.0  # mm
SMALLER = (10, 20, 25, 50, 75, 100, 125, 200, 250, 500, 750, 1000, 1250, 2500, 5000, 10_000)


class Frame(NamedTuple):
    """A piece of the plan on the sheet. scale: 50 for 1:50; box: m; left, top: mm on the sheet of its corner at the back."""

    scale: float
    box: Box
    left: float
    top: float

    def mm(self, metres: float) -> float:
        return metres * 1000 / self.scale

    def x(self, metres: float) -> float:
        return self.left + self.mm(metres - self.box[0])

    def y(self, metres: float) -> float:
        return self.top + self.mm(self.box[3] - metres)

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        return self.x(point[0]), self.y(point[1])

    @property
    def width(self) -> float:
        return self.mm(self.box[2] - self.box[0])

    @property
    def height(self) -> float:
        return self.mm(self.box[3] - self.box[1])

    def filling(self, width: float, height: float) -> Frame:
        """The same with more ground about it, so that it fills so many mm."""
        left, front, right, back = self.box
        more_x = max(0.0, width - self.width) * self.scale / 2000
        more_y = max(0.0, height - self.height) * self.scale / 2000
        return self._replace(box=(left - more_x, front - more_y, right + more_x, back + more_y))

    @property
    def edges(self) -> Box:
        """Least x, least y, greatest x, greatest y in mm."""
        return self.left, self.top, self.left + self.width, self.top + self.height

    def shows(self, point: tuple[float, float]) -> bool:
        return self.box[0] <= point[0] <= self.box[2] and self.box[1] <= point[1] <= self.box[3]


def box_of(border: Border, season: int, surroundings: bool = True) -> Box:
    """The ground to draw: beds and plants as wide as they will be; surroundings: and what lies about them, as far as BEYOND.

    Raises CannotDraw for a plan in which nothing has a place.
    """
    near = list(_near(border, season)) or [
        point for planting in border.retained for point in _square(planting.points[0], planting.reach or 1.0)
    ]
    if not near:
        raise CannotDraw("there is nothing to draw: the plan states no border, and no plant has a place")
    left, front, right, back = _about(near)
    if not surroundings:
        return left - ABOUT / 4, front - ABOUT / 4, right + ABOUT / 4, back + ABOUT / 4
    plan = border.plan
    far = [point for thing in plan.structures for point in thing.points]
    far += [point for thing in plan.surfaces for point in thing.ground or thing.points]
    far += [point for thing in plan.boundaries for point in thing.ends]
    far += [point for thing in plan.services for point in thing.ends]
    far += [place.at for place in plan.viewing if place.at]
    held = [(min(max(x, left - BEYOND), right + BEYOND), min(max(y, front - BEYOND), back + BEYOND)) for x, y in far]
    # A tree that stays is drawn whole if its stem stands so near: its crown and roots matter.
    for plant in plan.retained:
        if left - TREES <= plant.at[0] <= right + TREES and front - TREES <= plant.at[1] <= back + TREES:
            held += _square(plant.at, max(plant.crown, default=0.0))
    left, front, right, back = _about([*near, *held])
    return left - ABOUT, front - ABOUT, right + ABOUT, back + ABOUT


def _near(border: Border, season: int) -> Iterator[tuple[float, float]]:
    for bed in border.plan.borders:
        yield from bed.outline
    for planting in border.plantings:
        crown = border.crown(planting, season)
        radius = crown.greatest_radius if crown and not planting.supported else 0.2
        for point in planting.points:
            yield from _square(point, radius)
        yield from planting.line.outline
    for line in border.unknown_names:
        yield from (*line.at, *line.outline)
    for x, y, radius in border.strangers:
        yield from _square((x, y), radius)


def _square(point: tuple[float, float], half: float) -> list[tuple[float, float]]:
    x, y = point
    return [(x - half, y - half), (x + half, y + half)]


def _about(points: Iterable[tuple[float, float]]) -> Box:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def room(paper: str) -> tuple[float, float]:
    """Width and height in mm that a sheet has for a picture, less what stands about it: heights, scale bar, north point."""
    width, height = PAPERS[paper]
    return width - 2 * EDGE - 8 - ROUND, height - 2 * EDGE - STRIP - 8 - ROUND


def scale_for(wide: float, high: float, asked: int | None, most: str = "A0") -> int:
    """The scale at which a piece of so many metres is drawn; an asked one if it fits A0, else the largest that fits A3, or A0.

    Raises CannotDraw where it does not fit, naming the scale that does.
    """

    def fits(scale: float, paper: str) -> bool:
        width, height = room(paper)
        return wide * 1000 / scale <= width and high * 1000 / scale <= height

    fitting = [scale for scale in SCALES if fits(scale, most)]
    if asked is None:
        preferred = [scale for scale in SCALES if fits(scale, "A3")] or fitting[-1:]
        if preferred:
            return preferred[0]
    elif asked in fitting:
        return asked
    what = f"{wide:,.1f} m by {high:,.1f} m"
    if fitting:
        raise CannotDraw(f"at 1:{asked} this drawing of {what} does not fit an A0 sheet; at 1:{fitting[0]} it does")
    raise CannotDraw(
        f"this drawing of {what} fits an A0 sheet at none of 1:20, 1:50 and 1:100; a plan for each part of the border can be drawn"
    )


def small_scale(wide: float, high: float, width: float, height: float) -> float:
    """The largest usual scale, for a small map, at which so many metres fit so many mm."""
    needed = max(wide * 1000 / width, high * 1000 / height)
    return float(next((scale for scale in SMALLER if scale >= needed), needed))
