"""How far the roots of a tree are protected."""

from __future__ import annotations

from math import pi

import pytest

from bedfellow.rules.border.roots import root_protection_radius


# BS 5837:2012, the printed table as read second-hand: stem in mm → radius in m and area in m².
@pytest.mark.parametrize(
    ("stem", "radius", "area"),
    [
        (75, 0.9, 2.5), (150, 1.8, 10.2), (200, 2.4, 18.1), (300, 3.6, 40.7), (400, 4.8, 72.4), (500, 6.0, 113.1),
        (750, 9.0, 254.5), (1000, 12.0, 452.4), (1250, 15.0, 706.9), (1500, 15.0, 706.9),
    ],
)  # fmt: skip
def test_root_protection_area(stem: float, radius: float, area: float) -> None:
    found = root_protection_radius([stem / 1000])
    assert found == pytest.approx(radius, abs=0.005)
    assert pi * found**2 == pytest.approx(area, abs=0.5)


def test_several_stems_count_as_one() -> None:
    assert root_protection_radius([0.15, 0.2, 0.25]) == pytest.approx(4.243, abs=0.001)
    assert root_protection_radius([0.1] * 6) == pytest.approx(12 * (0.01 * 6) ** 0.5)
