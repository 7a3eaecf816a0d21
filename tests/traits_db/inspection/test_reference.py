"""Records against published tables; the rows are typed from those tables."""

from __future__ import annotations

from pathlib import Path

import pytest

from bedfellow.traits_db.inspection.inspection import plants_of
from bedfellow.traits_db.inspection.reference import Comparison, UnknownTable, compare, read_table, taxon_name
from bedfellow.traits_db.records import read_records

# USDA NRCS PLANTS Database, plant characteristics: Abies amabilis and Abies balsamea as published; height in feet.
CHARACTERISTICS = """\
symbol,scientific_name,Bloom Period,"Height, Mature (feet)","Temperature, Minimum (°F)","pH, Maximum","pH, Minimum"
ABAM,Abies amabilis (Douglas ex Loudon) Douglas ex Forbes,Late Spring,165.0,-28,6.0,3.3
ABBA,Abies balsamea (L.) Mill.,Mid Summer,60.0,-43,6.0,4.0
"""
# Manual of the Alien Plants of Belgium; list of Regulation (EU) No 1143/2014, August 2022.
ALIEN = "scientificName,family,degreeOfEstablishment\nCotoneaster coriaceus Franch. (incl. C. lacteus W.W. Smith),Rosaceae,established\n"
UNION = "scientificName,family\nHakea sericea,Proteaceae\nKoenigia polystachya,Polygonaceae\n"
SOURCES = "format: 1\nsources: {usda-plants-characteristics: {title: T}, eu-1143-2014: {title: T}}\n"


@pytest.fixture
def compared(tmp_path: Path):  # type: ignore[no-untyped-def]
    def call(table: str, taxa: str) -> Comparison:
        folder = tmp_path / "records"
        folder.mkdir(exist_ok=True)
        (folder / "sources.yaml").write_text(SOURCES, "utf-8")
        (folder / "Testa.yaml").write_text(f"format: 1\ntaxa:\n{taxa}\n", "utf-8")
        (tmp_path / "table.csv").write_text(table, "utf-8")
        records = read_records([folder])
        assert records.faults == []
        return compare(plants_of(records), read_table(tmp_path / "table.csv"))

    return call


def taxon(name: str, traits: str, published: str = "") -> str:
    return f"- {{name: {name}, rank: species, traits: {{life_form: tree, {traits}}}, published: {{{published}}}}}"


def test_characteristics_that_agree(compared) -> None:  # type: ignore[no-untyped-def]
    said = "height: 40, ph_tolerated: [4, 6.5], minimum_temperature: [-34, -29], flower: {from: May, to: June}"
    result = compared(CHARACTERISTICS, taxon("Abies amabilis", said))
    assert (result.taxa, result.remarks) == (1, [])
    assert result.rates == {"height": (1, 1), "ph_tolerated": (1, 1), "flower": (1, 1), "minimum_temperature": (1, 1)}


def test_characteristics_that_do_not(compared) -> None:  # type: ignore[no-untyped-def]
    said = "height: 4, ph_tolerated: [7, 8], minimum_temperature: [-10, -5], flower: {from: January, to: January}"
    result = compared(CHARACTERISTICS, taxon("Abies balsamea", said))
    assert {trait: rate[0] for trait, rate in result.rates.items()} == dict.fromkeys(("height", "ph_tolerated", "flower", "minimum_temperature"), 0)  # fmt: skip
    assert {remark.level for remark in result.remarks} == {"look"}
    assert any("18 m" in remark.message for remark in result.remarks), "60 ft = 18.288 m"
    assert any("-42 °C" in remark.message for remark in result.remarks), "-43 °F = -41.7 °C"


def test_a_figure_that_names_the_table_must_stand_there(compared) -> None:  # type: ignore[no-untyped-def]
    right = "usda-plants-characteristics: {height: 50.29, minimum_temperature: [-33.3, -33.3], ph_preferred: [3.3, 6]}"
    result = compared(CHARACTERISTICS, taxon("Abies amabilis", "wind: 2", right))
    assert result.rates == dict.fromkeys(("height, cited", "minimum_temperature, cited", "ph_preferred, cited"), (1, 1))
    wrong = right.replace("50.29", "165").replace("[3.3, 6]", "[3.3, 7]")
    result = compared(CHARACTERISTICS, taxon("Abies amabilis", "wind: 2", wrong))
    assert [remark.level for remark in result.remarks] == ["fault", "fault"]


def test_heights_of_climbers_and_mats_are_not_compared(compared) -> None:  # type: ignore[no-untyped-def]
    result = compared(CHARACTERISTICS, taxon("Abies balsamea", "habit: mat, height: 0.3"))
    assert result.rates == {}


def test_winters_of_annuals_are_not_compared(compared) -> None:  # type: ignore[no-untyped-def]
    said = "life_form: annual, minimum_temperature: [-5, 1]"
    result = compared(CHARACTERISTICS, f"- {{name: Abies balsamea, rank: species, traits: {{{said}}}}}")
    assert result.rates == {}


def test_union_concern(compared) -> None:  # type: ignore[no-untyped-def]
    entry = "{jurisdiction: EU, list: eu-1143-2014, date: 2022-08, covers: taxon}"
    right = [taxon("Hakea sericea", "wind: 2", f"eu-1143-2014: {{listings: [{entry}]}}"), taxon("Abies alba", "wind: 2", "eu-1143-2014: {listings: []}")]  # fmt: skip
    result = compared(UNION, "\n".join(right))
    assert (result.taxa, result.rates, result.remarks) == (1, {"listings": (2, 2)}, [])
    wrong = [taxon("Hakea sericea", "wind: 2", "eu-1143-2014: {listings: []}"), taxon("Abies alba", "wind: 2", f"eu-1143-2014: {{listings: [{entry}]}}")]  # fmt: skip
    result = compared(UNION, "\n".join(wrong))
    assert result.rates == {"listings": (0, 2)} and {remark.level for remark in result.remarks} == {"fault"}
    forgotten = compared(UNION, taxon("Hakea sericea", "wind: 2"))
    assert [remark.level for remark in forgotten.remarks] == ["look"]


def test_alien_plants(compared) -> None:  # type: ignore[no-untyped-def]
    result = compared(ALIEN, taxon("Cotoneaster coriaceus", "self_seeding: 1, spread_rate: 0"))
    assert result.rates == {"self_seeding and spread_rate": (1, 1)}
    result = compared(ALIEN, taxon("Cotoneaster coriaceus", "self_seeding: 0, spread_rate: 0"))
    assert result.rates == {"self_seeding and spread_rate": (0, 1)} and result.remarks[0].level == "look"


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("Abies amabilis (Douglas ex Loudon) Douglas ex Forbes", "Abies amabilis"),
        ("Achillea filipendulina Lam.", "Achillea filipendulina"),
        ("Cornus sericea L. ssp. occidentalis (Torr. & A. Gray) Fosberg", "Cornus sericea subsp. occidentalis"),
        ("Fraxinus pennsylvanica Marsh. f. ", "Fraxinus pennsylvanica"),
        ("Platanus ×acerifolia (Aiton) Willd.", "Platanus × acerifolia"),
        ("Hakea sericea", "Hakea sericea"),
        ("Pinus", ""),
        ("", ""),
    ],
)
def test_names_without_authors(written: str, name: str) -> None:
    assert taxon_name(written) == name


def test_other_files_are_refused(tmp_path: Path) -> None:
    file = tmp_path / "other.csv"
    file.write_text("a;b\n1;2\n", "utf-8")
    with pytest.raises(UnknownTable, match="none of the columns"):
        read_table(file)
