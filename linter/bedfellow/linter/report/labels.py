"""Where labels go on a drawing, so that none lies over another: each as near as it can be to what it names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
    taken: list[Label] = list(around)
    for label in labels:
        spot = next(
            (
                here
                for dx, dy in _spiral(step)
                if not _overlaps(here := label._replace(x=label.x + dx, y=label.y + dy), taken) and _within(here, frame)
            ),
            label,
        )
        taken.append(spot)
    return [(label.x, label.y) for label in taken[len(around) :]]


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
