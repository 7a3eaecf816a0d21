"""Shipped values against the publications that they name."""

from __future__ import annotations

import pytest

from bedfellow.schema.bands import band
from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.snapshot import Store

# USDA Plant Hardiness Zone Map: coldest and warmest °C of each half zone, rounded as published.
USDA = {
    "5a": (-28.9, -26.1), "6a": (-23.3, -20.6), "6b": (-20.6, -17.8), "7a": (-17.8, -15.0), "7b": (-15.0, -12.2),
    "8a": (-12.2, -9.4), "8b": (-9.4, -6.7), "9a": (-6.7, -3.9), "9b": (-3.9, -1.1), "10a": (-1.1, 1.7),
}  # fmt: skip

# Royal Horticultural Society hardiness ratings, °C.
UK = {"H1b": (10, 15), "H1c": (5, 10), "H2": (1, 5), "H3": (-5, 1), "H4": (-10, -5), "H5": (-15, -10), "H6": (-20, -15)}


@pytest.mark.parametrize(("zone", "limits"), USDA.items())
def test_usda_zones(zone: str, limits: tuple[float, float]) -> None:
    assert band(zone) == pytest.approx(limits, abs=0.05)


@pytest.mark.parametrize(("rating", "limits"), UK.items())
def test_uk_ratings(rating: str, limits: tuple[float, float]) -> None:
    assert band(rating) == limits


def test_the_bands_without_end_and_what_is_no_band() -> None:
    coldest = band("H7")
    assert coldest is not None and coldest[1] == -20
    assert band("7") == pytest.approx((-17.8, -12.2), abs=0.05)
    assert [band(text) for text in ("H8", "0a", "14", "7c", "", "h5")] == [None] * 6


def taxon(store: Store, name: str) -> TaxonTraits:
    found = store.find([name])[name]
    assert found is not None, name
    return found


LOW, MODERATE, HIGH = 1, 2, 3

# NHBC Standards, chapter 4.2 Building near trees, 2006 edition, table 12: water demand and mature height in m.
NHBC = [
    ("Quercus robur", HIGH, 20), ("Crataegus monogyna", HIGH, 10), ("Acer palmatum", MODERATE, 8),
    ("Taxus baccata", MODERATE, 12), ("Ilex aquifolium", LOW, 12),
]  # fmt: skip
# The same table names these as genera only; a species or cultivar takes the demand from its genus.
NHBC_OF_GENUS = [("Betula", LOW), ("Magnolia", LOW), ("Malus", MODERATE), ("Salix", HIGH)]


@pytest.mark.parametrize(("name", "demand", "height"), NHBC)
def test_water_demand_and_mature_height(store: Store, name: str, demand: int, height: float) -> None:
    traits = taxon(store, name)
    fact, measure = traits.fact("water_demand"), traits.measure("height")
    assert fact is not None and measure is not None
    assert (fact.value, fact.source) == (demand, "nhbc-4.2-2006")
    assert measure.typical == height
    assert traits.sourced("height")


@pytest.mark.parametrize(("genus", "demand"), NHBC_OF_GENUS)
def test_water_demand_of_a_genus_reaches_its_plants(store: Store, genus: str, demand: int) -> None:
    plants = [name for name in store.names() if name == genus or name.startswith(f"{genus} ")]
    assert len(plants) > 1
    for name in plants:
        assert taxon(store, name).step("water_demand") == demand, name


# Wilkinson 1992, quoted in Tregenza & Sharples, Daylighting Algorithms: sky seen through the crown in leaf, without leaves.
WILKINSON = [("Quercus robur", 0.17, 0.50), ("Crataegus monogyna", 0.22, 0.44), ("Betula utilis", 0.24, 0.54)]


@pytest.mark.parametrize(("name", "in_leaf", "bare"), WILKINSON)
def test_light_through_crowns(store: Store, name: str, in_leaf: float, bare: float) -> None:
    leafy, leafless = (
        taxon(store, name).measure("transmittance_in_leaf"),
        taxon(store, name).measure("transmittance_bare"),
    )
    assert leafy is not None and leafless is not None
    assert (leafy.typical, leafless.typical) == (in_leaf, bare)


# Regulation (EU) No 1143/2014, list of Union concern, and Wildlife and Countryside Act 1981, Schedule 9 Part II.
EU = ["Ailanthus altissima", "Gunnera tinctoria", "Impatiens glandulifera", "Cenchrus setaceus"]
GB = ["Gunnera tinctoria", "Impatiens glandulifera", "Cotoneaster horizontalis", "Rosa rugosa", "Parthenocissus quinquefolia"]  # fmt: skip


@pytest.mark.parametrize(("jurisdiction", "name"), [("EU", name) for name in EU] + [("GB", name) for name in GB])
def test_lists_of_invasive_plants(store: Store, jurisdiction: str, name: str) -> None:
    listings = taxon(store, name).listings()
    assert listings is not None and jurisdiction in {entry.jurisdiction for entry in listings}


@pytest.mark.parametrize("name", ["Taxus baccata", "Ilex aquifolium 'J.C. van Tol'", "Quercus robur"])
def test_what_is_not_listed_is_an_answer_too(store: Store, name: str) -> None:
    listings = taxon(store, name).listings()
    assert listings == ()


# Common practice: genera that every list of harmful garden plants names as harmful when eaten.
@pytest.mark.parametrize(
    "name", ["Aconitum", "Colchicum", "Convallaria", "Digitalis", "Euphorbia", "Laburnum", "Taxus"]
)
def test_plants_known_to_poison_people(store: Store, name: str) -> None:
    plants = [plant for plant in store.names() if plant.startswith(f"{name} ")]
    assert plants
    for plant in plants:
        assert any(h.who == "people" and h.how == "eaten" for h in taxon(store, plant).hazards() or ()), plant


@pytest.mark.parametrize("name", ["Lilium", "Hemerocallis"])
def test_lilies_and_cats(store: Store, name: str) -> None:
    plants = [plant for plant in store.names() if plant.startswith(f"{name} ")]
    assert plants
    for plant in plants:
        assert any(h.who == "cats" and h.severity == 3 for h in taxon(store, plant).hazards() or ()), plant
