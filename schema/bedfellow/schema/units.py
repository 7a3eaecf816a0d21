"""Measures as people write them, as metres, litres, degrees, months and days.

Every function raises ValueError in words for the person who wrote the value.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Any

# International foot and inch: 0.3048 m and 0.0254 m exactly (international yard and pound agreement, 1959).
METRES = {"m": 1.0, "cm": 0.01, "mm": 0.001, "km": 1000.0, "ft": 0.3048, "in": 0.0254}
COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
LARGEST = 1e6  # metres; beyond that a plan's numbers are a slip, and squares of them stay well inside a float

_NUMBER = r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*(m|cm|mm|km|ft|in)(?:\s+([0-9]+(?:\.[0-9]*)?)\s*in)?\s*")
_VOLUME = re.compile(r"\s*([0-9]+(?:\.[0-9]*)?)\s*(?:L|l|litres?)\s*")
_GRADIENT = re.compile(r"\s*(?:1\s*:\s*([0-9]+(?:\.[0-9]*)?)|([0-9]+(?:\.[0-9]*)?)\s*%)\s*")
_MONTH = re.compile(r"([0-9]{4})-([0-9]{2})")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_DAY = re.compile(r"([0-9]{2})-([0-9]{2})")


def length(raw: Any) -> float:
    """Metres of a plain number (metres), ``60 cm``, ``2 ft``, ``5 ft 6 in``."""
    if is_number(raw):
        metres = float(raw)
    else:
        found = _LENGTH.fullmatch(raw) if isinstance(raw, str) else None
        if found is None or (found.group(3) and found.group(2) != "ft"):
            raise ValueError(
                f"{shown(raw)} is no length; write metres as a number, or a number with one of {', '.join(METRES)}"
            )
        metres = float(found.group(1)) * METRES[found.group(2)]
        inches = float(found.group(3) or 0) * METRES["in"]
        metres = round(metres - inches if metres < 0 else metres + inches, 6)
    if not -LARGEST <= metres <= LARGEST:
        raise ValueError(f"{shown(raw)} is no length that a garden can have")
    return metres


def volume(raw: Any) -> float:
    """Litres of ``2 L``."""
    found = _VOLUME.fullmatch(raw) if isinstance(raw, str) else None
    if found is None:
        raise ValueError(f"{shown(raw)} is no volume; write litres as 2 L")
    return float(found.group(1))


def bearing(raw: Any) -> float:
    """Degrees from true north, clockwise, of a number from 0 to 360 or one of sixteen points of the compass."""
    if isinstance(raw, str) and raw in COMPASS:
        return COMPASS.index(raw) * 22.5
    degrees = float(raw) if is_number(raw) or (isinstance(raw, str) and re.fullmatch(_NUMBER, raw)) else -1.0
    if not 0 <= degrees <= 360:
        raise ValueError(f"{shown(raw)} is no bearing; write degrees from 0 to 360, or a point such as SW or NNE")
    return degrees % 360


def gradient(raw: Any) -> float:
    """Rise over run of a number, ``1:8`` or ``12 %``."""
    found = _GRADIENT.fullmatch(raw) if isinstance(raw, str) else None
    if found is not None:
        run, percent = found.groups()
        if percent is not None:
            return float(percent) / 100
        if float(run) > 0:
            return 1 / float(run)
    elif is_number(raw) and 0 <= raw <= 10:
        return float(raw)
    raise ValueError(f"{shown(raw)} is no slope; write 1:8, 12 % or 0.12")


def month(raw: Any) -> tuple[int, int]:
    """(year, month) of ``2026-10`` or of a date."""
    found = _MONTH.fullmatch(raw) if isinstance(raw, str) else None
    if found is not None and 1 <= int(found.group(2)) <= 12:
        return int(found.group(1)), int(found.group(2))
    if isinstance(raw, str) and _DATE.fullmatch(raw):
        day = whole_date(raw)
        return day.year, day.month
    raise ValueError(f"{shown(raw)} is no month; write the year and the month as 2026-10")


def whole_date(raw: Any) -> date:
    """The date ``2026-10-22``."""
    found = _DATE.fullmatch(raw) if isinstance(raw, str) else None
    if found is not None:
        try:
            return date(*map(int, found.groups()))
        except ValueError:
            pass
    raise ValueError(f"{shown(raw)} is no date; write it as 2026-10-22")


def last_day(raw: Any) -> date:
    """The date ``2028-10-22``, or the last day of the month ``2028-10``."""
    if isinstance(raw, str) and _DATE.fullmatch(raw):
        return whole_date(raw)
    year, number = month(raw)
    following = date(year + number // 12, number % 12 + 1, 1) if year < 9999 else date.max
    return date.fromordinal(following.toordinal() - 1)


def year_day(raw: Any) -> tuple[int, int]:
    """(month, day) of a day without a year, ``05-25``."""
    found = _DAY.fullmatch(raw) if isinstance(raw, str) else None
    if found is not None:
        number, day = map(int, found.groups())
        if 1 <= number <= 12 and 1 <= day <= DAYS[number - 1]:
            return number, day
    raise ValueError(f"{shown(raw)} is no day of the year; write the month and the day as 05-25")


def is_number(raw: Any) -> bool:
    """Whether a value is a number, which True and False are not."""
    return isinstance(raw, int | float) and not isinstance(raw, bool)


def shown(raw: Any) -> str:
    """A value as it is quoted in a message: short, without line breaks."""
    if raw is None:
        return "nothing"
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, dict):
        return "a mapping"
    if isinstance(raw, list):
        return "a list"
    if isinstance(raw, str):
        text = " ".join(raw.split())
        return f"'{text if len(text) <= 40 else text[:39] + '…'}'"
    return f"{raw:g}" if isinstance(raw, float) else str(raw)[:40]
