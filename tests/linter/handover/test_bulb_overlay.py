"""The bulbs alone: every one of them, where the plan has it, and no other plant but by its outline."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from bedfellow.linter.report.drawings.asked import Asked
from bedfellow.linter.report.handover.bulb_overlay import bulbs, drawn
from bedfellow.linter.report.handover.pack import Pack

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("scale", [50, 100])
def test_every_bulb_is_drawn_to_scale(full: Pack, scale: int) -> None:
    picture = drawn(full.result, Asked(scale=scale))
    tree = ElementTree.fromstring(picture.svg)
    drifts = [g for g in tree.iter(f"{SVG}g") if g.get("class") == "bulb"]
    signs = [(float(c.get("cx", 0)), float(c.get("cy", 0))) for g in drifts for c in g.iter(f"{SVG}circle")]
    points = [point for planting in bulbs(full.border) for point in planting.points]
    assert len(signs) == len(points) == 61
    # Distances on paper are those of the garden, over the scale.
    (x0, y0), (x1, y1) = points[0], points[-1]
    (u0, v0), (u1, v1) = signs[0], signs[-1]
    assert u1 - u0 == pytest.approx((x1 - x0) * 1000 / scale, abs=0.01)
    assert v0 - v1 == pytest.approx((y1 - y0) * 1000 / scale, abs=0.01)


def test_keys_numbers_and_depths_are_told(full: Pack) -> None:
    words = "".join(ElementTree.fromstring(drawn(full.result, Asked()).svg).itertext())
    for word in ("50 NaT", "11 CaS", "10 cm deep", "12 cm deep"):
        assert word in words
