"""Where labels go on a drawing, so that none lies over another: each as near as it can be to what it names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from math import cos, pi, sin
from typing import NamedTuple

STEP = 6.0
RINGS = 40


class Label(NamedTuple):
    """Wanted middle and size of a label, in drawing units."""

    x: float
    y: float
    width: float
    height: float


def placed(
    labels: Sequence[Label],
    frame: tuple[float, float, float, float],
    step: float = STEP,
    around: Sequence[Label] = (),
) -> list[tuple[float, float]]:
    """Middles of the labels, in their order: where each is wanted, or at the nearest free place within the frame.

    frame: least x, least y, greatest x, greatest y; step: between two places that are tried, in drawing units; around: what
    else must not be covered. Earlier labels have the first choice. One that finds no free place stays where it is wanted.
    """
    taken = _Taken([*labels, *around])
    for label in around:
        taken.add(label)
    spots = []
    # Of several that are wanted at one place each goes on where the last one came to lie: what was taken stays so.
    reached: dict[Label, int] = {}
    offsets = _offsets(step)
    for label in labels:
        spot = label
        for number in range(reached.get(label, 0), len(offsets)):
            dx, dy = offsets[number]
            here = label._replace(x=label.x + dx, y=label.y + dy)
            if _within(here, frame) and taken.free(here):
                spot = here
                break
        reached[label] = number
        taken.add(spot)
        spots.append((spot.x, spot.y))
    return spots


class _Taken:
    """Where labels lie, by the cells of a grid that they touch, so that each is held against its neighbours alone."""

    def __init__(self, labels: Sequence[Label]) -> None:
        self.cell = max([1e-6, *(label.height for label in labels)]) * 2
        self.cells: dict[tuple[int, int], list[Label]] = {}

    def _touched(self, label: Label) -> Iterator[tuple[int, int]]:
        left, right = ((label.x + side * label.width / 2) // self.cell for side in (-1, 1))
        top, bottom = ((label.y + side * label.height / 2) // self.cell for side in (-1, 1))
        for column in range(int(left), int(right) + 1):
            for row in range(int(top), int(bottom) + 1):
                yield column, row

    def add(self, label: Label) -> None:
        for cell in self._touched(label):
            self.cells.setdefault(cell, []).append(label)

    def free(self, label: Label) -> bool:
        return not any(_overlaps(label, self.cells.get(cell, ())) for cell in self._touched(label))


@cache
def _offsets(step: float) -> tuple[tuple[float, float], ...]:
    return tuple(_spiral(step))


def _spiral(step: float) -> Iterator[tuple[float, float]]:
    """Offsets in rings of growing radius, above and below first: lines of text are wider than high."""
    yield 0.0, 0.0
    for ring in range(1, RINGS):
        turns = 8 + 4 * (ring // 4)
        for turn in range(turns):
            angle = 2 * pi * turn / turns + pi / 2
            yield ring * step * cos(angle), ring * step * sin(angle)


def _overlaps(label: Label, taken: Sequence[Label]) -> bool:
    return any(
        abs(label.x - other.x) * 2 < label.width + other.width
        and abs(label.y - other.y) * 2 < label.height + other.height
        for other in taken
    )


def _within(label: Label, frame: tuple[float, float, float, float]) -> bool:
    left, top, right, bottom = frame
    return (
        left <= label.x - label.width / 2
        and label.x + label.width / 2 <= right
        and top <= label.y - label.height / 2
        and label.y + label.height / 2 <= bottom
    )
