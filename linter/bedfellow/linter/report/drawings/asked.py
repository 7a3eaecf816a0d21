"""What a person asks of a picture."""

from __future__ import annotations

from typing import NamedTuple

SCALES = (20, 50, 100)


class Asked(NamedTuple):
    """scale: 1:20, 1:50 or 1:100, None for the largest of them that fits an A3 sheet, or the larger one that what is told beside
    the plan needs; season: growing season after planting; month: 1 to 12; findings: shown where they are, and listed."""

    scale: int | None = None
    season: int = 10
    month: int = 6
    findings: bool = True
