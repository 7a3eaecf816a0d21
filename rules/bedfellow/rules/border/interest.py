"""What there is to look at, month by month."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bedfellow.rules.border.phenology import share_of_month

if TYPE_CHECKING:
    from bedfellow.rules.border.outlook import Outlook
    from bedfellow.rules.border.planting import Planting
    from bedfellow.rules.border.seasons import Seasons
    from bedfellow.schema.values import Window

ORGANS = ("flower", "foliage_interest", "autumn_colour", "fruit", "bark", "seedhead", "winter_outline")
PART_OF_MONTH = 1 / 3  # a month that has something for as much of it counts; common practice
STANDING = ("seedhead", "winter_outline", "bark")  # what the shears take


def of_interest(border: Outlook, least: float) -> dict[int, list[Planting]]:
    """Month to the plants of the bed with something to look at for at least a share of it, those that were there before too."""
    found: dict[int, list[Planting]] = {month: [] for month in range(1, 13)}
    for planting in border.of_the_bed:
        for month, strength in strength_by_month(border, planting, least).items():
            if strength:
                found[month].append(planting)
    return found


def strength_by_month(border: Seasons, planting: Planting, least: float, leaves: bool = True) -> dict[int, int]:
    """Month to how much there is to look at for at least a share of it: 0 nothing, 1 slight (or evergreen) to 3 strong.

    leaves: evergreen ones count.
    """
    found = {}
    for month in range(1, 13):
        strengths = [window.strength for window in shown(border, planting, month, least).values()]
        found[month] = max(strengths, default=int(leaves and green(border, planting, month)))
    return found


def shown(border: Seasons, planting: Planting, month: int, least: float = PART_OF_MONTH) -> dict[str, Window]:
    """Organ to its window at the site, of all that there is to look at for at least a share of a month (1 to 12).

    What the plan's tasks have cut down by then is gone.
    """
    cut = border.cut_down(planting, month)
    return {
        organ: window
        for organ in ORGANS
        if (window := border.window(planting, organ))
        and not (cut and organ in STANDING)
        and share_of_month((window.start.typical, window.end.typical), month) >= least
    }


def green(border: Seasons, planting: Planting, month: int) -> bool:
    """Evergreen leaves are to be seen in a month; those that rise from the ground may have been cut down."""
    return planting.evergreen and not (planting.rises_yearly and border.cut_down(planting, month))
