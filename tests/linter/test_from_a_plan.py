"""Checks asserted from a plan file, against published figures where they exist."""

from __future__ import annotations

import pytest

from bedfellow.linter.engine import Result

HEAD = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 6.8, texture: loam, moisture: moist well-drained, minimum_temperature: -9}
border: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]]}
"""


def found(result: Result, code: str) -> list[tuple[str, tuple[str, ...]]]:
    assert not result.crashed
    return [(f.level, f.keys) for f in result.findings if f.code == code]


def site(**words: object) -> str:
    stated = {
        "latitude": 51.6,
        "faces": "S",
        "ph": 6.8,
        "moisture": "moist well-drained",
        "minimum_temperature": -9,
        **words,
    }
    text = ", ".join(f"{key}: {value}" for key, value in stated.items())
    return f"format: 1\nsite: {{{text}}}\nborder: {{outline: [[0, 0], [40, 0], [40, 40], [0, 40]]}}\n"


# Published preferences and limits: the nursery table and almanac behind pH 7.4 and 8.0, and the site of box on chalk.
@pytest.mark.parametrize(
    ("ph", "name", "fails"),
    [
        (7.4, "Rhododendron 'Koichiro Wada'", True),
        (7.4, "Camellia × williamsii 'Donation'", True),
        (7.4, "Buxus sempervirens", False),
        (7.4, "Lavandula angustifolia 'Hidcote'", False),
        (8.0, "Crataegus monogyna", False),
        (8.0, "Buxus sempervirens", False),
        (8.0, "Lavandula angustifolia 'Hidcote'", False),
        (8.0, "Buddleja davidii 'Black Knight'", False),
        (8.0, "Taxus baccata", False),
        (8.0, "Erica cinerea 'Velvet Night'", True),
        (8.0, "Erica × darleyensis 'Darley Dale'", False),
    ],
)
def test_reaction(lint_plants, ph, name, fails):  # type: ignore[no-untyped-def]
    result = lint_plants(f'- {{key: P, name: "{name}", at: [5, 5]}}\n', head=site(ph=ph))
    assert bool(found(result, "SITE-01")) is fails


def test_lime_hater_from_a_published_source_is_an_error(lint_plants):  # type: ignore[no-untyped-def]
    result = lint_plants("- {key: P, name: Rhododendron 'Koichiro Wada', at: [5, 5]}\n", head=site(ph=7.0))
    assert found(result, "SITE-01") == [("error", ("P",))]


# USDA zone and RHS rating as published: the cold end of the band is the limit.
@pytest.mark.parametrize(("minimum", "level"), [(-18, []), (-21, ["note"]), (-25, ["warning"]), (-30, ["error"])])
def test_hardiness(lint_plants, store, minimum, level):  # type: ignore[no-untyped-def]
    traits = store.find(["Taxus baccata"])["Taxus baccata"]
    assert traits.sourced("minimum_temperature")
    assert traits.tolerance("minimum_temperature").lower == pytest.approx(-23.3)  # USDA zone 6a begins at -10 °F
    result = lint_plants("- {key: P, name: Taxus baccata, at: [5, 5]}\n", head=site(minimum_temperature=minimum))
    assert [found_level for found_level, _ in found(result, "SITE-03")] == level


# NHBC Standards, chapter 4.2, table 12 (2006): species, mature height m, zone of influence m.
@pytest.mark.parametrize(
    ("name", "zone"),
    [("Quercus robur", 25.0), ("Crataegus monogyna", 12.5)],
)
def test_zone_of_influence(lint_plants, name, zone):  # type: ignore[no-untyped-def]
    house = "structures:\n- {kind: building, outline: [[0, 30], [9, 30], [9, 39], [0, 39]], height: 6}\n"

    def levels(distance: float, shrinkable: str) -> list[str]:
        plan = f"- {{key: T, name: {name}, at: [5, {30 - distance:.2f}]}}\n"
        return [level for level, _ in found(lint_plants(plan, head=site(shrinkable=shrinkable), more=house), "TREE-02")]

    assert levels(zone - 0.5, "yes") == ["warning"]
    assert levels(zone + 0.5, "yes") == []
    assert levels(zone - 0.5, "no") == []


def test_unstated_soil_is_not_judged(lint_plants):  # type: ignore[no-untyped-def]
    house = "structures:\n- {kind: building, outline: [[0, 30], [9, 30], [9, 39], [0, 39]], height: 6}\n"
    result = lint_plants("- {key: T, name: Quercus robur, at: [5, 20]}\n", more=house, head=site())
    assert not found(result, "TREE-02")
    note = next(f for f in result.findings if f.code == "PLAN-05")
    assert "TREE-02 for want of site: shrinkable" in note.message


# Vernon et al., Landscape Architect's Pocket Book, rules of thumb: area over distance squared; staggered 1.1547 times that.
@pytest.mark.parametrize(
    ("centres", "grid", "per_m2"),
    [
        ("30 cm", "square", 11.11),
        ("30 cm", "staggered", 12.83),
        ("45 cm", "square", 4.94),
        ("12 in", "square", 1 / 0.3048**2),
    ],
)
def test_quantity_for_an_area(lint_plants, centres, grid, per_m2):  # type: ignore[no-untyped-def]
    def levels(quantity: float) -> list[str]:
        line = f"- {{key: G, name: Geranium macrorrhizum, outline: [[0, 0], [4, 0], [4, 3], [0, 3]], centres: {centres}, grid: {grid}, quantity: {round(quantity)}}}\n"
        return [level for level, _ in found(lint_plants(line), "STOCK-02")]

    right = 12 * per_m2
    assert levels(right) == []
    assert levels(right * 1.3) == ["warning"]
    assert levels(right * 1.7) == ["error"]
    assert levels(right * 0.4) == ["error"]


def test_sun_lover_behind_a_fence(lint_plants):  # type: ignore[no-untyped-def]
    """North of a 1.8 m fence at 53° N a plant 0.5 m out has a fifth of the season's sun; in the open it has all of it."""
    fence = "structures:\n- {key: F, kind: fence, from: [0, 10], to: [40, 10], height: 1.8}\n"
    line = "- {{key: L, name: Lavandula angustifolia 'Hidcote', at: [20, {y}]}}\n"
    shaded = lint_plants(line.format(y=10.5), head=site(latitude=53), more=fence)
    assert found(shaded, "LIGHT-01") and found(shaded, "LIGHT-01")[0][1] == ("L",)
    evidence = next(f for f in shaded.findings if f.code == "LIGHT-01").evidence
    assert evidence["share"] < 0.3
    assert not found(lint_plants(line.format(y=20), head=site(latitude=53), more=fence), "LIGHT-01")
    assert not found(lint_plants(line.format(y=9.0), head=site(latitude=53), more=fence), "LIGHT-01"), "the sunny side"


@pytest.mark.parametrize(("latitude", "faces"), [(53, "N"), (-53, "S")])
def test_a_bulb_that_dies_back_in_late_summer_wants_its_sun(lint_plants, latitude, faces):  # type: ignore[no-untyped-def]
    wall = "structures:\n- {key: F, kind: wall, from: [0, 10], to: [40, 10], height: 2.5}\n"
    line = "- {key: A, name: Allium sphaerocephalon, at: [20, 9.6], traits: {die_back: {value: {from: 08-10, to: 09-15}, reason: a late form}, in_leaf: {value: {from: 03-01, to: 09-15}, reason: a late form}}}\n"
    result = lint_plants(line, head=site(latitude=latitude, faces=faces), more=wall)
    assert found(result, "LIGHT-01")[0][1] == ("A",)


def test_room(lint_plants):  # type: ignore[no-untyped-def]
    pair = "- {{key: A, name: Cornus mas, at: [5, 5]}}\n- {{key: B, name: Osmanthus × burkwoodii, at: [{x}, 5]}}\n"
    assert found(lint_plants(pair.format(x=5.4)), "SPACE-01") == [("error", ("A", "B"))]
    assert found(lint_plants(pair.format(x=6.0)), "SPACE-01") == [("warning", ("A", "B"))]
    assert found(lint_plants(pair.format(x=8.0)), "SPACE-01") == []


@pytest.mark.parametrize(
    "plants",
    [
        "- {key: A, name: Cornus mas, at: [[5, 5], [5.6, 5]]}\n",
        "- {key: A, name: Cornus mas, at: [5, 5]}\n- {key: B, name: Galanthus nivalis, at: [5.2, 5]}\n",
        "- {key: A, name: Cornus mas, at: [5, 5]}\n- {key: B, name: Osmanthus × burkwoodii, at: [5.5, 5], until: 2029-10}\n",
        "- {key: A, name: Cornus mas, at: [5, 5]}\n- {key: B, name: Geranium macrorrhizum, at: [5.5, 5]}\n",
    ],
    ids=["one taxon", "bulb", "temporary", "skirt"],
)
def test_meant_to_touch(lint_plants, plants):  # type: ignore[no-untyped-def]
    assert not found(lint_plants(plants), "SPACE-01")


def test_raised_canopy_gives_air(lint_plants):  # type: ignore[no-untyped-def]
    lines = "- {{key: A, name: Cornus mas, at: [5, 5]{stem}}}\n- {{key: B, name: Lavandula angustifolia 'Hidcote', at: [5.5, 5]}}\n"
    assert found(lint_plants(lines.format(stem="")), "SPACE-02") == [("warning", ("A", "B"))]
    assert not found(lint_plants(lines.format(stem=", clear_stem: 85 cm")), "SPACE-02")


def test_climber_needs_something_to_grasp(lint_plants):  # type: ignore[no-untyped-def]
    fence = "structures:\n- {{key: F, kind: fence, from: [0, 10], to: [20, 10], height: 1.8, wires: {wires}}}\n"
    clematis = "- {key: C, name: Clematis 'Étoile Violette', at: [5, 9.6], on: F}\n"
    assert found(lint_plants(clematis, more=fence.format(wires="no")), "CLIMB-01") == [("error", ("C",))]
    assert not found(lint_plants(clematis, more=fence.format(wires="yes")), "CLIMB-01")
    ivy = "- {key: H, name: Hedera helix, at: [5, 9.6], on: F}\n"
    assert not found(lint_plants(ivy, more=fence.format(wires="no")), "CLIMB-01")


def test_lily_with_a_cat_and_with_a_dog(lint_plants):  # type: ignore[no-untyped-def]
    """Lilies are severely poisonous to cats (published); nothing of the kind is known for dogs."""
    lily = "- {key: L, name: Lilium regale, at: [5, 5]}\n"
    path = "surfaces:\n- {kind: path, from: [0, 5.5], to: [20, 5.5]}\n"
    assert found(lint_plants(lily, more="brief: {pets: [cat]}\n" + path), "SAFE-01") == [("error", ("L",))]
    assert found(lint_plants(lily, more="brief: {pets: [cat]}\n"), "SAFE-01") == [("warning", ("L",))]
    assert not found(lint_plants(lily, more="brief: {pets: [dog]}\n" + path), "SAFE-01")
    assert not found(lint_plants(lily, more=path), "SAFE-01")


def test_winter_skeleton(lint_text):  # type: ignore[no-untyped-def]
    head = "format: 1\nsite: {latitude: 52, faces: S, ph: 7}\nbrief: {winter_matters: yes}\nborder: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\nplants:\n"
    bare = lint_text(head + "- {key: H, name: Hosta 'Halcyon', at: [[1, 1], [3, 1], [5, 1]]}\n")
    assert found(bare, "WINTER-01") == [("error", ())]
    green = lint_text(head + "- {key: T, name: Viburnum tinus, at: [[1, 1.5], [3, 1.5], [5, 1.5]]}\n")
    assert not found(green, "WINTER-01")


def test_empty_month_is_told_by_name(lint_text):  # type: ignore[no-untyped-def]
    head = "format: 1\nsite: {latitude: 52, faces: S, ph: 7}\nbrief: {must_have: [2]}\nborder: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\nplants:\n"
    result = lint_text(head + "- {key: C, name: Camassia leichtlinii, at: [[1, 1], [3, 1], [5, 1]]}\n")
    february = [f for f in result.findings if f.code == "SEASON-01" and f.level == "error"]
    assert [f.apart for f in february] == [("month-02",)]
    assert "February" in february[0].message
    with_winter = lint_text(head + "- {key: T, name: Viburnum tinus, at: [[1, 1.5], [3, 1.5], [5, 1.5]]}\n")
    assert not found(with_winter, "SEASON-01")


def test_an_unknown_plant_counts_in_favour_of_the_plan(lint_plants):  # type: ignore[no-untyped-def]
    result = lint_plants(
        "- {key: G, name: Gernaium macrorrhizum, at: [5, 5]}\n- {key: T, name: Viburnum tinus, at: [9, 9]}\n"
    )
    assert found(result, "STOCK-03") == [("error", ("G",))]
    assert "Nearest: Geranium macrorrhizum" in next(f for f in result.findings if f.code == "STOCK-03").message
    # The bed of 400 m² is bare whatever the unknown plant may be; the months it may fill are not told as empty.
    assert found(result, "COVER-01")
    small = lint_plants(
        "- {key: G, name: Gernaium macrorrhizum, at: [0.5, 0.5]}\n",
        head=HEAD.replace("[20, 0], [20, 20], [0, 20]", "[1, 0], [1, 1], [0, 1]"),
    )
    assert not found(small, "COVER-01") and not found(small, "SEASON-01")


def test_what_the_plan_states_counts(lint_plants):  # type: ignore[no-untyped-def]
    line = "- {{key: B, name: Buxus sempervirens, at: [5, 5]{more}}}\n"
    assert not found(lint_plants(line.format(more=""), head=site(ph=7.4)), "SITE-01")
    hates = ", traits: {lime: {value: hates, reason: a trial on this chalk}}"
    assert found(lint_plants(line.format(more=hates), head=site(ph=7.4)), "SITE-01") == [("error", ("B",))]


def test_schedule_and_drawing(lint_plants):  # type: ignore[no-untyped-def]
    lines = "- {key: B, name: Buxus sempervirens, at: [[5, 5], [8, 8]]}\nschedule:\n- {key: B, quantity: QUANTITY}\n- {key: Z, quantity: 1}\n"
    assert found(lint_plants(lines.replace("QUANTITY", "3")), "STOCK-01") == [("error", ("B",))]
    assert not found(lint_plants(lines.replace("QUANTITY", "2")), "STOCK-01")
    assert found(lint_plants(lines.replace("QUANTITY", "2")), "STOCK-07") == [("error", ("Z",))]


def test_unmasked_bulbs(lint_text):  # type: ignore[no-untyped-def]
    head = "format: 1\nsite: {latitude: 52, faces: S, ph: 7}\nborder: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\nplants:\n"
    bulbs = "- {key: A, name: Allium hollandicum, outline: [[2, 1.4], [4, 1.4], [4, 2], [2, 2]], quantity: 12}\n"
    assert found(lint_text(head + bulbs), "BULB-01") == [("warning", ("A",))]
    hedge = "- {key: S, name: Sarcococca hookeriana var. digyna 'Purple Stem', at: [[1.2, 0.9], [2, 0.9], [2.8, 0.9], [3.6, 0.9], [4.4, 0.9], [5.2, 0.9]]}\n"
    assert not found(lint_text(head + bulbs + hedge), "BULB-01")
    crocus = "- {key: C, name: Crocus tommasinianus, at: [3, 1]}\n"
    assert not found(lint_text(head + crocus), "BULB-01"), "low leaves are not noticed"


# BS 5837:2012, table of root protection areas: stem diameters mm, radius m.
@pytest.mark.parametrize(
    ("stems", "radius"),
    [
        ([75], 0.90),
        ([200], 2.40),
        ([300], 3.60),
        ([750], 9.00),
        ([1250], 15.0),
        ([1500], 15.0),
        ([150, 200, 250], 4.243),
    ],
)
def test_root_protection(lint_plants, stems, radius):  # type: ignore[no-untyped-def]
    def levels(gap: float, words: str) -> list[str]:
        edge = 20 + gap
        more = (
            f"retained:\n- {{key: O, name: Quercus robur, at: [20, 20], stems: [{', '.join(f'{d} mm' for d in stems)}]}}\n"
            f"surfaces:\n- {{{words}, outline: [[{edge:.3f}, 10], [39, 10], [39, 30], [{edge:.3f}, 30]]}}\n"
        )
        result = lint_plants("- {key: T, name: Buxus sempervirens, at: [2, 2]}\n", head=site(), more=more)
        return [level for level, _ in found(result, "TREE-01")]

    assert levels(radius - 0.02, "kind: excavation") == ["error"]
    assert levels(radius - 0.02, "kind: cultivation") == ["warning"]
    assert levels(radius - 0.02, "kind: cultivation, by: machine") == ["error"]
    assert levels(radius + 0.02, "kind: excavation") == []
    assert levels(radius - 0.02, "kind: lawn") == []


def test_self_seeder_by_gravel(lint_plants):  # type: ignore[no-untyped-def]
    gravel = "surfaces:\n- {kind: gravel, outline: [[0, 6], [20, 6], [20, 8], [0, 8]]}\n"
    line = "- {{key: V, name: Verbena bonariensis, at: [5, {y}]{more}}}\n"
    assert found(lint_plants(line.format(y=5, more=""), more=gravel), "VIGOUR-01") == [("warning", ("V",))]
    assert not found(lint_plants(line.format(y=5, more=", deadheaded: yes"), more=gravel), "VIGOUR-01")
    assert not found(lint_plants(line.format(y=5, more=", status: allowed"), more=gravel), "VIGOUR-01")
    assert not found(lint_plants(line.format(y=0.5, more=""), more=gravel), "VIGOUR-01")


def test_spreader_beside_a_plant_that_stays(lint_plants):  # type: ignore[no-untyped-def]
    pair = "- {{key: L, name: Lysimachia clethroides, at: [5, 5]}}\n- {{key: H, name: Helleborus × hybridus, at: [{x}, 5]}}\n"
    assert found(lint_plants(pair.format(x=5.8)), "VIGOUR-02") == [("warning", ("H", "L"))]
    assert not found(lint_plants(pair.format(x=9)), "VIGOUR-02")


def test_avoided_pair(lint_plants):  # type: ignore[no-untyped-def]
    brief = "brief: {{avoid: [[{a}, {b}]]}}\n"
    plants = (
        "- {key: S, name: Salvia nemorosa 'Caradonna', at: [5, 5]}\n- {key: N, name: \"Nepeta racemosa 'Walker's Low'\", at: [6, 5]}\n"
        "- {key: A, name: Aconitum carmichaelii 'Arendsii', at: [5, 6]}\n"
    )
    assert found(lint_plants(plants, more=brief.format(a="S", b="N")), "COLOUR-02") == [("warning", ("N", "S"))]
    assert not found(lint_plants(plants, more=brief.format(a="S", b="A")), "COLOUR-02"), "June and October"


def test_hidden_when_in_flower(lint_text):  # type: ignore[no-untyped-def]
    head = "format: 1\nsite: {latitude: 52, faces: S, ph: 7}\nborder: {outline: [[0, 0], [6, 0], [6, 4], [0, 4]]}\nplants:\n"
    stonecrop = "- {key: A, name: Hylotelephium 'Herbstfreude', at: [3, 2.5]}\n"
    wall = "- {key: T, name: Taxus baccata, at: [[0.5, 1], [1.2, 1], [1.9, 1], [2.6, 1], [3.3, 1], [4, 1], [4.7, 1], [5.4, 1]]}\n"
    assert not found(lint_text(head + stonecrop), "LAYER-01")
    assert found(lint_text(head + wall + stonecrop), "LAYER-01") == [("warning", ("A",))]
    grass = "- {key: G, name: Geranium macrorrhizum, at: [[2, 1], [3, 1], [4, 1]]}\n"
    assert not found(lint_text(head + grass + stonecrop), "LAYER-01")


def test_quantity_by_net_area(lint_plants):  # type: ignore[no-untyped-def]
    """16 m² at 50 cm take 16 / (0.866 x 0.25) = 74 plants, less a building of 4 m² 55."""
    line = "- {key: G, name: Geranium macrorrhizum, outline: [[2, 2], [6, 2], [6, 6], [2, 6]], centres: 0.5, quantity: %d}\n"
    shed = "structures:\n- {kind: building, outline: [[3, 3], [5, 3], [5, 5], [3, 5]], height: 2.2}\n"
    assert not found(lint_plants(line % 74), "STOCK-02")
    assert not found(lint_plants(line % 55, more=shed), "STOCK-02")
    assert found(lint_plants(line % 74, more=shed), "STOCK-02") and found(lint_plants(line % 55), "STOCK-02")


def test_a_climber_with_several_supports(lint_plants):  # type: ignore[no-untyped-def]
    fence = "structures:\n- {key: F1, kind: fence, from: [0, 20], to: [20, 20], height: 1.8}\n- {key: P1, kind: trellis, at: [5, 19], height: 2}\n"
    line = "- {key: C, name: Clematis montana, at: [5, 19], on: %s}\n"
    assert found(lint_plants(line % "F1", more=fence), "CLIMB-01") == [("error", ("C",))]
    assert found(lint_plants(line % "[F1]", more=fence), "CLIMB-01") == [("error", ("C",))]
    assert not found(lint_plants(line % "[F1, P1]", more=fence), "CLIMB-01")


def test_reaction_measured_otherwise(lint_plants):  # type: ignore[no-untyped-def]
    """6.8 in calcium chloride is 7.3 to 7.8 in water; samples count where the site states nothing."""
    line = "- {key: R, name: Rhododendron 'Koichiro Wada', at: [5, 5]}\n"
    head = "format: 1\nsite: {latitude: 51.6, faces: S, %s}\nborder: {outline: [[0, 0], [20, 0], [20, 20], [0, 20]]}\n"
    assert not found(lint_plants(line, head=head % "ph: 5.9"), "SITE-01")
    told = next(
        f for f in lint_plants(line, head=head % "ph: 6.8, ph_measured_in: CaCl2").findings if f.code == "SITE-01"
    )
    assert "pH 7.3 to 7.8" in told.message
    sampled = lint_plants(line, head=head % "samples: [{ph: 7.1}, {ph: 7.4}]")
    assert "pH 7.1 to 7.4" in next(f for f in sampled.findings if f.code == "SITE-01").message
    assert not [f for f in sampled.findings if f.code == "PLAN-04" and "pH" in f.message]


def test_plants_of_one_mix_may_mingle(lint_plants):  # type: ignore[no-untyped-def]
    outline = "outline: [[2, 2], [5, 2], [5, 5], [2, 5]]"
    mixed = f"mixes:\n- {{key: M, name: tapestry, {outline}, quantity: 12, mingled: [{{name: Persicaria amplexicaulis 'Alba'}}, {{name: Hosta 'Halcyon'}}]}}\n"
    result = lint_plants("- {key: B, name: Buxus sempervirens, at: [15, 15]}\n", more=mixed)
    assert len([p for p in result.border.plantings if p.line.mix == "M"]) == 2
    assert not found(result, "SPACE-01")
    near = "- {key: P, name: Persicaria amplexicaulis 'Alba', at: [5, 5]}\n- {key: H, name: Hosta 'Halcyon', at: [5.2, 5]}\n"
    assert found(lint_plants(near), "SPACE-01") == [("warning", ("H", "P"))], "the same two without a mix"


def test_lines_without_a_place_are_judged_by_what_needs_none(lint_text):  # type: ignore[no-untyped-def]
    result = lint_text(
        "format: 1\nsite: {latitude: 52, faces: S, ph: 7, moisture: moist, minimum_temperature: -5}\n"
        "border: {outline: [[0, 0], [6, 0], [6, 3], [0, 3]]}\n"
        "surfaces:\n- {kind: gravel, outline: [[0, -1], [6, -1], [6, 0], [0, 0]]}\n"
        "brief: {pets: [cat], avoid: [[V, A]]}\nplants:\n"
        "- {key: V, name: Verbena bonariensis}\n- {key: A, name: Allium hollandicum}\n- {key: L, name: Lysimachia clethroides}\n"
        "- {key: H, name: Helleborus × hybridus}\n- {key: R, name: Rhododendron 'Koichiro Wada'}\n- {key: T, name: Viburnum tinus, at: [3, 1.5]}\n"
    )
    assert found(result, "SITE-01") == [("error", ("R",))]
    assert not [f for f in result.findings if f.code in ("BULB-01", "COLOUR-02", "LAYER-01", "VIGOUR-01", "VIGOUR-02")]
