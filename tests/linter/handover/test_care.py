"""Watering, cards, gaps and what the plan stands on: by hand, and against the border."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

import pytest

from bedfellow.linter.report.handover import cautions, interest, standing, times
from bedfellow.linter.report.handover.cards import Card
from bedfellow.linter.report.handover.care import AT_HEIGHT
from bedfellow.linter.report.handover.pack import Pack
from bedfellow.schema.values import FIRST_DAYS

Packed = Callable[[str], Pack]
HEAD = "planted: 2026-10\nsite: {latitude: 51.6, faces: S, ph: 6.8}\nborder: {outline: [[0, 0], [10, 0], [10, 4], [0, 4]]}\n"


def card(pack: Pack, key: str) -> Card:
    (found,) = [card for card in pack.cards if key in card.keys]
    return found


def test_litres_follow_the_size_as_bought(packed: Packed) -> None:
    pack = packed(
        f"{HEAD}plants:\n- {{key: P, name: Cornus mas, at: [1, 1], supplied: 10 L}}\n"
        "- {key: T, name: Quercus robur, at: [5, 2], supplied: 12-14 cm girth}\n"
        "- {key: H, name: Geranium macrorrhizum, at: [[8, 1], [9, 1]], supplied: 9 cm}\n"
    )
    litres = {row.key: row.litres for row in pack.watered}
    assert litres == {"P": 10.0, "T": 36.0, "H": 1.0}  # 3 L a cm round the stem, at its lower end


def test_what_bears_drought_is_watered_less_and_resting_bulbs_not_at_all(full: Pack) -> None:
    rows = {row.key: row for row in full.watered}
    drought = {p.key: p.traits.step("drought") for p in full.border.plantings}
    known = sorted(
        (step, rows[key].first) for key, step in drought.items() if step is not None and key in rows and rows[key].first
    )
    assert [days for _, days in known] == sorted(days for _, days in known if days)
    assert (rows["NaT"].first, rows["NaT"].second) == (None, None)
    assert "VeB" not in rows  # sows itself


def test_a_bed_that_is_irrigated_says_so(packed: Packed) -> None:
    pack = packed(
        f"{HEAD.replace('[0, 4]]', '[0, 4]], irrigated: yes')}plants:\n- {{key: P, name: Cornus mas, at: [1, 1]}}\n"
    )
    assert "the plan says that its ground is irrigated" in pack.watered[0].note


def test_cards_tell_what_the_plan_states_before_anything_else(full: Pack) -> None:
    assert card(full, "OsB").ways == (("May, from season 6", "prune to 1.80 m high and 1.60 m wide", "the plan"),)
    assert card(full, "OsB").size == "kept 1.80 m high and 1.60 m wide"
    assert card(full, "CoA").ways == (("March", "cut the dogwood down", "the plan"),)
    assert card(full, "ClE").ways == (("February, from season 2", "cut back all stems to 30 cm", "the plan"),)


def test_every_plant_has_a_card(full: Pack) -> None:
    keys = [key for card in full.cards for key in card.keys]
    assert sorted(keys) == sorted(p.key for p in full.border.plantings if p.key != "VeB")


def test_harmful_sap_and_work_above_reach_are_on_the_card(packed: Packed) -> None:
    pack = packed(
        f"{HEAD}plants:\n- {{key: E, name: Euphorbia characias, at: [1, 1]}}\n- {{key: T, name: Quercus robur, at: [5, 2]}}\n"
        "- {key: C, name: \"Clematis 'Étoile Violette'\", at: [8, 2]}\n- {key: V, name: Cornus mas, at: [3, 2]}\n"
    )
    assert any("gloves" in words for words in card(pack, "E").care)
    assert any("arborist" in words for words in card(pack, "T").care)
    assert AT_HEIGHT in card(pack, "V").care
    assert AT_HEIGHT not in card(pack, "C").care  # cut near the ground, however high it climbs


def test_hazards_are_those_of_the_store_and_the_worst_first(full: Pack) -> None:
    named = {row.name for row in full.harmful}
    assert named == {p.traits.name for p in full.border.standing if p.traits.hazards()}
    levels = {"severe": 3, "marked": 2, "minor": 1}
    for name in named:
        told = [levels[row.severity] for row in full.harmful if row.name == name]
        assert told == sorted(told, reverse=True)


def test_what_is_said_of_poison_is_said_once(full: Pack) -> None:
    for result in (full.result, dataclasses.replace(full.result, findings=(), accepted=())):
        told = cautions.said(result)
        assert len(told) == len(set(told)) and sum("No list of poisonous plants" in words for words in told) == 1


def test_services_trees_and_buildings_say_who_is_to_be_asked(full: Pack) -> None:
    told = dict(cautions.on_site(full.border))
    assert told["drain at (-10.00, 4.00) to (0.00, 4.00), 60 cm deep"] == "its owner, before digging"
    assert any("Quercus robur" in what and "arborist" in who for what, who in told.items())
    assert any("building H1, on shrinkable soil" in what and "structural engineer" in who for what, who in told.items())


@pytest.mark.parametrize("season", [1, 5, 10])
def test_bare_ground_is_that_of_the_border(full: Pack, season: int) -> None:
    (row,) = [row for row in full.bare if row.season == season]
    assert row.summer == round(1 - full.border.cover_by_layer(season, FIRST_DAYS[6] + 14)["any"], 2)
    assert row.winter == round(1 - full.border.cover_by_layer(season, FIRST_DAYS[1] + 14)["any"], 2)


def test_places_that_plants_leave_are_told(full: Pack) -> None:
    told = "\n".join(full.leaving)
    assert "Narcissus 'Tête-à-tête' (NaT): its leaves are gone by the end of May" in told
    assert "Cosmos bipinnatus (CoR): goes October 2028" in told


def test_interest_by_month_is_what_flowers_then(full: Pack) -> None:
    by_month = interest.by_month(full.shown)
    assert "flower" in {row.key: words for row, words in by_month[3]}["NaT"]
    assert "NaT" not in [row.key for row, _ in by_month[8]]


def test_traits_that_the_plan_sets_itself_are_told_with_the_reason(full: Pack) -> None:
    told = standing.assumptions(full.result)
    assert any("its height is as the plan states it: measured in the client's old garden" in words for words in told)


def test_months_are_told_in_stretches() -> None:
    assert times.spans((9, 10, 11)) == "September to November"
    assert times.spans((11, 12, 1, 2)) == "November to February"
    assert times.spans((1, 2, 11, 12)) == "November to February"
    assert times.spans((2, 6, 7)) == "February, June to July"
    assert times.spans(tuple(range(1, 13))) == "all year"
    assert times.spans(()) == ""


def test_what_leaves_in_the_same_way_is_told_once(packed: Packed) -> None:
    lines = "".join(f"- {{key: L{n}, name: Lavandula angustifolia 'Hidcote', at: [{n}, 2]}}\n" for n in (1, 2, 3))
    (told,) = packed(f"{HEAD}plants:\n{lines}").leaving
    assert told.startswith("Lavandula angustifolia 'Hidcote' (L1, L2 and L3): lives about")


def watering(pack: Pack) -> list[tuple[tuple[int, int], str]]:
    return [(job.first, job.what) for job in pack.jobs if job.what.startswith("water in") and job.first]


def test_what_is_planted_in_leaf_is_watered_from_that_month(packed: Packed) -> None:
    pack = packed(f"{HEAD.replace('2026-10', '2026-06')}plants:\n- {{key: P, name: Cornus mas, at: [1, 1]}}\n")
    assert [month for month, _ in watering(pack)] == [(2026, n) for n in (6, 7, 8, 9)] + [
        (2027, n) for n in range(4, 10)
    ]


def test_a_planting_late_in_summer_has_its_first_summer_in_the_next_year(packed: Packed) -> None:
    pack = packed(f"{HEAD.replace('2026-10', '2026-09')}plants:\n- {{key: P, name: Cornus mas, at: [1, 1]}}\n")
    told = watering(pack)
    assert [month for month, _ in told] == [(2026, 9)] + [(y, n) for y in (2027, 2028) for n in range(4, 10)]
    assert ["every 7 days" in what for _, what in told] == [True] * 7 + [False] * 6


def test_summers_south_of_the_equator_cross_the_new_year(packed: Packed) -> None:
    head = HEAD.replace("2026-10", "2026-05").replace("51.6", "-37.8")
    pack = packed(f"{head}plants:\n- {{key: P, name: Cornus mas, at: [1, 1]}}\n")
    summers = [[(y, 10), (y, 11), (y, 12), (y + 1, 1), (y + 1, 2), (y + 1, 3)] for y in (2026, 2027)]
    assert [month for month, _ in watering(pack)] == [*summers[0], *summers[1]]


def test_two_summers_follow_a_planting_in_spring(packed: Packed) -> None:
    pack = packed(f"{HEAD.replace('2026-10', '2026-04')}plants:\n- {{key: P, name: Cornus mas, at: [1, 1]}}\n")
    assert [month for month, _ in watering(pack)] == [(y, n) for y in (2026, 2027) for n in range(4, 10)]
    assert "every 7 days" in watering(pack)[0][1] and "every 14 days" in watering(pack)[-1][1]


def test_nothing_is_due_on_plants_that_are_gone(packed: Packed) -> None:
    pack = packed(
        f"{HEAD}plants:\n- {{key: F, name: Salvia nemorosa 'Caradonna', at: [2, 2], until: 2027-04}}\n- {{key: B, name: Cornus mas, at: [6, 2]}}\n"
    )
    for job in pack.jobs:
        assert job.last is None or job.first is None or job.first <= job.last
    assert any(job.what == "take out" and job.first == (2027, 4) for job in pack.jobs)
