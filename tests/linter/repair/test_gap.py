"""What could fill a gap: the place against geometry by hand, and every plant offered against a lint of the plan with it."""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import pytest

from bedfellow.linter.engine import Options, Result
from bedfellow.linter.repair.gap import NoRoom, fillers, place
from bedfellow.traits_db.search.asked import asked

HEAD = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 7.8, texture: loam, moisture: moist well-drained, minimum_temperature: -9}
border: {outline: [[0, 0], [8, 0], [8, 4], [0, 4]]}
plants:
"""
TREE = "- {key: MaS, name: Malus 'Red Sentinel', at: [4, 2.4], clear_stem: 1.8}\n"
SHRUBS = "- {key: ViT, name: Viburnum tinus, at: [1, 2.5]}\n- {key: OsB, name: Osmanthus × burkwoodii, at: [7, 2.5]}\n"


def test_the_place(lint_text: Callable[..., Result]) -> None:
    border = lint_text(HEAD + SHRUBS).border
    assert border is not None
    offered = place(border, (4.0, 1.0))
    radii = {planting.key: border.crown(planting, 10).greatest_radius for planting in border.plantings}  # type: ignore[union-attr]
    apart = (3**2 + 1.5**2) ** 0.5
    # The nearest limit is a crown or the front edge, over which leaves may lean 15 cm.
    assert offered.room == pytest.approx(2 * min(apart - max(radii.values()), 1.15))
    assert (offered.light, offered.soil.ph, offered.soil.moisture) == (("full sun",), (7.8, 7.8), "moist well-drained")
    assert offered.june is not None and offered.share is not None and offered.june > 6 and offered.share > 0.7
    with pytest.raises(NoRoom, match=r"Viburnum tinus \(ViT\) stands there.*the nearest with 40 cm is"):
        place(border, (1.0, 2.4))
    with pytest.raises(NoRoom, match="outside the bed"):
        place(border, (9.0, 2.0))


def test_below_a_canopy_height_is_limited(lint_text: Callable[..., Result]) -> None:
    border = lint_text(HEAD + TREE).border
    assert border is not None
    offered = place(border, (4.0, 1.9))
    assert offered.headroom == pytest.approx(1.65) and offered.under == "Malus 'Red Sentinel' (MaS)"
    found = fillers(border, offered, [asked("life form perennial or shrub")], [], "", 4, Options())
    assert found.good and all(filler.height <= 1.65 for filler in found.good)


def test_what_is_offered_is_found_good_by_a_lint(lint_text: Callable[..., Result]) -> None:
    before = lint_text(HEAD + SHRUBS)
    assert before.border is not None
    offered = place(before.border, (4.0, 1.0))
    found = fillers(before.border, offered, [], [], "", 3, Options(today=before_today()))
    assert len(found.good) == 3
    had = {(f.code, f.keys) for f in before.findings}
    for filler in found.good:
        traits = filler.candidate.traits
        ph, cold = traits.tolerance("ph_tolerated"), traits.tolerance("minimum_temperature")
        assert ph is not None and ph.lower <= 7.8 <= ph.upper and cold is not None and cold.lower <= -9
        assert "full sun" in traits.words("light") and filler.spread <= offered.room
        assert filler.number * pi * filler.spread**2 / 4 <= 1.2 * pi * offered.room**2 / 4
        middle = f"{{middle: [4, 1], number: {filler.number}, centres: {filler.spread}}}"
        line = f'- {{key: new, name: "{traits.name}", group: {middle}}}\n'
        after = lint_text(HEAD + SHRUBS + line)
        assert not [f for f in after.findings if f.level != "note" and (f.code, f.keys) not in had], traits.name


def before_today() -> object:
    import datetime

    return datetime.date(2026, 11, 25)


def test_lime_haters_are_not_offered_on_chalk(lint_text: Callable[..., Result]) -> None:
    border = lint_text(HEAD + SHRUBS).border
    assert border is not None
    found = fillers(border, place(border, (4.0, 1.0)), [asked("lime hates")], [], "", 3, Options())
    assert found.good == () == found.refused
