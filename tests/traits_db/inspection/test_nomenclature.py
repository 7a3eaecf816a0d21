"""Names against the International Code of Nomenclature for Cultivated Plants (9th edition, 2016) and the botanical code."""

from __future__ import annotations

import pytest

from bedfellow.traits_db.inspection.nomenclature import nomenclature
from bedfellow.traits_db.records import Taxon


def levels(name: str, rank: str, **more: object) -> list[str]:
    return [level for level, _ in nomenclature(Taxon(name, rank, **more))]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "rank"),
    [
        ("Nepeta racemosa 'Walker's Low'", "cultivar"),
        ("Narcissus 'Tête-à-tête'", "cultivar"),
        ("Rosa rugosa 'Roseraie de l'Haÿ'", "cultivar"),
        ("Crocosmia × crocosmiiflora 'Star of the East'", "cultivar"),
        ("Salvia 'Nachtvlinder'", "cultivar"),
        ("Euonymus fortunei 'Emerald 'n' Gold'", "cultivar"),
        ("Acer palmatum (Dissectum Group) 'Inaba-shidare'", "cultivar"),
        ("Hydrangea paniculata 'PIIHP-I'", "cultivar"),
        ("Geranium 'Gerwat'", "cultivar"),
        ("Rosa 'Kordes' Magenta'", "cultivar"),
        ("Acer palmatum Dissectum Group", "group"),
        ("Cornus", "genus"),
        ("× Cuprocyparis leylandii", "hybrid"),
        ("Osmanthus × burkwoodii", "hybrid"),
        ("Capsella bursa-pastoris", "species"),
        ("Lamium galeobdolon subsp. argentatum", "subspecies"),
        ("Narcissus poeticus var. recurvus", "variety"),
        ("Fagus sylvatica f. purpurea", "variety"),
    ],
)
def test_names_in_good_form(name: str, rank: str) -> None:
    assert levels(name, rank) == []


@pytest.mark.parametrize(
    ("name", "rank"),
    [
        ('Cornus alba "Sibirica"', "cultivar"),
        ("Cornus alba ‘Sibirica’", "cultivar"),
        ("Cornus alba cv. Sibirica", "cultivar"),
        ("Cornus alba 'sibirica'", "cultivar"),
        ("Cornus alba 'Sibirica", "cultivar"),
        ("Cornus alba Sibirica", "species"),
        ("cornus alba", "species"),
        ("Cornus Alba", "species"),
        ("Cornus  alba", "species"),
        ("Cornus sp.", "species"),
        ("Osmanthus x burkwoodii", "hybrid"),
        ("Osmanthus ×burkwoodii", "hybrid"),
        ("Lamium galeobdolon ssp. argentatum", "subspecies"),
        ("Acer palmatum Dissectum", "group"),
        ("Rosa 'Korbin' 'Iceberg'", "cultivar"),
    ],
)
def test_names_in_bad_form(name: str, rank: str) -> None:
    assert levels(name, rank) == ["fault"]


def test_thirty_characters_without_spaces_and_quotes() -> None:
    thirty = "Abcdefghij Klmnopqrst Uvwxyzabcd"
    assert levels(f"Rosa '{thirty}'", "cultivar") == []
    assert levels(f"Rosa '{thirty}e'", "cultivar") == ["look"], "older epithets may be longer"


def test_small_words_and_other_names() -> None:
    assert levels("Rosa 'Queen of Denmark'", "cultivar") == []
    assert levels("Rosa 'Queen mother'", "cultivar") == ["look"]
    assert levels("Cornus alba", "species", synonyms=("Swida alba", "Cornus x alba")) == ["look"]
    assert levels("Cornus alba", "species", synonyms=("Swida alba", "Swida alba")) == ["look"]
    assert levels("Rosa 'Korbin'", "cultivar", trade_designation="ICEBERG") == []
    assert levels("Rosa 'Korbin'", "cultivar", trade_designation="'Iceberg'") == ["fault"]
