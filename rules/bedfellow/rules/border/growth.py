"""How large a plant is, year by year and through the year. Lengths in m, time in years or days of the year.

    woody                 Chapman-Richards curve from the supplied size to the ultimate size
    herbaceous, clump     a share of its mature size in each season until established
    herbaceous, stems     from the ground to full height each year, gone after dying back
    coppiced, cut hard    from the stool in March to full height by August

Height and spread each have a curve of their own. Days are northern: south of the equator they are half a year later.
"""

from __future__ import annotations

from math import exp, log

SHAPE = 1.5
"""Exponent p of the curve where nothing else is known: common practice for trees in the open."""

GROWN = 0.95
"""Share of the ultimate size at which a plant counts as grown: a curve never quite reaches its limit."""

ROOT_BALLS: dict[float, float] = {1: 0.13, 2: 0.17, 3: 0.19, 5: 0.22, 10: 0.28, 25: 0.40}
"""Diameter of the root ball in m by pot size in litres (common practice); a 9 cm pot has 0.09 m."""


def chapman_richards(years: float, ultimate: float, rate: float, shape: float = SHAPE) -> float:
    """A (1 − e^(−k t))^p: Richards 1959, A flexible growth function for empirical use."""
    return ultimate * float((1 - exp(-rate * years)) ** shape)


def woody_size(
    ultimate: float,
    years_to_ultimate: float,
    supplied: float,
    year: float,
    at_ten: float | None = None,
    shape: float = SHAPE,
) -> float:
    """Height or spread in m, `year` years after planting, of a plant of `supplied` m then.

    The curve is cut in at the supplied size and reaches 95 % of the ultimate size after `years_to_ultimate` years; a
    size at year 10, where known and under 95 %, sets its pace instead, as the nearer and better known of the two.
    A plant supplied above 95 % of its ultimate size stays as it is. The check of planting is left out: bare-root and
    large stock may stand still for a year or two, so sizes of years 1 to 3 are if anything too great.
    Raises ValueError for sizes or years that are not positive.
    """
    if min(ultimate, years_to_ultimate) <= 0 or supplied < 0 or year < 0:
        raise ValueError(f"sizes and years must be positive, not {ultimate}, {years_to_ultimate}, {supplied}, {year}")
    if supplied >= GROWN * ultimate:
        return supplied
    age = _age(supplied / ultimate, shape)
    if at_ten is not None and supplied < at_ten < GROWN * ultimate:
        rate = (_age(at_ten / ultimate, shape) - age) / 10
    else:
        rate = (_age(GROWN, shape) - age) / years_to_ultimate
    return chapman_richards(year + age / rate, ultimate, rate, shape)


def herbaceous_share(season: int, seasons_to_establish: float) -> float:
    """Share of its mature spread that a clump has in a season; 1 from `seasons_to_establish` on.

    (season / seasons)^0.6, so 0.52, 0.78, 1 over three seasons: common practice, no measurement; a generous pot
    is ahead of it by perhaps a fifth in the first season. In year 0 a plant has its supplied size, here 0.
    """
    if season >= seasons_to_establish:
        return 1.0
    return float((max(season, 0) / seasons_to_establish) ** 0.6)


def height_share(day: float, emergence: float, full: float, die_back: float) -> float:
    """Share of its height for the year that a plant rising from the ground has on a day of the year.

    0 until `emergence`, then a smooth rise, half of it halfway, 1 from `full` until `die_back`, then 0: the collapse
    itself, some two to three weeks, is taken as one day. The dates may run across New Year.
    """
    since = (day - emergence) % 365
    gone = (die_back - emergence) % 365 or 365
    if since > gone:
        return 0.0
    return _rise(since / max((full - emergence) % 365, 1.0))


def coppiced_height(day: float, full_height: float, stool: float = 0.2, cut: float = 74, full: float = 227) -> float:
    """Height in m on a day of the year of a shrub cut to `stool` m (0.1 to 0.3 m) on day `cut` each year.

    Cut in mid-March and back at full height in mid-August (common practice); before the cut it still has last year's.
    """
    if day < cut:
        return full_height
    return stool + (full_height - stool) * _rise((day - cut) / (full - cut))


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
