"""Colours by name: the CIELAB values of the ISCC-NBS names, and how far two colours lie apart (CIEDE2000)."""

from __future__ import annotations

from functools import cache
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt
from pathlib import Path
from typing import NamedTuple

# White of D65, 2° observer (CIE 15), and the matrix of sRGB (IEC 61966-2-1).
_WHITE = (0.95047, 1.0, 1.08883)
_TO_XYZ = ((0.4124564, 0.3575761, 0.1804375), (0.2126729, 0.7151522, 0.0721750), (0.0193339, 0.1191920, 0.9503041))


class Lab(NamedTuple):
    """CIELAB under D65: lightness 0 to 100, green to red, blue to yellow."""

    lightness: float
    a: float
    b: float


@cache
def names() -> dict[str, str]:
    """ISCC-NBS name to the sRGB of its middle, ``rrggbb``; see the head of ``colours.yaml`` for the table's source."""
    lines = Path(__file__).with_name("colours.yaml").read_text("utf-8").splitlines()
    pairs = (line.split(": ", 1) for line in lines if line and not line.startswith("#"))
    return {name: value.strip('"') for name, value in pairs}


def srgb(colour: str) -> str:
    """``#rrggbb`` of a colour by its ISCC-NBS name, or written so; empty for anything else."""
    value = colour.removeprefix("#") if colour.startswith("#") else names().get(colour.strip().lower(), "")
    return "" if len(value) != 6 or set(value.lower()) - set("0123456789abcdef") else f"#{value.lower()}"


def lab(colour: str) -> Lab:
    """A colour by its ISCC-NBS name, or as sRGB ``#rrggbb``. Raises ValueError, in words, for anything else."""
    value = srgb(colour).removeprefix("#")
    if not value:
        from difflib import get_close_matches

        near = get_close_matches(colour.lower(), names(), 3)
        hint = f"; nearest: {', '.join(near)}" if near else "; write a name of the ISCC-NBS system or #rrggbb"
        raise ValueError(f"'{colour}' is no colour{hint}")
    return _lab(value)


@cache
def _lab(value: str) -> Lab:
    linear = [_linear(int(value[at : at + 2], 16) / 255) for at in (0, 2, 4)]
    x, y, z = (
        _lightness(sum(weight * channel for weight, channel in zip(row, linear, strict=True)) / white)
        for row, white in zip(_TO_XYZ, _WHITE, strict=True)
    )
    return Lab(116 * y - 16, 500 * (x - y), 200 * (y - z))


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)


def _lightness(share: float) -> float:
    return float(share ** (1 / 3)) if share > (6 / 29) ** 3 else share / (3 * (6 / 29) ** 2) + 4 / 29


def difference(first: Lab, second: Lab) -> float:
    """CIEDE2000 with unit weights, as Sharma, Wu & Dalal 2005 state it: about 1 is just seen, over 40 is another colour."""
    mean_chroma = (hypot(first.a, first.b) + hypot(second.a, second.b)) / 2
    stretch = 1.5 - 0.5 * sqrt(mean_chroma**7 / (mean_chroma**7 + 25**7))
    (a1, b1), (a2, b2) = (first.a * stretch, first.b), (second.a * stretch, second.b)
    c1, c2 = hypot(a1, b1), hypot(a2, b2)
    h1, h2 = (degrees(atan2(b, a)) % 360 if a or b else 0.0 for a, b in ((a1, b1), (a2, b2)))
    turn = 0.0 if c1 * c2 == 0 else (h2 - h1 + 180) % 360 - 180
    if c1 * c2 and turn == -180:
        turn = 180.0 if h2 > h1 else -180.0
    lightness, chroma = second.lightness - first.lightness, c2 - c1
    hue = 2 * sqrt(c1 * c2) * sin(radians(turn / 2))
    mean_l, mean_c = (first.lightness + second.lightness) / 2, (c1 + c2) / 2
    mean_h = h1 + h2 if c1 * c2 == 0 else (h1 + turn / 2) % 360
    t = (
        1 - 0.17 * cos(radians(mean_h - 30)) + 0.24 * cos(radians(2 * mean_h))
        + 0.32 * cos(radians(3 * mean_h + 6)) - 0.20 * cos(radians(4 * mean_h - 63))
    )  # fmt: skip
    lightness /= 1 + 0.015 * (mean_l - 50) ** 2 / sqrt(20 + (mean_l - 50) ** 2)
    chroma /= 1 + 0.045 * mean_c
    hue /= 1 + 0.015 * mean_c * t
    rotation = -2 * sqrt(mean_c**7 / (mean_c**7 + 25**7)) * sin(radians(60 * exp(-(((mean_h - 275) / 25) ** 2))))
    return sqrt(lightness**2 + chroma**2 + hue**2 + rotation * chroma * hue)
