"""When the plants of a line close the ground, by the size and the number in which they came."""

from __future__ import annotations

from math import ceil, sqrt
from typing import TYPE_CHECKING

from bedfellow.schema.geometry import ROWS

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = 20
SINGLE = 2 / 3  # of its width in the tenth season: a plant that stands by itself fills its place; common practice


def apart(border: Border, planting: Planting) -> float | None:
    """m that each plant has to fill: the distance in a drift on a staggered grid, else part of its own width."""
    line, size = planting.line, border.size(planting, 10)
    if line.outline and line.ground:
        return sqrt(line.ground / (line.number * ROWS))
    return SINGLE * size.spread.typical if size else None


def closes(border: Border, planting: Planting, wide: float) -> float | None:
    """The season in which it is so many metres wide, between two by a straight line; None where it is not within 20."""
    before = 0.0
    for season in range(SEASONS + 1):
        size = border.size(planting, season)
        if size is None:
            return None
        now = size.spread.typical
        if now >= wide:
            return season - (now - wide) / (now - before) if season and now > before else float(season)
        before = now
    return None


def wanting(border: Border, planting: Planting, season: float) -> int:
    """How many more plants of a drift would close it in a season; 0 where it is none."""
    line, size = planting.line, border.size(planting, ceil(season))
    if not (line.outline and line.ground) or size is None or size.spread.typical <= 0:
        return 0
    more: int = ceil(line.ground / (ROWS * size.spread.typical**2)) - line.number
    return max(0, more)
