"""Retained or removed: every figure against the border grown without the plant, or against geometry by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely import Point, Polygon

from bedfellow.linter.engine import Options, Result
from bedfellow.linter.repair.retained import Sides, both_sides, with_action
from bedfellow.linter.repair.trial import found
from bedfellow.linter.report.retained import in_words
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.sight import elevation

HEAD = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 6.8, texture: loam, moisture: moist well-drained, minimum_temperature: -9, exposure: exposed, prevailing_wind: W}
border: {outline: [[0, 0], [8, 0], [8, 4], [0, 4]]}
"""
APPLE = "{key: Old, name: Malus 'Red Sentinel', at: [4, 1.2], height: 4.5, crown: 2.2, clear_stem: 1.6, stems: [200 mm], protected: yes, action: %s}"
YEW = "{key: Yew, name: Taxus baccata, at: [1, 3.2], height: 2.4, crown: 0.8, action: %s}"
PLANTS = """\
plants:
- {key: SaC, name: Salvia nemorosa 'Caradonna', at: [[3.6, 2.6], [4.2, 2.8]]}
- {key: LaA, name: Lavandula angustifolia 'Hidcote', at: [4.6, 2.2]}
- {key: GeM, name: Geranium macrorrhizum, at: [7.5, 1]}
- {key: ClE, name: Clematis viticella 'Étoile Violette', at: [4.4, 1.4], through: [Old]}
"""
Ask = Callable[..., tuple[Border, list[Sides]]]


@pytest.fixture
def ask(lint_text: Callable[..., Result]) -> Ask:
    def asked(*plants: str, more: str = "", head: str = HEAD, season: int = 10) -> tuple[Border, list[Sides]]:
        kept = "".join(f"- {plant}\n" for plant in plants)
        border = lint_text(f"{head}{more}retained:\n{kept}{PLANTS}").border
        assert border is not None
        return border, both_sides(border, Options(), season)

    return asked


def test_what_goes_month_by_month(ask: Ask) -> None:
    border, [sides] = ask(APPLE % "keep")
    apple = border.retained[0]
    crown = border.crown(apple, 10)
    assert crown is not None
    shows = {show.month: show for show in sides.shows}
    # The crab apple's fruit hangs into February; nothing else here has any.
    assert "fruit" in shows[1].alone and shows[1].mainly and 6 not in shows
    # By hand: the run of frontage that it takes in January, beside what has leaves then.
    left, right = max(0.0, 4 - crown.greatest_radius), min(8.0, 4 + crown.greatest_radius)
    cranesbill = border.crown(border.by_key["GeM"], 10)
    assert cranesbill is not None
    for show in sides.shows:
        assert show.stays >= show.goes and show.stays >= (right - left) / 8 - 1e-9
    # In May the cranesbill flowers too, and stands clear of the tree: the two runs add up.
    run = (min(8.0, 7.5 + cranesbill.greatest_radius) - max(7.5 - cranesbill.greatest_radius, right)) / 8
    assert shows[5].stays == pytest.approx((right - left) / 8 + run)


def test_winter_and_skyline_against_the_crown_itself(ask: Ask) -> None:
    border, [sides] = ask(APPLE % "keep")
    crown = border.crown(border.retained[0], 10)
    assert crown is not None and sides.winter is not None
    alone = elevation(0, 8, [(4.0, crown)])
    january, july = sides.skyline
    assert (january.month, july.month, january.in_leaf, july.in_leaf) == (1, 7, False, True)
    # Nothing else stands in January: all that the tree's own outline takes is lost.
    assert january.highest == pytest.approx(0.1 * sum(height > 0 for height in alone))
    assert january.height == (pytest.approx(max(alone)), 0.0)
    assert january.screened == (pytest.approx(0.1 * sum(height > 1.6 for height in alone)), 0.0)
    assert sides.winter.form == (round(sum(height >= 0.6 for height in alone) / 80, 2), 0.0)
    assert sides.winter.evergreen is False and sides.winter.stands is True


def test_its_shade_is_what_the_plan_without_it_has_more(ask: Ask, lint_text: Callable[..., Result]) -> None:
    border, [sides] = ask(APPLE % "keep")
    without = lint_text(HEAD + PLANTS).border
    assert without is not None and sides.shading is not None
    here, gone = border.light(border.plantings, 10), without.light(without.plantings, 10)
    assert {row.planting.key for row in sides.shading.plantings} == {"SaC", "LaA", "GeM", "ClE"}
    for row in sides.shading.plantings:
        number = row.planting.number
        assert row.june == (here[number][0], gone[number][0]) and row.share == (here[number][3], gone[number][3])
        assert row.june[0] < row.june[1]
    _, _, dark = border.light_map(10)
    _, _, bright = without.light_map(10)
    pairs = [(a, b) for one, two in zip(dark, bright, strict=True) for a, b in zip(one, two, strict=True) if a is not None and b is not None]  # fmt: skip
    assert sides.shading.ground == pytest.approx(sum(b - a >= 0.1 for a, b in pairs) / len(pairs))
    crown = border.crown(border.retained[0], 10)
    assert crown is not None
    bed = Polygon([(0, 0), (8, 0), (8, 4), (0, 4)])
    covers = Point(4, 1.2).buffer(crown.greatest_radius).intersection(bed).area / bed.area
    assert sides.shading.beneath == pytest.approx(covers, abs=0.01)


def test_want_of_light_is_what_light_checks_find(ask: Ask) -> None:
    _, [yew] = ask("{key: Yew, name: Taxus baccata, at: [4, 1.2], height: 4, crown: 2, action: remove}")
    assert yew.shading is not None
    short = {row.planting.key for row in yew.shading.plantings if "LIGHT-01" in row.codes[0]}
    assert short == {key for finding in yew.outcome.gone if finding.code == "LIGHT-01" for key in finding.keys} != set()
    assert all("LIGHT-01" not in row.codes[1] for row in yew.shading.plantings)
    told = " ".join(in_words([yew], 10).split())
    said = told.split("For want of light because of it: ")[1].split(". ")[0]
    assert all(f"({key})" in said for key in short) and "too much" not in told


def test_it_may_keep_the_sun_off(lint_text: Callable[..., Result]) -> None:
    ferns = "plants:\n- {key: AsS, name: Asplenium scolopendrium, at: [4, 2.6]}\n"
    dry = HEAD.replace("moist well-drained", "dry, hottest_month_maximum: 30")
    border = lint_text(
        f"{dry}retained:\n- {{key: Yew, name: Taxus baccata, at: [4, 1.2], height: 5, crown: 2}}\n{ferns}"
    ).border
    assert border is not None
    [sides] = both_sides(border, Options(), 10)
    assert [finding.keys for finding in sides.outcome.new if finding.code == "LIGHT-02"] == [("AsS",)]
    assert "It keeps the sun off Asplenium scolopendrium (AsS), to which it would be too much." in " ".join(
        in_words([sides], 10).split()
    )


def test_roots_by_the_standard(ask: Ask) -> None:
    digging = "surfaces:\n- {kind: excavation, from: [1.5, 0], to: [1.5, 4]}\n- {kind: cultivation, from: [1.7, 0], to: [1.7, 4]}\n"
    _, [sides] = ask(APPLE % "keep", more=digging)
    assert sides.roots is not None and sides.roots.radius == pytest.approx(12 * 0.2)
    bed = Polygon([(0, 0), (8, 0), (8, 4), (0, 4)])
    assert sides.roots.share == pytest.approx(Point(4, 1.2).buffer(2.4).intersection(bed).area / bed.area, abs=0.01)
    assert [(planting.key, number) for planting, number in sides.roots.plantings] == [
        ("SaC", 2),
        ("LaA", 1),
        ("ClE", 1),
    ]
    # 2.5 and 2.3 m off: only the nearer is within.
    assert sides.roots.works == ("cultivation",)


def test_findings_are_those_of_the_two_plans(ask: Ask) -> None:
    border, [sides] = ask(APPLE % "keep")
    other = Border(with_action(border.plan, border.plan.retained[0], "remove"), border.store)
    keeps, goes = ({(f.code, f.keys) for f in found(one, Options())} for one in (border, other))
    assert {(f.code, f.keys) for f in sides.outcome.new} == goes - keeps
    assert {(f.code, f.keys) for f in sides.outcome.gone} == keeps - goes
    assert ("TREE-08", ("Old",)) in goes - keeps and ("CLIMB-04", ("ClE", "Old")) in keeps - goes
    assert [planting.key for planting in sides.carries] == ["ClE"]


def test_what_the_plan_removes_is_asked_the_other_way_round(ask: Ask) -> None:
    _, [kept] = ask(APPLE % "keep")
    border, [removed] = ask(APPLE % "remove")
    assert not border.retained and removed.plant.action == "remove"
    assert removed.shows == kept.shows and removed.winter == kept.winter and removed.skyline == kept.skyline
    assert {f.code for f in removed.outcome.new} == {f.code for f in kept.outcome.new}
    told = in_words([removed], 10)
    assert "the plan has it removed" in told and told.index("If it goes") < told.index("If it stays")


def test_the_lee_lies_on_the_far_side_of_the_wind(ask: Ask) -> None:
    # The wind comes from the west; a border that faces south has the west at its left.
    _, [sides] = ask(APPLE % "keep")
    assert sides.lee is not None and {planting.key for planting in sides.lee} == {"LaA", "GeM", "ClE"}
    _, [calm] = ask(APPLE % "keep", head=HEAD.replace("exposed", "sheltered"))
    assert calm.lee is None


def test_an_unknown_plant_says_what_can_be_said(ask: Ask) -> None:
    bush = "{key: Odd, name: Odd old bush, at: [7, 3], height: 2, crown: 0.9}"
    border, [sides, stub] = ask(bush, "{key: Stub, name: Odd stub, at: [6, 3]}")
    assert border.crown(border.retained[0], 10) is not None
    assert not sides.shows and sides.shading is not None and sides.shading.ground and sides.skyline[0].height[0] == 2
    assert [why for _, why in sides.wanting] == [
        "'Odd old bush' is not a plant that is known", "the plan does not state the diameter of its stem",
    ]  # fmt: skip
    assert stub.shading is None and not stub.skyline and len(stub.wanting) == 3
    told = in_words([sides, stub], 10)
    assert "Could not judge what it shows and when" in told and "The winter loses" not in told
    assert "bare" not in told and "qualified arborist" in told  # what is not known may be a tree


def test_without_light_or_a_bed(ask: Ask) -> None:
    head = "format: 1\nsite: {ph: 6.8}\n"
    _, [sides] = ask(APPLE % "keep", head=head)
    assert sides.shading is None and sides.winter is None and not sides.skyline
    assert [what for what, _ in sides.wanting] == ["its shade", "its part in the frontage, the winter and the ground"]


def test_a_building_and_clay(ask: Ask) -> None:
    house = "structures:\n- {kind: building, outline: [[2, 4], [7, 4], [7, 9], [2, 9]]}\n"
    _, [sides] = ask(APPLE % "keep", more=house)
    # Nothing is said of the clay: the stem stands 2.8 m off.
    assert sides.building is not None and sides.building.distance == pytest.approx(2.8)
    assert "structural engineer" in " ".join(in_words([sides], 10).split())
    firm = HEAD.replace("texture", "shrinkable: no, texture")
    assert ask(APPLE % "keep", more=house, head=firm)[1][0].building is None


def test_in_the_south_the_seasons_turn(ask: Ask) -> None:
    _, [sides] = ask(APPLE % "keep", head=HEAD.replace("51.6", "-37").replace("faces: S", "faces: N"))
    assert [line.month for line in sides.skyline] == [7, 1] and not sides.skyline[0].in_leaf


def test_nothing_that_was_there(lint_text: Callable[..., Result]) -> None:
    border = lint_text(HEAD + PLANTS).border
    assert border is not None and both_sides(border, Options(), 10) == []
    assert in_words([], 10).startswith("The plan names no plant that was there before")


def test_with_action_changes_one(ask: Ask) -> None:
    border, _ = ask(APPLE % "keep", YEW % "keep")
    changed = with_action(border.plan, border.plan.retained[1], "move")
    assert [plant.action for plant in changed.retained] == ["keep", "move"]
    assert replace(changed, retained=()).lines is border.plan.lines
