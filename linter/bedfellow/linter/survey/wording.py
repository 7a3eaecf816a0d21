"""How a plan writes what was drawn: texts on one line, places to the millimetre."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from typing import Any

from bedfellow.schema.geometry import Point

LONGEST_KEY, LONGEST_NAME = 40, 500  # letters, by the plan's schema


def clean(text: str) -> str:
    """A text on one line, without control, format and direction characters, which no name of a plant has."""
    return " ".join(
        "".join(" " if unicodedata.category(c)[0] == "C" or c in "\u2028\u2029" else c for c in text).split()
    )


def pair(point: Point) -> list[float]:
    """A place."""
    return [round(point[0], 3) + 0.0, round(point[1], 3) + 0.0]


def corners(points: Iterable[Point]) -> list[list[float]]:
    """An outline as the plan has it, to the millimetre."""
    return [pair(point) for point in points]


def places(points: Iterable[Point]) -> list[Any]:
    """One place as a pair, several as a list of pairs."""
    found = corners(points)
    return found[0] if len(found) == 1 else found
