"""What there is to look at, month by month."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bedfellow.rules.border.phenology import share_of_month

if TYPE_CHECKING:
    from bedfellow.rules.border.planting import Planting
    from bedfellow.rules.border.seasons import Seasons

ORGANS = ("flower", "foliage_interest", "autumn_colour", "fruit", "bark", "seedhead", "winter_outline")
PART_OF_MONTH = 1 / 3  # a month that has something for as much of it counts; common practice
STANDING = ("seedhead", "winter_outline", "bark")  # what the shears take


def of_interest(border: Seasons, least: float) -> dict[int, list[Planting]]:
    """Month to the plantings with something to look at for at least a share of it."""
    found: dict[int, list[Planting]] = {month: [] for month in range(1, 13)}
    for planting in border.plantings:
        for month, strength in strength_by_month(border, planting, least).items():
            if strength:
                found[month].append(planting)
    return found


def strength_by_month(border: Seasons, planting: Planting, least: float, leaves: bool = True) -> dict[int, int]:
    """Month to how much there is to look at for at least a share of it: 0 nothing, 1 slight (or evergreen) to 3 strong.

    leaves: evergreen ones count.
    """
    windows = {organ: window for organ in ORGANS if (window := border.window(planting, organ))}
    found = {}
    for month in range(1, 13):
        cut = border.cut_down(planting, month)
        leafy = leaves and planting.evergreen and not (cut and planting.rises_yearly)
        strengths = [
            window.strength
            for organ, window in windows.items()
            if not (cut and organ in STANDING)
            and share_of_month((window.start.typical, window.end.typical), month) >= least
        ]
        found[month] = max(strengths, default=int(leafy))
    return found
