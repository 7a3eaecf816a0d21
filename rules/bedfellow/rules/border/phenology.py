"""When plants flower, leaf and die back, and how surely. Days of the year from 1; a window is (start, end) in days.

A window's end is counted on past New Year (November to January is 320 to 380), so it is never before its start.
In a year that is not average dates move by a normal deviate of their own season's size. Years share weather: the deviates of
two plants in one garden are correlated, and between them a window shifts as a whole, by the variation of its start. Where one
window is held against the calendar its start and end move by the same deviate, each by its own variation.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import erf, floor, inf, sqrt

from bedfellow.schema.values import FIRST_DAYS, YEAR, Day, Window

Span = tuple[float, float]
Varying = tuple[Span, tuple[float, float]]
"""A window, and the standard deviations in days of its start and its end from year to year."""

DEVIATIONS = (20.0, 20.0, 10.0, 10.0, 8.0, 8.0, 8.0, 10.0, 10.0, 10.0, 15.0, 20.0)
"""Standard deviation in days, from year to year, of dates that fall in January to December.

February to July: F. Darwin's reduction of Blomefield's records (about 20; 10, 10; 7 to 9). Cherry in Switzerland (10.2,
median of 90 stations) and hazel (22.6) agree. No figure was read for the other months: common practice.
"""

CORRELATION = 0.5
"""Correlation of two plants' shifts in one garden and year. Assumed: no published figure was read for garden plants."""

NINE_IN_TEN = 1.6449
"""Standard deviations to either side of the mean between which nine tenths of a normal distribution lie."""

# Abscissae and weights of Gauss and Hermite's quadrature with nine points, for a normal deviate of variance 1 (memory; held
# by the tests to a fine sum).
_HALF = ((1.023255663789133, 0.24409750289494), (2.07684797867783, 0.0499164067652179),
         (3.20542900285647, 0.00278914132123177), (4.51274586339978, 2.23458440077466e-05))  # fmt: skip
_WEATHER = ((0.0, 0.406349206349206), *((sign * x, weight) for x, weight in _HALF for sign in (1, -1)))

# Days later a degree of latitude and a metre of altitude, within a region only.
# Europe: 44 km a day and 3 d per 100 m, second-hand. North America: Hopkins 1918, 4 d a degree and per 400 ft, memory.
_SHIFTS = {"europe": (2.5, 3 / 100), "north america": (4.0, 4 / 121.92)}

ALL_YEAR = 345
"""Days from which a window is all year: 'January to December' is read as 8 January to 23 December."""

LOWLAND = 50.0
"""m: altitude that dates are taken to be from where a record does not say (common practice)."""
LEAST = 3.0
"""Days."""

DAYS_A_DEGREE = 5.0
"""Days by which spring comes earlier for 1 °C: first flowers of 405 British species, 1760 to 2009 (Amano et al. 2010, Proc. R.
Soc. B, as summed up in Nature Reports Climate Change). For single species 2.5 to 7.7 are published."""
IN_TOWN = 4.0
"""Days by which spring comes earlier in a town: common practice. Jochner, Sparks, Estrella & Menzel 2012, The influence of
altitude and urbanisation (abstract), found 1.7 (spruce) to 5.1 days (hazel) a unit of a logarithmic index of building."""

COASTAL = 10_000.0
"""m from the sea at which its influence on dates has faded away (common practice)."""
# Days later by the sea than inland, by day of the year: its mild winter brings early flowers on, its cool spring holds
# the flowers of May and June back. Common practice.
_BY_THE_SEA = (
    (32.0, -5.0),
    (75.0, -5.0),
    (120.0, 0.0),
    (135.0, 3.0),
    (166.0, 3.0),
    (213.0, 0.0),
    (335.0, 0.0),
    (397.0, -5.0),
)

# Spring follows warmth and so latitude; autumn follows day length as much, in part the other way. Common practice:
# the shift holds in full from February to May, fades to nothing from 1 June to 1 September, returns through December
# and January.
_FULL_UNTIL, _NONE_FROM, _NONE_UNTIL, _FULL_FROM = 152, 244, 335, 397


def deviation(day: float) -> float:
    """Standard deviation in days of a date that falls on this day on average; linear from one mid-month to the next."""
    place = ((day - 15.5) / YEAR * 12) % 12
    month = int(place)
    here, after = DEVIATIONS[month], DEVIATIONS[(month + 1) % 12]
    return here + (after - here) * (place - month)


def probability_together(
    first: Span,
    second: Span,
    at_least: float = 0.0,
    correlation: float = CORRELATION,
    deviations: tuple[float, float] | None = None,
) -> float:
    """Probability, over the years, that two windows share `at_least` days.

    Windows shift by X and Y, and D = Y − X is normal with variance σ₁² + σ₂² − 2ρσ₁σ₂. They share m days where both
    are m days long and start₁ + m − end₂ ≤ D ≤ end₁ − m − start₂; the second is also tried a year earlier and later.
    Deviations (days) default to those of the dates on which the windows start.
    """
    (start_1, end_1), (start_2, end_2) = first, second
    if min(end_1 - start_1, end_2 - start_2) < at_least - 1e-9:
        return 0.0
    if end_1 - start_1 + end_2 - start_2 - 2 * at_least >= YEAR:
        return 1.0
    s1, s2 = deviations or (deviation(start_1), deviation(start_2))
    spread = sqrt(max(0.0, s1 * s1 + s2 * s2 - 2 * correlation * s1 * s2))
    middle = round((start_1 + end_1 - start_2 - end_2) / 2 / YEAR) * YEAR
    total = 0.0
    for turn in (middle - YEAR, middle, middle + YEAR):
        total += _between(start_1 + at_least - end_2 - turn, end_1 - at_least - start_2 - turn, spread)
    return min(1.0, total)


def chance_in_month(windows: Sequence[Varying], month: int, least: float, weather: float | None = None) -> float:
    """Probability that one of a plant's windows takes up at least a share of a month (1 to 12).

    In a year of deviate Z each start and end lies Z of its own deviations later, so a window takes up enough for Z between
    two limits: where it is late and early enough. weather: the part of Z that all plants of a year share, in standard
    deviations; None over all years. A window shorter than asked for never does.
    """
    shared, own = (0.0, 1.0) if weather is None else (sqrt(CORRELATION) * weather, sqrt(1 - CORRELATION))
    reached, total = -inf, 0.0
    for low, high in sorted(limits for window in windows for limits in _enough(window, month, least)):
        if high > reached:
            total += _between(max(low, reached) - shared, high - shared, own)
            reached = high
    return min(1.0, total)


def _enough(window: Varying, month: int, least: float) -> Iterator[tuple[float, float]]:
    """Between which deviates a window takes up at least a share of a month, this year, the last or the next."""
    (start, end), (early, late) = window
    first, last = FIRST_DAYS[month - 1], FIRST_DAYS[month]
    days = least * (last - first)
    if end - start >= YEAR:
        yield -inf, inf
    elif end - start >= days:
        middle = round((first + last - start - end) / 2 / YEAR) * YEAR
        for turn in (middle - YEAR, middle, middle + YEAR):
            low, high = (first + days - end - turn) / late, (last - days - start - turn) / early
            if low < high:
                yield low, high


def chance_of_none(plants: Sequence[Sequence[Varying]], month: int, least: float) -> float:
    """Probability that a month finds none of several plants within a window of its own.

    Given the weather that all share, plants vary on their own: the product of their chances to miss the month, weighted over
    the weather by quadrature.
    """
    total = 0.0
    for weather, weight in _WEATHER:
        missed = weight
        for windows in plants:
            missed *= 1 - chance_in_month(windows, month, least, weather)
        total += missed
    return total


def early_and_late(window: Varying) -> tuple[Span, Span]:
    """A window in an early and in a late year: nine years in ten lie between the two."""
    (start, end), (early, late) = window
    before, after = NINE_IN_TEN * early, NINE_IN_TEN * late
    return (start - before, end - after), (start + before, end + after)


def share_of_month(window: Span, month: int) -> float:
    """Share of a month (1 to 12) that lies within a window in an average year."""
    first, last = FIRST_DAYS[month - 1], FIRST_DAYS[month]
    start = window[0] % YEAR
    end = start + window[1] - window[0]
    covered = 0.0
    for turn in (-YEAR, 0, YEAR):
        covered += max(0.0, min(end + turn, last) - max(start + turn, first))
    return min(1.0, covered / (last - first))


def shift_for_latitude(
    day: float,
    latitude: float,
    reference_latitude: float,
    altitude: float = 0.0,
    reference_altitude: float = 0.0,
    region: str = "europe",
) -> float:
    """Day on which a phase recorded at one place falls at another of the same region; may leave 1 to 365.

    degrees, m. Spring phases move by latitude and altitude (2.5 d a degree and 3 d per 100 m in Europe, 4 d and 3.3 d
    in North America), autumn phases not at all. Across the equator only half a year is added, since dates are never
    shifted from one continent to another. Raises ValueError for a region without published figures.
    """
    if latitude * reference_latitude < 0:
        return day + YEAR / 2
    if region not in _SHIFTS:
        raise ValueError(f"no figures for shifting dates within {region!r}; there are for {', '.join(_SHIFTS)}")
    by_degree, by_metre = _SHIFTS[region]
    later = by_degree * (abs(latitude) - abs(reference_latitude)) + by_metre * (altitude - reference_altitude)
    northern = day if latitude >= 0 else day + YEAR / 2
    return day + later * _spring(northern)


def shifted(
    window: Window, latitude: float | None, altitude: float | None, coast: float | None = None, earlier: float = 0.0
) -> Window:
    """A window as it falls at a latitude (degrees) and altitude (m) of its region; where these are None, as it was recorded.

    coast: m from the sea; earlier: days by which springs are earlier here than the place has them, for warmth or a town.
    Records are taken to be from LOWLAND m. Ends of the window keep their order. Below LEAST days nothing is shifted: the
    figures are no better than that.
    """
    height = LOWLAND if altitude is None else altitude
    half = YEAR / 2 if latitude is not None and latitude * window.latitude < 0 else 0.0

    def there(day: float) -> float:
        northern = day if window.latitude >= 0 else day + YEAR / 2
        local = _by_the_sea(northern, coast) - earlier * _spring(northern)
        if latitude is None or half or window.region not in _SHIFTS:
            return day + half + local
        return shift_for_latitude(day, latitude, window.latitude, height, LOWLAND, window.region) + local

    start, end = (Day(*map(there, edge)) for edge in (window.start, window.end))
    if max(abs(a - b) for a, b in zip((*start, *end), (*window.start, *window.end), strict=True)) < LEAST:
        return window
    end = Day(*(max(late, early) for early, late in zip(start, end, strict=True)))
    turns = floor((start.typical - 1) / YEAR) * YEAR
    return replace(window, start=Day(*(day - turns for day in start)), end=Day(*(day - turns for day in end)))


def region_of(latitude: float | None, longitude: float | None) -> str | None:
    """The region of dates that a site lies in; None where it is not known, "elsewhere" where there are no records.

    Boxes about Europe and North America: common practice.
    """
    if latitude is None or longitude is None:
        return None
    if 34 <= latitude <= 72 and -25 <= longitude <= 45:
        return "europe"
    if 15 <= latitude <= 72 and -170 <= longitude <= -50:
        return "north america"
    return "elsewhere"


def _spring(day: float) -> float:
    """Share of the shift that holds on a day of the year."""
    day %= YEAR
    if day < _FULL_FROM - YEAR:
        day += YEAR
    if day >= _NONE_UNTIL:
        return min(1.0, (day - _NONE_UNTIL) / (_FULL_FROM - _NONE_UNTIL))
    return min(1.0, max(0.0, (_NONE_FROM - day) / (_NONE_FROM - _FULL_UNTIL)))


def _by_the_sea(day: float, coast: float | None) -> float:
    """Days later so many m from the sea than inland."""
    if coast is None or coast >= COASTAL:
        return 0.0
    day %= YEAR
    day = day + YEAR if day < _BY_THE_SEA[0][0] else day
    for (first, before), (last, after) in pairwise(_BY_THE_SEA):
        if day <= last:
            return (before + (after - before) * (day - first) / (last - first)) * (1 - coast / COASTAL)
    return 0.0


def _between(lower: float, upper: float, spread: float) -> float:
    """Probability that a normal deviate of mean 0 lies between two limits."""
    if upper < lower:
        return 0.0
    if spread == 0:
        return float(lower <= 0 <= upper)
    return (erf(upper / spread / sqrt(2)) - erf(lower / spread / sqrt(2))) / 2
