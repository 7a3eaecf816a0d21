"""Which text belongs to which place, line or outline; each serves once. All lengths in metres."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import dist, floor, inf

from bedfellow.linter.survey.drawn import Drawing, Label, Mark, Shape
from bedfellow.schema.geometry import Point, area, box, distance_to, inside

NEAR = 0.3  # m beyond a circle, or from a line, at which a text still belongs to it: common practice
SAME = 0.001  # m: a tag is on its line
CELL = 1.0  # m
MOST_CELLS = 10_000  # looked at for one thing; what is larger looks at every text


class Texts:
    """Labels by where they stand, each given away once."""

    def __init__(self, labels: Sequence[Label]) -> None:
        self._cells: dict[tuple[int, int], list[int]] = {}
        self._labels, self._used = labels, set[int]()
        for number, label in enumerate(labels):
            self._cells.setdefault((floor(label.at[0] / CELL), floor(label.at[1] / CELL)), []).append(number)

    def use(self, number: int) -> Label:
        self._used.add(number)
        return self._labels[number]

    @property
    def left(self) -> Iterator[Label]:
        return (label for number, label in enumerate(self._labels) if number not in self._used)

    def within(self, left: float, front: float, right: float, back: float) -> Iterator[tuple[int, Label]]:
        """Labels not used yet that stand in a box, and perhaps some beyond it, in their order."""
        columns = range(floor(left / CELL), floor(right / CELL) + 1)
        rows = range(floor(front / CELL), floor(back / CELL) + 1)
        if len(columns) * len(rows) > MOST_CELLS:
            numbers: list[int] = list(range(len(self._labels)))
        else:
            numbers = sorted(n for column in columns for row in rows for n in self._cells.get((column, row), ()))
        return ((n, self._labels[n]) for n in numbers if n not in self._used)


def labelled(drawing: Drawing) -> tuple[list[tuple[Mark, str]], list[tuple[Shape, Label | None]], list[Label]]:
    """(marks with the text that belongs to each, shapes with the text or tag of each, what is left over)."""
    texts = Texts(drawing.labels)
    given: dict[int, Label] = {}
    # A tag on its line is sure, whatever else lies about it.
    for number, shape in enumerate(drawing.shapes):
        if (found := _on_its_line(texts, shape)) is not None:
            given[number] = texts.use(found)
    # Then the smallest outlines first, so that a bed does not take the text of a drift in it.
    shapes = sorted(range(len(drawing.shapes)), key=lambda n: (_size(drawing.shapes[n]), n))
    for tags in (True, False):
        if not tags:
            marks = [(mark, _of_mark(texts, mark)) for mark in drawing.marks]
        for number in shapes:
            if number not in given and (found := _of_shape(texts, drawing.shapes[number], tags)) is not None:
                given[number] = texts.use(found)
    return marks, [(shape, given.get(n)) for n, shape in enumerate(drawing.shapes)], list(texts.left)


def half_way(points: Sequence[Point]) -> Point:
    """Half way along the first leg of a line, where our own drawings have its tag; or the place itself."""
    (x0, y0), (x1, y1) = points[0], points[min(1, len(points) - 1)]
    return (x0 + x1) / 2, (y0 + y1) / 2


def _on_its_line(texts: Texts, shape: Shape) -> int | None:
    x, y = half_way(shape.points)
    near = texts.within(x - SAME, y - SAME, x + SAME, y + SAME)
    return next(
        (n for n, label in near if label.said and label.layer == shape.layer and dist(label.at, (x, y)) <= SAME), None
    )


def _size(shape: Shape) -> float:
    return area(shape.points) if shape.closed else 0.0


def _of_mark(texts: Texts, mark: Mark) -> str:
    if mark.said or mark.word or mark.role.kind:
        return ""
    reach = (mark.radius or 0.0) + NEAR
    x, y = mark.at
    near = [
        (dist(label.at, mark.at), number)
        for number, label in texts.within(x - reach, y - reach, x + reach, y + reach)
        if not label.said and _speaks_of(label, mark.layer) and dist(label.at, mark.at) <= reach
    ]
    return texts.use(min(near)[1]).text if near else ""


def _of_shape(texts: Texts, shape: Shape, tags: bool) -> int | None:
    (left, right), (front, back) = box(shape.points)
    best, best_off = None, inf
    for number, label in texts.within(left - NEAR, front - NEAR, right + NEAR, back + NEAR):
        named = label.layer == shape.layer or (
            not tags and shape.role.group in ("plants", "drifts") and _speaks_of(label, "")
        )
        if bool(label.said) is not tags or not named:
            continue
        off = (
            0.0
            if shape.closed and inside(label.at, shape.points)
            else distance_to(label.at, shape.points, shape.closed)
        )
        if off <= NEAR and off < best_off:
            best, best_off = number, off
    return best


def _speaks_of(label: Label, layer: str) -> bool:
    return label.layer == layer or (label.role is not None and label.role.group == "keys")
