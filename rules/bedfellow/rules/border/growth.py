"""How large a plant is, year by year and through the year. Lengths in m, time in years or days of the year.

    woody                 Chapman-Richards curve from the size at planting to the ultimate size
    herbaceous, clump     a share of its mature size in each season until established
    herbaceous, edge      beyond the grown clump by so much a year, until it is divided
    herbaceous, stems     from the ground to full height each year, gone after dying back
    coppiced, cut hard    from the stool in March to full height by August, in the years in which it is cut

Height and spread each have a curve of their own.
"""

from __future__ import annotations

from math import exp, log
from typing import NamedTuple

from bedfellow.schema.values import YEAR, Measure

SHAPE = 1.5
"""Exponent p of the curve where nothing else is known: common practice for trees in the open."""

GROWN = 0.95
"""Share of the ultimate size at which a plant counts as grown: a curve never quite reaches its limit."""

STOOL, REGROWN = 0.2, 153.0
"""m left of a coppiced shrub, and days until it is back at full height: mid-March to mid-August (common practice)."""

ADVANCE = (
    Measure(0.0, 0.01, 0.02), Measure(0.02, 0.035, 0.05), Measure(0.05, 0.10, 0.15), Measure(0.15, 0.275, 0.40),
    Measure(0.40, 0.50, 0.60),
)  # fmt: skip
"""m a year by which the edge advances, by class of spread rate: the limits of each class and its middle; the last is open."""


ROOT_BALLS: dict[float, float] = {1: 0.13, 2: 0.17, 3: 0.19, 5: 0.22, 10: 0.28, 25: 0.40}
"""Diameter of the root ball in m by pot size in litres (common practice); a 9 cm pot has 0.09 m."""


class Size(NamedTuple):
    """Height and spread in metres, each low, typical, high."""

    height: Measure
    spread: Measure


def chapman_richards(years: float, limit: float, rate: float, shape: float = SHAPE) -> float:
    """A (1 − e^(−k t))^p: Richards 1959, A flexible growth function for empirical use."""
    return limit * float((1 - exp(-rate * years)) ** shape)


def woody_size(
    ultimate: float,
    years_to_ultimate: float,
    planted: float,
    year: float,
    at_ten: float | None = None,
    usual: float | None = None,
    shape: float = SHAPE,
) -> float:
    """Height or spread in m, `year` years after planting, of a plant of `planted` m then.

    A plant of the `usual` size at planting has 95 % of its ultimate size after `years_to_ultimate` years, or `at_ten` in year
    10 where that is known, as the nearer and better known of the two. A smaller one has caught up by then, as small stock
    does; a larger one starts further on along the same curve, and one above its ultimate size stays as it is. The check
    of planting is left out: bare-root and large stock may stand still for a year or two, so sizes of years 1 to 3 are if
    anything too great. Heights measured on street trees after year 10 lie within a tenth of the curve (see the tests); their
    crowns widen more evenly, so that a spread may be a third short at year 20 (Acer palmatum, PSW-GTR-253).
    Raises ValueError for sizes or years that are not positive.
    """
    if min(ultimate, years_to_ultimate) <= 0 or planted < 0 or year < 0:
        raise ValueError(f"sizes and years must be positive, not {ultimate}, {years_to_ultimate}, {planted}, {year}")
    known = at_ten or 0.0
    # Where it is all but grown by year 10 the curve must still pass that size.
    limit, ultimate = max(ultimate, known / GROWN), max(ultimate, known)
    if planted >= ultimate:
        return planted
    usual = min(planted if usual is None else usual, planted, 0.9 * ultimate)
    rate = (_age(GROWN, shape) - _age(usual / limit, shape)) / years_to_ultimate
    if usual < known:
        by_ten = (_age(known / limit, shape) - _age(usual / limit, shape)) / 10
        # One that is grown by then may have been so for years.
        rate = by_ten if known < GROWN * ultimate else max(rate, by_ten)
    return max(planted, min(ultimate, chapman_richards(year + _age(planted / limit, shape) / rate, limit, rate, shape)))


def herbaceous_share(season: float, seasons_to_establish: float) -> float:
    """Share of its mature spread that a clump has in a season; 1 from `seasons_to_establish` on.

    (season / seasons)^0.6, so 0.52, 0.78, 1 over three seasons: common practice, no measurement.
    """
    if season >= seasons_to_establish:
        return 1.0
    return float((max(season, 0) / seasons_to_establish) ** 0.6)


def edge(rate: int, seasons: float) -> Measure:
    """m by which the edge of a spreader of a class (0 to 4) has gone beyond its grown clump after so many seasons."""
    return Measure(*(advance * max(0.0, seasons) for advance in ADVANCE[rate]))


def height_share(day: float, emergence: float, full: float, die_back: float) -> float:
    """Share of its height for the year that a plant rising from the ground has on a day of the year.

    0 until `emergence`, then a smooth rise, half of it halfway, 1 from `full` until `die_back`, then 0: the collapse
    itself, some two to three weeks, is taken as one day. The dates may run across New Year.
    """
    since = (day - emergence) % YEAR
    gone = (die_back - emergence) % YEAR or YEAR
    if since > gone:
        return 0.0
    return _rise(since / max((full - emergence) % YEAR, 1.0))


def coppiced_height(day: float, full_height: float, cut: float, stool: float = STOOL) -> float:
    """Height in m on a day of the year in which a shrub is cut to `stool` m on day `cut`; before that it has its full height."""
    if stool >= full_height:
        return full_height
    return stool + (full_height - stool) * _rise(((day - cut) % YEAR) / REGROWN)


def root_ball(litres: float) -> float:
    """Diameter in m of the root ball of a pot; sizes between those of the table by the cube root (within 5 % of it)."""
    if litres <= 0:
        raise ValueError(f"a pot holds more than {litres} litres")
    return ROOT_BALLS.get(litres) or 0.13 * float(litres ** (1 / 3))


def _age(share: float, shape: float) -> float:
    """k t at which the curve has reached a share of its limit."""
    return -log(1 - share ** (1 / shape))


def _rise(u: float) -> float:
    u = min(max(u, 0.0), 1.0)
    return u * u * (3 - 2 * u)
