"""Names are found however people spell them."""

from __future__ import annotations

import json

import pytest

from bedfellow.traits_db.names import name_key, near_names
from bedfellow.traits_db.snapshot import Store

SPELLINGS = [
    ("Osmanthus × burkwoodii", "osmanthus x burkwoodii"),
    ("Osmanthus × burkwoodii", "Osmanthus ×burkwoodii"),
    ("Osmanthus × burkwoodii", "OSMANTHUS  X  BURKWOODII"),
    ("× Fatshedera lizei", "x Fatshedera lizei"),
    ("Narcissus 'Tête-à-tête'", "Narcissus ‘Tete-a-Tete’"),
    ("Rosa rugosa 'Roseraie de l'Haÿ'", 'Rosa rugosa "Roseraie de l’Hay"'),
    ("Euphorbia characias subsp. wulfenii", "Euphorbia characias ssp. wulfenii"),
    ("Euphorbia characias subsp. wulfenii", "Euphorbia characias ssp wulfenii"),
]


@pytest.mark.parametrize(("one", "other"), SPELLINGS)
def test_spellings_of_one_name(one: str, other: str) -> None:
    assert name_key(one) == name_key(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Cornus alba", "Cornus mas"),
        ("Buxus", "Bu us"),
        ("Salix alba 'X'", "Salix alba"),
        ("Ilex crenata", "Ile crenata"),
    ],
)
def test_different_names_stay_apart(one: str, other: str) -> None:
    assert name_key(one) != name_key(other)


def test_the_likest_first_and_nothing_far_off() -> None:
    known = ["Geranium phaeum", "Geranium macrorrhizum", "Gaura lindheimeri"]
    assert near_names("Gernaium macrorrhizum", known) == ["Geranium macrorrhizum"]
    assert near_names("Geranium phaem", known)[0] == "Geranium phaeum"
    assert near_names("Quercus robur", known) == []
    assert len(near_names("Allium a", [f"Allium {letter}" for letter in "bcdefg"])) == 3


@pytest.mark.parametrize(
    ("asked", "name", "matched"),
    [
        ("Taxus baccata", "Taxus baccata", "accepted"),
        ("perovskia atriplicifolia", "Salvia yangii", "synonym"),
        ("cornelian cherry", "Cornus mas", "common"),
        ("Kornelkirsche", "Cornus mas", "common"),
        ("yew", "Taxus baccata", "common"),  # of genus and species, the species
        ("Siberian dogwood", "Cornus alba", "common"),  # of species and cultivar, the species
    ],
)
def test_ways_to_name_a_plant(store: Store, asked: str, name: str, matched: str) -> None:
    found = store.find([asked])[asked]
    assert found is not None
    assert (found.name, found.matched) == (name, matched)


def test_a_common_name_of_two_plants_names_neither(store: Store) -> None:
    assert store.find(["giant rhubarb"]) == {"giant rhubarb": None}


def test_all_names_at_once(store: Store) -> None:
    found = store.find(["Taxus baccata", "yew", "no such plant"])
    assert list(found) == ["Taxus baccata", "yew", "no such plant"]
    assert found["no such plant"] is None
    assert [traits.name for traits in found.values() if traits] == ["Taxus baccata", "Taxus baccata"]


def test_nearest_of_every_kind_of_name(store: Store) -> None:
    assert store.near("Gernaium macrorrhizum")[0] == "Geranium macrorrhizum"
    assert store.near("Perovskia atriplicfolia")[0] == "Perovskia atriplicifolia"
    assert store.near("cornelian chery")[0] == "cornelian cherry"
    assert store.near("zzzz") == []


def test_plants_tell_how_they_are_called(store):  # type: ignore[no-untyped-def]
    """Common names are a plant's own, else its species'; trade designations its own alone."""
    names = ["Cornus mas", "Geranium 'Gerwat'", "Taxus baccata", "Nonsensia"]
    called = store.called(names)
    assert called["Cornus mas"] == ("cornelian cherry", "")
    assert called["Geranium 'Gerwat'"][1] == "ROZANNE"
    assert "Nonsensia" not in called
    own = {name: json.loads(state) for name, state, _ in store.said()}
    above = {
        name: state["parent"]
        for name, state in own.items()
        if state["rank"] == "cultivar" and not state["common_names"]
    }
    told = store.called(above)
    species = {
        name: parent
        for name, parent in above.items()
        if parent and own[parent]["common_names"] and own[parent]["rank"] != "genus"
    }
    assert species
    assert all(told[name][0] == own[parent]["common_names"][0] for name, parent in species.items())
