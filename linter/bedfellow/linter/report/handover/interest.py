"""What there is to look at, month by month, in an average year: the border's own reckoning, told plant by plant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.rules.border.interest import ORGANS, PART_OF_MONTH, STANDING, strength_by_month
from bedfellow.rules.border.phenology import share_of_month

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

STRENGTHS = ("", "slight", "clear", "strong")
LEAVES = "evergreen leaves"


@dataclass(frozen=True, slots=True)
class Shown:
    """A plant through the year: by month (January first) its strength, 0 to 3, and what it shows in words."""

    key: str
    name: str
    strengths: tuple[int, ...]
    words: tuple[str, ...]


def shown(border: Border) -> tuple[Shown, ...]:
    """Every plant, in the order of the plan."""
    rows = []
    for planting in border.plantings:
        strengths = strength_by_month(border, planting, PART_OF_MONTH)
        words = tuple(", ".join(_words(border, planting, month, strengths[month])) for month in range(1, 13))
        rows.append(Shown(planting.key, planting.traits.name, tuple(strengths[month] for month in range(1, 13)), words))
    return tuple(rows)


def _words(border: Border, planting: Planting, month: int, strength: int) -> Iterator[str]:
    told = False
    for organ in ORGANS:
        window = border.window(planting, organ)
        if window is None or (organ in STANDING and border.cut_down(planting, month)):
            continue
        if share_of_month((window.start.typical, window.end.typical), month) >= PART_OF_MONTH:
            told = True
            colours = f" ({', '.join(window.colours)})" if window.colours else ""
            yield f"{'leaves' if organ == 'foliage_interest' else organ.replace('_', ' ')}{colours}"
    if strength and not told:
        yield LEAVES


def by_month(rows: tuple[Shown, ...]) -> dict[int, list[tuple[Shown, str]]]:
    """Month to the plants that show more than evergreen leaves, the strongest first, with what they show."""
    found = {}
    for month in range(1, 13):
        here = [(row, row.words[month - 1]) for row in rows if row.words[month - 1] not in ("", LEAVES)]
        found[month] = sorted(here, key=lambda pair: -pair[0].strengths[month - 1])
    return found
