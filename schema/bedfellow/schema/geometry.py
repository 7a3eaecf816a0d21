"""Outlines in the plane: area, inside or outside, crossing edges, and where the members of a drift, hedge or group stand.

Metres throughout. A hole is an outline that takes ground out of another; it may run beyond it.
"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from itertools import pairwise
from math import ceil, cos, dist, floor, inf, pi, sin, sqrt
from typing import Any

Point = tuple[float, float]

# Staggered rows stand 0.866 of the distance between plants apart (equilateral triangles).
ROWS = sqrt(3) / 2
INSET = 0.4  # of the distance between plants: how far they keep off the edge of their outline (common practice)
NO_GROUND = 1e-6  # m²: less is the rounding of coordinates


def area(outline: Sequence[Point]) -> float:
    """Area in m², by the shoelace formula, whichever way round the outline runs."""
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in _edges(outline))) / 2


def inside(point: Point, outline: Sequence[Point]) -> bool:
    """The point lies within the outline (edges may count either way)."""
    x, y = point
    within = False
    for (x0, y0), (x1, y1) in _edges(outline):
        if (y0 > y) != (y1 > y) and x < (x1 - x0) * (y - y0) / (y1 - y0) + x0:
            within = not within
    return within


def distance_to(point: Point, outline: Sequence[Point], closed: bool = True) -> float:
    """Distance in metres from a point to the line of an outline, or to a single point; infinite where there is none."""
    edges = _edges(outline) if closed or len(outline) == 1 else pairwise(outline)
    return min((_to_segment(point, a, b) for a, b in edges), default=inf)


def nearest_on(point: Point, outline: Sequence[Point], closed: bool = True) -> Point:
    """The place on the line of an outline that is nearest to a point; the outline has two points or more."""
    edges = _edges(outline) if closed else list(pairwise(outline))
    return min((_foot(point, a, b) for a, b in edges), key=lambda foot: dist(foot, point))


def cuts(line: tuple[Point, Point], between: tuple[Point, Point]) -> bool:
    """Two segments cross."""
    return _cross(*line, *between)


def crossing(outline: Sequence[Point]) -> tuple[int, int] | None:
    """The first two edges that cross each other, by number; None for a simple outline."""
    edges = list(_edges(outline))
    for first in range(len(edges)):
        for second in range(first + 2, len(edges)):
            if (first, second) != (0, len(edges) - 1) and _cross(*edges[first], *edges[second]):
                return first, second
    return None


def net_area(outline: Sequence[Point], holes: Sequence[Sequence[Point]] = ()) -> float:
    """Area in m² of an outline less its holes, exact; holes may overlap one another."""
    if not any(meet(outline, hole) for hole in holes):
        return area(outline)
    return float(_ground(outline, holes).area)


def meet(outline: Sequence[Point], hole: Sequence[Point]) -> bool:
    """The upright boxes about two outlines share ground; where they do not, neither do the outlines."""
    if len(outline) < 3 or len(hole) < 3:
        return False
    (x0, x1), (y0, y1) = box(outline)
    (u0, u1), (v0, v1) = box(hole)
    return x0 < u1 and u0 < x1 and y0 < v1 and v0 < y1


def staggered_grid(
    outline: Sequence[Point],
    number: int,
    key: str,
    holes: Sequence[Sequence[Point]] = (),
    ground: float | None = None,
) -> tuple[Point, ...]:
    """Exactly `number` points on a staggered grid clipped to an outline less its holes, shifted by the line's key alone.

    They keep off the edge by nearly half their distance. It is narrowed until enough points fall on the ground; surplus ones
    are left out evenly. No points where the
    holes leave no ground. ground: the net area in m², where it is known already.
    """
    ground = net_area(outline, holes) if ground is None else ground
    if ground <= NO_GROUND:
        return ((outline[0][0], outline[0][1]),) * number if outline and not holes else ()
    digest = sha256(key.encode()).digest()
    shift = (digest[0] / 256, digest[1] / 256)
    # Plants are set half their distance inside the edge of a drift, so that two drifts that touch keep it between them.
    for inset in (INSET, 0.0):
        apart = sqrt(ground / (number * ROWS))
        for _ in range(40):
            points = [
                point
                for point in _grid(outline, apart, shift, holes)
                if not inset or distance_to(point, outline) >= inset * apart
            ]
            if len(points) >= number:
                return tuple(points[index * len(points) // number] for index in range(number))
            apart *= 0.97
    # A sliver that the grid misses: what is wanting stands where others do.
    middle = _ground(outline, holes).representative_point()
    spots = points or [(float(middle.x), float(middle.y))]
    return tuple(spots[index % len(spots)] for index in range(number))


def strip(ends: Sequence[Point], width: float) -> tuple[Point, ...]:
    """Outline of a straight strip between two points, or of an upright square about one; nothing without a width."""
    if not ends or width <= 0:
        return ()
    (x0, y0), (x1, y1) = ends[0], ends[1] if len(ends) > 1 else ends[0]
    length = dist((x0, y0), (x1, y1))
    half = width / 2
    if length == 0:
        return (x0 - half, y0 - half), (x0 + half, y0 - half), (x0 + half, y0 + half), (x0 - half, y0 + half)
    dx, dy = half * (x1 - x0) / length, half * (y1 - y0) / length
    return (x0 - dy, y0 + dx), (x0 + dy, y0 - dx), (x1 + dy, y1 - dx), (x1 - dy, y1 + dx)


def cluster(middle: Point, number: int, apart: float) -> tuple[Point, ...]:
    """A group about its middle, on a ring wide enough for its distance; one plant in the middle from seven on."""
    if number == 1:
        return (middle,)
    ring = number - 1 if number >= 7 else number
    radius = apart / (2 * sin(pi / ring))
    x, y = middle
    points = [(x + radius * cos(2 * pi * n / ring), y + radius * sin(2 * pi * n / ring)) for n in range(ring)]
    return tuple(points if ring == number else [middle, *points])


def along(line: Sequence[Point], number: int, rows: int = 1, apart: float = 0.4) -> tuple[Point, ...]:
    """`number` points at even intervals along a line, half an interval from its ends, in rows by turns `apart` metres."""
    legs = [(a, b, dist(a, b)) for a, b in pairwise(line) if a != b]
    whole = sum(leg for *_, leg in legs)
    points = []
    for index in range(number if legs else 0):
        left = (index + 0.5) * whole / number
        for a, b, leg in legs:
            if left <= leg or (a, b, leg) == legs[-1]:
                break
            left -= leg
        dx, dy = (b[0] - a[0]) / leg, (b[1] - a[1]) / leg
        aside = (index % rows - (rows - 1) / 2) * apart
        points.append((round(a[0] + dx * left - dy * aside, 3), round(a[1] + dy * left + dx * aside, 3)))
    return tuple(points)


def _ground(outline: Sequence[Point], holes: Sequence[Sequence[Point]]) -> Any:
    """The ground of an outline less its holes, as a geometry of shapely."""
    from shapely import Polygon, make_valid, union_all  # slow to import, and few plans have holes

    whole, *taken = (make_valid(Polygon(ring)) for ring in (outline, *(hole for hole in holes if meet(outline, hole))))
    return whole.difference(union_all(taken))


def box(outline: Sequence[Point]) -> tuple[Point, Point]:
    """(left, right) and (front, back) of the upright box about an outline."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return (min(xs), max(xs)), (min(ys), max(ys))


def _grid(outline: Sequence[Point], apart: float, shift: Point, holes: Sequence[Sequence[Point]]) -> list[Point]:
    (left, right), (front, back) = box(outline)
    row_height = apart * ROWS
    points = []
    for row in range(floor(front / row_height) - 1, ceil(back / row_height) + 1):
        y = (row + shift[1]) * row_height
        offset = (row % 2) / 2 + shift[0]
        for column in range(floor(left / apart) - 2, ceil(right / apart) + 1):
            point = (round((column + offset) * apart, 3), round(y, 3))
            if inside(point, outline) and not any(inside(point, hole) for hole in holes):
                points.append(point)
    return points


def _edges(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True)) if outline else []


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _to_segment(point: Point, a: Point, b: Point) -> float:
    return dist(point, _foot(point, a, b))


def _foot(point: Point, a: Point, b: Point) -> Point:
    """The place on the segment from a to b that is nearest to a point."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    along = 0.0 if square == 0 else max(0.0, min(1.0, ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / square))
    return (a[0] + along * dx, a[1] + along * dy)
