"""Outlines in the plane: area, inside or outside, crossing edges, and members on a staggered grid. Metres throughout."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from itertools import pairwise
from math import ceil, dist, floor, inf, sqrt

Point = tuple[float, float]

# Staggered rows stand 0.866 of the distance between plants apart (equilateral triangles).
ROWS = sqrt(3) / 2


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


def crossing(outline: Sequence[Point]) -> tuple[int, int] | None:
    """The first two edges that cross each other, by number; None for a simple outline."""
    edges = list(_edges(outline))
    for first in range(len(edges)):
        for second in range(first + 2, len(edges)):
            if (first, second) != (0, len(edges) - 1) and _cross(*edges[first], *edges[second]):
                return first, second
    return None


def staggered_grid(outline: Sequence[Point], number: int, key: str) -> tuple[Point, ...]:
    """Exactly `number` points on a staggered grid clipped to the outline, shifted by the line's key alone.

    The distance is narrowed until enough points fall inside; surplus ones are left out evenly.
    """
    ground = area(outline)
    if ground <= 0:
        return ((outline[0][0], outline[0][1]),) * number if outline else ()
    digest = sha256(key.encode()).digest()
    shift = (digest[0] / 256, digest[1] / 256)
    apart = sqrt(ground / (number * ROWS))
    for _ in range(60):
        points = _grid(outline, apart, shift)
        if len(points) >= number:
            return tuple(points[index * len(points) // number] for index in range(number))
        apart *= 0.97
    middle = (sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline))
    return (*points, *[middle] * (number - len(points)))


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


def _grid(outline: Sequence[Point], apart: float, shift: Point) -> list[Point]:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    row_height = apart * ROWS
    points = []
    for row in range(floor(min(ys) / row_height) - 1, ceil(max(ys) / row_height) + 1):
        y = (row + shift[1]) * row_height
        offset = (row % 2) / 2 + shift[0]
        for column in range(floor(min(xs) / apart) - 2, ceil(max(xs) / apart) + 1):
            point = (round((column + offset) * apart, 3), round(y, 3))
            if inside(point, outline):
                points.append(point)
    return points


def _edges(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True)) if outline else []


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _to_segment(point: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    along = 0.0 if length == 0 else max(0.0, min(1.0, ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / length))
    return float(((point[0] - a[0] - along * dx) ** 2 + (point[1] - a[1] - along * dy) ** 2) ** 0.5)
