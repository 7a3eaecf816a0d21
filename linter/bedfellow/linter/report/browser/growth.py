"""Each plant of the border by season and month: its crown, whether it is in leaf, and what there is to look at."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, pi
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.browser.text import Shelf
from bedfellow.rules.border.interest import ORGANS, shown
from bedfellow.schema.colours import srgb
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.crown import Crown
    from bedfellow.rules.border.planting import Planting

SEASONS = (*range(1, 11), 15, 20)
MONTHS = range(1, 13)
NOTHING_UP, NOT_THERE, NO_SIZE = -1, -2, -3  # in place of the number of a crown
BARE, IN_LEAF, EVERGREEN = 0, 1, 2
RINGS = 16
UP = tuple((1 - cos(pi * ring / RINGS)) / 2 for ring in range(RINGS + 1))
"""Where between the foot and the tip of a crown its radius is told: closer together where it may turn sharply."""
_INSIDE = 1e-9  # of the height: rounding must not put the tip above the crown


class Grown:
    """The crowns of a border. crowns: (base, top, greatest radius in cm, number of the profile); profiles: thousandths of the
    greatest radius at the heights `UP`. Crowns and profiles that are the same are told once."""

    def __init__(self, border: Border) -> None:
        self.border = border
        self._crowns, self._profiles = Shelf(), Shelf()

    @property
    def crowns(self) -> list[tuple[int, int, int, int]]:
        return self._crowns.things

    @property
    def profiles(self) -> list[tuple[int, ...]]:
        return self._profiles.things

    def season(self, planting: Planting, season: int) -> list[int]:
        """Number of its crown in each month of a season; one number where all are the same."""
        found = [self._on(planting, season, month) for month in MONTHS]
        return found[:1] if len(set(found)) == 1 else found

    def _on(self, planting: Planting, season: int, month: int) -> int:
        if not self.border.present(planting, season):
            return NOT_THERE
        if self.border.size(planting, season) is None:
            return NO_SIZE
        crown = self.border.crown_on(planting, season, middle_of(month))
        return NOTHING_UP if crown is None else self._crown(crown)

    def _crown(self, crown: Crown) -> int:
        widest, height = crown.greatest_radius, crown.top - crown.base
        profile = tuple(
            round(1000 * crown.radius(crown.base + height * min(up, 1 - _INSIDE)) / widest) if widest else 0
            for up in UP
        )
        sizes = (round(100 * crown.base), round(100 * crown.top), round(100 * widest))
        return self._crowns.of((*sizes, self._profiles.of(profile)))


def leaves(border: Border, planting: Planting) -> list[int]:
    """Whether it is evergreen, in leaf or bare in the middle of each month."""
    return [
        EVERGREEN if planting.evergreen else IN_LEAF if border.in_leaf(planting, middle_of(month)) else BARE
        for month in MONTHS
    ]


def interest(border: Border, planting: Planting) -> dict[str, dict[str, Any]]:
    """Organ to its colours by name and the months (1 to 12) in which it is to be looked at, as the border has it."""
    by_month = {month: shown(border, planting, month) for month in MONTHS}
    return {
        organ: {"colours": list(window.colours), "months": [month for month in MONTHS if organ in by_month[month]]}
        for organ in ORGANS
        if (window := border.window(planting, organ))
    }


def paint(colours: Iterable[str]) -> str:
    """The first colour as ``#rrggbb``; empty where none is known."""
    return next((value for colour in colours if (value := srgb(colour))), "")
