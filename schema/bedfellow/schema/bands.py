"""Hardiness bands as winter minima in °C.

UK H-ratings: Royal Horticultural Society hardiness rating, as published.
USDA zones: zone z, half b adds 5 °F; lowest °F = -60 + 10 (z - 1), each half 5 °F wide.
"""

from __future__ import annotations

import re

UK_RATINGS: dict[str, tuple[float, float]] = {
    "H1a": (15, 20),
    "H1b": (10, 15),
    "H1c": (5, 10),
    "H2": (1, 5),
    "H3": (-5, 1),
    "H4": (-10, -5),
    "H5": (-15, -10),
    "H6": (-20, -15),
    "H7": (-30, -20),  # published as "below -20"; the cold end is our bound
}

_ZONE = re.compile(r"(1[0-3]|[1-9])([ab])?")


def band(name: str) -> tuple[float, float] | None:
    """(cold end, warm end) in °C of a UK rating such as ``H5`` or a USDA zone such as ``7``, ``7a``; None if neither."""
    if name in UK_RATINGS:
        return UK_RATINGS[name]
    zone = _ZONE.fullmatch(name)
    if zone is None:
        return None
    half = zone.group(2)
    coldest = -60 + 10 * (int(zone.group(1)) - 1) + (5 if half == "b" else 0)
    warmest = coldest + (5 if half else 10)
    return _celsius(coldest), _celsius(warmest)


def _celsius(fahrenheit: float) -> float:
    return round((fahrenheit - 32) / 1.8, 1)
