"""Measures as people write them, as metres, litres, degrees, months, days and pH in water.

Every function raises ValueError in words for the person who wrote the value.
"""

from __future__ import annotations

import re
from datetime import date
from math import log10
from typing import Any, NamedTuple

# International foot and inch: 0.3048 m and 0.0254 m exactly (international yard and pound agreement, 1959).
METRES = {"m": 1.0, "cm": 0.01, "mm": 0.001, "km": 1000.0, "ft": 0.3048, "in": 0.0254}
COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
LARGEST = 1e6  # metres; beyond that a plan's numbers are a slip, and squares of them stay well inside a float

LOWER_IN_CACL2 = (0.5, 1.0)  # that much lower than in water reads pH in calcium chloride: common practice

_NUMBER = r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*(m|cm|mm|km|ft|in)(?:\s+([0-9]+(?:\.[0-9]*)?)\s*in)?\s*")
_LITRES = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*(?:L|l|litres?)\b")
_LENGTHS = re.compile(r"([0-9]+(?:\.[0-9]+)?)(?:\s*(?:-|–|to)\s*([0-9]+(?:\.[0-9]+)?))?\s*(cm|mm|m)\b")
_GRADIENT = re.compile(r"\s*(?:1\s*:\s*([0-9]+(?:\.[0-9]*)?)|([0-9]+(?:\.[0-9]*)?)\s*%)\s*")
_MONTH = re.compile(r"([0-9]{4})-([0-9]{2})")
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")


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


def reaction(raw: Any, measured_in: str | None = None) -> tuple[float, float]:
    """(low, high) pH in water of one figure or of [low, high], measured in water, CaCl2 or KCl."""
    ends = [float(end) for end in (raw if isinstance(raw, list) else [raw]) if is_number(end)]
    if not ends or not all(0 < end <= 14 for end in ends):
        raise ValueError(f"{shown(raw)} is no pH; write one figure or [low, high]")
    low, high = min(ends), max(ends)
    if measured_in == "CaCl2":
        low, high = low + LOWER_IN_CACL2[0], high + LOWER_IN_CACL2[1]
    elif measured_in == "KCl":
        # Kabała, Musztyfaga, Gałka, Łabuńska and Mańczyńska 2016, Polish Journal of Environmental Studies 25 (2), 647-653.
        low, high = (-1.95 + 11.58 * log10(end) for end in (low, high))
    return round(low, 2), round(high, 2)


class Supplied(NamedTuple):
    """A size as a nursery names it: its text, litres of the pot, (least, greatest) length in metres as far as it says them."""

    text: str
    litres: float | None = None
    metres: tuple[float, float] | None = None


def supplied(raw: Any) -> Supplied:
    """What ``2 L``, ``9 cm`` or ``40-60 cm`` says; whether a length is of pot, stem or girth is the text's to tell."""
    text = " ".join(str(raw).split())
    litres, lengths = _LITRES.search(text), _LENGTHS.search(text)
    size = None
    if lengths:
        least, greatest, unit = lengths.groups()
        size = round(float(least) * METRES[unit], 4), round(float(greatest or least) * METRES[unit], 4)
    return Supplied(text, float(litres.group(1)) if litres else None, size)


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
