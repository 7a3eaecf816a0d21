"""When plants flower, leaf and die back, and how surely. Days of the year from 1; a window is (start, end) in days.

A window's end is counted on past New Year (November to January is 320 to 380), so it is never before its start.
In a year that is not average a window shifts as a whole by a normal deviate. Years share weather: the deviates of two
plants in one garden are correlated. That a window keeps its length is a simplification: heat after a late spring also
shortens it, by days rather than weeks (common practice).
"""

from __future__ import annotations

from dataclasses import replace
from math import erf, floor, sqrt

from bedfellow.schema.values import FIRST_DAYS, YEAR, Day, Window

Span = tuple[float, float]

DEVIATIONS = (20.0, 20.0, 10.0, 10.0, 8.0, 8.0, 8.0, 10.0, 10.0, 10.0, 15.0, 20.0)
"""Standard deviation in days, from year to year, of dates that fall in January to December.

February to July: F. Darwin's reduction of Blomefield's records (about 20; 10, 10; 7 to 9). Cherry in Switzerland (10.2,
median of 90 stations) and hazel (22.6) agree. No figure was read for the other months: common practice.
"""

CORRELATION = 0.5
"""Correlation of two plants' shifts in one garden and year. Assumed: no published figure was read for garden plants."""

# Days later a degree of latitude and a metre of altitude, within a region only.
# Europe: 44 km a day and 3 d per 100 m, second-hand. North America: Hopkins 1918, 4 d a degree and per 400 ft, memory.
_SHIFTS = {"europe": (2.5, 3 / 100), "north america": (4.0, 4 / 121.92)}

LOWLAND = 50.0
"""m: altitude that dates are taken to be from where a record does not say (common practice)."""
LEAST = 3.0
"""Days."""

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


def probability_on(window: Span, day: float, spread: float | None = None) -> float:
    """Probability that a window covers a day of the year; `spread` its standard deviation in days."""
    start, end = window
    if end - start >= YEAR:
        return 1.0
    spread = deviation(start) if spread is None else spread
    middle = round((day - (start + end) / 2) / YEAR) * YEAR
    turns = (middle - YEAR, middle, middle + YEAR)
    return min(1.0, sum(_between(day - turn - end, day - turn - start, spread) for turn in turns))


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


def shifted(window: Window, latitude: float | None, altitude: float | None) -> Window:
    """A window as it falls at a latitude (degrees) and altitude (m) of its region; where these are None, as it was recorded.

    Records are taken to be from LOWLAND m. Ends of the window keep their order. Below LEAST days nothing is shifted: the
    figures are no better than that.
    """
    if latitude is None:
        return window
    height = LOWLAND if altitude is None else altitude
    start, end = (
        Day(
            *(
                shift_for_latitude(day, latitude, window.latitude, height, LOWLAND, window.region)
                if window.region in _SHIFTS
                else day + (YEAR / 2 if latitude * window.latitude < 0 else 0)
                for day in edge
            )
        )
        for edge in (window.start, window.end)
    )
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


def _between(lower: float, upper: float, spread: float) -> float:
    """Probability that a normal deviate of mean 0 lies between two limits."""
    if upper < lower:
        return 0.0
    if spread == 0:
        return float(lower <= 0 <= upper)
    return (erf(upper / spread / sqrt(2)) - erf(lower / spread / sqrt(2))) / 2
