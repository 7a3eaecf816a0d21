"""Plants by what is asked of them, against their values looked at one by one."""

from __future__ import annotations

import pytest

from bedfellow.schema.colours import difference, lab
from bedfellow.schema.values import Hazard, Measure, Window
from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.search.asked import asked
from bedfellow.traits_db.search.fit import fit
from bedfellow.traits_db.search.search import search
from bedfellow.traits_db.snapshot import Store


@pytest.fixture(scope="module")
def plants(store: Store) -> list[TaxonTraits]:
    return [traits for traits in store.find(store.names()).values() if traits is not None and traits.rank != "genus"]


def names(store: Store, *texts: str, layer: str = "") -> set[str]:
    return {candidate.traits.name for candidate in search(store, [asked(text) for text in texts], (), layer).candidates}


def test_all_that_is_asked_is_met(store: Store, plants: list[TaxonTraits]) -> None:
    expected = {
        p.name
        for p in plants
        if (height := p.measure("height")) and 0.6 <= height.typical <= 1.2
        and (light := p.words("light")) and "part shade" in light
        and (cold := p.tolerance("minimum_temperature")) and cold.lower <= -12
        and (ph := p.tolerance("ph_tolerated")) and ph.lower <= 6.5 and ph.upper >= 7.4
    }  # fmt: skip
    texts = ("height 60 cm to 1.2 m", "light part shade", "minimum temperature -12", "ph tolerated 6.5 to 7.4")
    assert expected and names(store, *texts) == expected


def test_a_colour_near_enough_in_a_month(store: Store, plants: list[TaxonTraits]) -> None:
    wanted = lab("pale yellow")
    expected = {
        p.name
        for p in plants
        if (flower := p.window("flower"))
        and any(flower.start.typical + turn <= 204 and flower.end.typical + turn >= 189 for turn in (-365, 0, 365))
        and any(difference(wanted, lab(colour)) <= 20 for colour in flower.colours)
    }
    assert expected and names(store, "flower July; colours pale yellow") == expected


def test_a_window_across_new_year(store: Store, plants: list[TaxonTraits]) -> None:
    days = {*range(342, 366), *range(1, 55)}  # 8 December to 23 February
    expected = {
        p.name
        for p in plants
        if (flower := p.window("flower"))
        and any(round(day - 1) % 365 + 1 in days for day in range(round(flower.start.typical), round(flower.end.typical) + 1))
    }  # fmt: skip
    assert "Hamamelis × intermedia 'Pallida'" in expected
    found = search(store, [asked("flower December to February")])
    assert names(store, "flower December to February") <= expected
    # A plant that only touches an end shares no length of time with what was asked.
    assert len(expected) - len(found.candidates) <= 3


def test_a_hazard_left_out_is_never_one_that_is_not_known(store: Store, plants: list[TaxonTraits]) -> None:
    expected = {p.name for p in plants if (h := p.hazards()) is not None and not any(e.who == "cats" for e in h)}
    found = names(store, "not hazards cats")
    assert found == expected and "Lilium regale" not in found
    unknown = [p.name for p in plants if p.hazards() is None]
    assert search(store, [asked("not hazards cats")]).unknown == len(unknown)


def test_best_first_with_wishes(store: Store) -> None:
    answer = search(store, [asked("life form fern")], [asked("height 40 cm to 60 cm"), asked("foliage evergreen")])
    scores = [candidate.score for candidate in answer.candidates]
    assert scores == sorted(scores, reverse=True) and scores[0] > scores[-1]
    best = answer.candidates[0].traits
    assert best.word("foliage") == "evergreen" and best.measure("height")


def test_layers(store: Store, plants: list[TaxonTraits]) -> None:
    tall = {
        p.name
        for p in plants
        if p.word("life_form") not in ("climber", "bulb") and (h := p.measure("height")) and h.typical >= 1.8
    }
    assert names(store, layer="top") == tall
    assert "Ajuga reptans" in names(store, layer="ground") and "Taxus baccata" not in names(store, layer="ground")
    assert names(store, layer="bulbs") == {p.name for p in plants if p.word("life_form") == "bulb" and p.measure("height")} | {
        p.name for p in plants if p.word("life_form") == "bulb"
    }  # fmt: skip


def traits(**values: object) -> TaxonTraits:
    from bedfellow.schema.values import pack

    packed = {name: [pack(value), "species", "memory", "memory", "low"] for name, value in values.items()}  # type: ignore[arg-type]
    return TaxonTraits("Testa alba", "species", "accepted", packed)


def test_how_well_it_fits() -> None:
    from bedfellow.schema.values import Day, Tolerance

    plant = traits(
        height=Measure(1, 1.5, 2), drought=1, ph_tolerated=Tolerance(5, 7), minimum_temperature=Tolerance(-10, -5),
        hazards=(Hazard("dogs", "eaten", "seed", 2),), foliage="evergreen",
        flower=Window(Day(345, 350, 355), Day(375, 380, 385), 1, ("white",)),
    )  # fmt: skip
    for text, share in {
        "height 1 m to 2 m": 1, "height at least 1.75 m": 0.25, "height up to 50 cm": 0, "drought fair": 1 - 1 / 3, "drought up to fair": 1,
        "ph tolerated 6 to 8": 0.5, "ph tolerated 6": 1, "ph tolerated 7.5": 0, "minimum temperature -10": 1, "minimum temperature -12.5": 0.5,
        "hazards dogs": 1, "not hazards dogs": 0, "not hazards cats": 1, "foliage evergreen": 1, "foliage deciduous": 0, "sterile yes": 0,
        "flower 01-05 to 01-25": 0.5, "flower 12-16 to 01-15; strength 2": 0.5, "flower 01-01 to 01-10; colours white": 1,
    }.items():  # fmt: skip
        assert fit(plant, asked(text)).share == pytest.approx(share, abs=0.001), text
    assert fit(plant, asked("sterile yes")).fact is None
