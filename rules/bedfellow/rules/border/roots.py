"""The ground that a tree's roots need."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

CAP = 15.0  # m: BS 5837:2012 caps the circle at 15 m, 707 m²


def root_protection_radius(stems: Sequence[float]) -> float:
    """Radius in m of the root protection area for stem diameters in m, measured at 1.5 m.

    BS 5837:2012: 12 times the diameter, at most 15 m; two to five stems as √Σd², more than five as √(mean² · n), the
    last from memory.
    """
    if len(stems) > 5:
        mean = sum(stems) / len(stems)
        return min(CAP, 12 * sqrt(mean * mean * len(stems)))
    return min(CAP, 12 * sqrt(sum(stem * stem for stem in stems)))
