"""How large a plant is on the day of planting, by how the nursery names its size. Lengths in m, pots in litres.

    usual(ultimate)              a shrub or tree as bought, where nothing is said
    tree, shrub, herb            what a stated size such as 3 L, 9 cm, 40-60 cm or 12-14 cm girth means for a kind of plant
    clear_stem(form, stated)     the clear stem of a nursery's standard

A nursery grades its stock by one measure and leaves the others open: what is not graded may be a quarter out either way.
"""

from __future__ import annotations

from math import sqrt
from typing import TypeVar

from bedfellow.rules.border.growth import Size, root_ball
from bedfellow.schema.units import Supplied
from bedfellow.schema.values import Measure

T = TypeVar("T")

GIRTHS: dict[float, tuple[float, float]] = {
    0.06: (2.5, 3.0), 0.08: (2.5, 3.0), 0.10: (3.0, 3.5), 0.12: (3.5, 4.25), 0.14: (4.25, 6.0), 0.16: (4.5, 6.25),
    0.18: (4.5, 6.5), 0.20: (5.0, 7.0),
}  # fmt: skip
"""Height in m by the lower end of the girth, m round the stem at 1 m: J. A. Jones, Specification (a nursery's table); to
14 cm as in National Plant Specification, Trees: Clear Stem Height. The upper end of the last row is common practice."""

CLEAR_STEMS: dict[float, float] = {0.06: 1.6, 0.08: 1.85, 0.10: 2.0}
"""m of clear stem by girth: National Plant Specification, Trees: Clear Stem Height, the middle of each grade."""
HALF_STANDARD, STANDARD = 1.35, 1.8
"""m of clear stem: Perrie Hale, Guide to Tree Sizes (a nursery's)."""

# Common practice, where nothing is said: a fifth of the ultimate size within limits, and for herbaceous plants a 9 cm pot.
SHARE, LEAST, MOST = 0.2, 0.2, 1.2
SMALL_POT, PLUG = 0.09, 0.04
# A length of one figure up to this is of a pot: pots are sold by their diameter as far as 13 cm, then by litres.
LARGEST_POT = 0.13
# A tree's girth is graded in steps of 2 or 5 cm, its height in steps of 20 cm and more.
WIDEST_GRADE, THICKEST = 0.055, 0.35
GRADED, LOOSE = 0.1, 0.25


def usual(ultimate: float) -> float:
    """Height or spread in m of a shrub or tree as bought, of `ultimate` m when grown: common practice."""
    return min(max(SHARE * ultimate, LEAST), MOST, 0.9 * ultimate)


def girth(stated: Supplied | None) -> float | None:
    """m round the stem at the lower end of the grade that a tree's stated size names; None where it names none."""
    if stated is None or stated.metres is None:
        return None
    least, greatest = stated.metres
    graded = 0 < greatest - least <= WIDEST_GRADE and greatest <= THICKEST and not stated.litres
    return least if graded or "girth" in stated.text else None


def clear_stem(form: str | None, stated: Supplied | None) -> float | None:
    """m of clear stem that a form such as half-standard means; None where it means none."""
    words = (form or "").lower().replace("-", " ")
    if "half standard" in words:
        return HALF_STANDARD
    if "standard" not in words:
        return None
    around = girth(stated)
    return STANDARD if around is None else _graded(CLEAR_STEMS, around)


def tree(stated: Supplied, ultimate: float) -> Size | None:
    """A tree by its girth, its height, or the litres of its pot; None where it says none of them.

    Drawn up in rows: common practice has the head a third as wide as the tree is high, and 0.75 L^⅓ m of height in a pot.
    """
    around = girth(stated)
    if around is not None:
        low, high = _graded(GIRTHS, around)
        height = Measure(low, (low + high) / 2, high)
    elif stated.metres is not None and stated.metres[1] > LARGEST_POT:
        height = _between(stated.metres)
    elif stated.litres:
        height = _about(0.75 * float(stated.litres ** (1 / 3)), LOOSE)
    else:
        return None
    height = _within(height, ultimate)
    return Size(height, Measure(*(value / 3 for value in height)))


def shrub(stated: Supplied, ultimate: tuple[float, float]) -> Size | None:
    """A shrub, climber or bamboo by its height or the litres of its pot, in the proportions that it has when grown.

    ultimate: height and spread. 0.23 L^0.42 m across and up: common practice (3 L 0.37, 10 L 0.6, 25 L 0.9).
    """
    slender = sqrt(min(max(ultimate[0] / ultimate[1], 1 / 3), 3))
    if stated.metres is not None and stated.metres[1] > LARGEST_POT:
        height = _between(stated.metres)
        spread = _about(height.typical / slender**2, LOOSE)
    else:
        litres = stated.litres or (_litres(stated.metres[1]) if stated.metres else 0.0)
        if not litres:
            return None
        across = 0.23 * float(litres**0.42)
        height, spread = _about(across * slender, LOOSE), _about(across / slender, LOOSE)
    return Size(_within(height, ultimate[0]), _within(spread, ultimate[1]))


def herb(stated: Supplied | None, root_form: str | None, ultimate: tuple[float, float]) -> Size:
    """A herbaceous plant: leaves a fifth wider than its pot or plug, and as high (common practice)."""
    metres, litres = (stated.metres, stated.litres) if stated else (None, None)
    pot = PLUG if root_form == "plug" else SMALL_POT
    if litres:
        pot = root_ball(litres)
    elif metres and metres[1] <= LARGEST_POT:
        pot = metres[1]
    leaves = _about(1.2 * pot, GRADED)
    return Size(_within(leaves, ultimate[0]), _within(leaves, ultimate[1]))


def _litres(across: float) -> float:
    """Litres of a pot by its diameter in m, the inverse of `root_ball` between its sizes."""
    return float((across / 0.13) ** 3)


def _graded(table: dict[float, T], around: float) -> T:
    """The row of the thickest grade that a stem reaches; the thinnest for less."""
    return table[max((grade for grade in table if grade <= around + 1e-9), default=min(table))]


def _between(ends: tuple[float, float]) -> Measure:
    least, greatest = ends
    return Measure(least, (least + greatest) / 2, greatest) if greatest > least else _about(least, GRADED)


def _about(typical: float, slack: float) -> Measure:
    return Measure(typical * (1 - slack), typical, typical * (1 + slack))


def _within(size: Measure, ultimate: float) -> Measure:
    """Nothing is bought larger than it will grow."""
    return Measure(*(min(value, ultimate) for value in size))
