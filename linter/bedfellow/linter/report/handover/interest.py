"""What there is to look at, month by month, in an average year: the border's own reckoning, told plant by plant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.rules.border.interest import PART_OF_MONTH, strength_by_month
from bedfellow.rules.border.interest import shown as to_look_at

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

LEAVES = "evergreen leaves"


@dataclass(frozen=True, slots=True)
class Shown:
    """A plant through the year: by month (January first) its strength, 0 to 3, and what it shows in words."""

    key: str
    name: str
    strengths: tuple[int, ...]
    words: tuple[str, ...]


def shown(border: Border) -> tuple[Shown, ...]:
    """Every plant of the bed, in the order of the plan, and last those that were there before."""
    rows = []
    for planting in border.of_the_bed:
        strengths = strength_by_month(border, planting, PART_OF_MONTH)
        words = tuple(", ".join(_words(border, planting, month, strengths[month])) for month in range(1, 13))
        rows.append(Shown(planting.key, planting.traits.name, tuple(strengths[month] for month in range(1, 13)), words))
    return tuple(rows)


def _words(border: Border, planting: Planting, month: int, strength: int) -> Iterator[str]:
    found = to_look_at(border, planting, month)
    for organ, window in found.items():
        colours = f" ({', '.join(window.colours)})" if window.colours else ""
        yield f"{'leaves' if organ == 'foliage_interest' else organ.replace('_', ' ')}{colours}"
    if strength and not found:
        yield LEAVES


def by_month(rows: tuple[Shown, ...]) -> dict[int, list[tuple[Shown, str]]]:
    """Month to the plants that show more than evergreen leaves, the strongest first, with what they show."""
    found = {}
    for month in range(1, 13):
        here = [(row, row.words[month - 1]) for row in rows if row.words[month - 1] not in ("", LEAVES)]
        found[month] = sorted(here, key=lambda pair: -pair[0].strengths[month - 1])
    return found
