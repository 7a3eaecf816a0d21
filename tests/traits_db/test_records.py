"""The form of a record file, and a sentence with its place for each thing that can be wrong with one."""

from __future__ import annotations

from pathlib import Path

import pytest

from bedfellow.schema.values import Listing, Measure, Tolerance, Window
from bedfellow.traits_db.compile import BrokenRecords, compile_records
from bedfellow.traits_db.records import Records, read_records

HEAD = "format: 1\ngenus: Testa\nfamily: Testaceae\ntaxa:\n"
SOURCES = "format: 1\nsources:\n  book: {title: A book, author: Somebody, date: 2001}\n  list: {title: A list}\n"
SPECIES = "- {name: Testa alba, rank: species, traits: {life_form: shrub}}\n"


def written(folder: Path, text: str, name: str = "Testa.yaml", sources: str | None = SOURCES) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(text, "utf-8")
    if sources is not None:
        (folder / "sources.yaml").write_text(sources, "utf-8")
    return folder


def read(folder: Path, text: str) -> Records:
    return read_records([written(folder, text)])


def test_the_shipped_records_have_no_fault(shipped: Records) -> None:
    assert shipped.faults == []
    assert len(shipped.taxa) > 200


def test_forms_of_a_statement(tmp_path: Path) -> None:
    text = """\
format: 1
genus: Testa
family: Testaceae
climate: {region: europe, latitude: 50}
taxa:
- name: Testa alba
  rank: species
  synonyms: [Probata alba]
  common_names: {en: [white test, test tree], de: [Test]}
  trade_designation: SNOW
  note: anything
  climate: {latitude: 48}
  traits:
    life_form: shrub
    height: {value: 2, confidence: low, date: 2020, note: by eye}
    flower: {value: {from: May, to: June}, climate: {region: north america}}
    fruit: {from: August, to: September}
  published:
    book: {height: {low: 1, high: 3}, minimum_temperature: "7a", drought: {value: 2, method: measured}}
    list: {listings: [{jurisdiction: EU, list: list, date: 2022-08, covers: taxon}]}
"""
    records = read(tmp_path, text)
    assert records.faults == []
    taxon = records.taxa["Testa alba"]
    assert (taxon.family, taxon.synonyms, taxon.common_names) == (
        "Testaceae",
        ("Probata alba",),
        ("white test", "test tree", "Test"),
    )
    said = {(s.trait, s.source): s for s in taxon.statements}
    memory = said["height", "memory"]
    assert (memory.value, memory.method, memory.confidence, memory.date) == (
        Measure(1.5, 2, 2.5),
        "memory",
        "low",
        "2020",
    )
    book = said["height", "book"]
    assert (book.value, book.method, book.confidence) == (Measure(1, 2, 3), "published", "high")
    assert said["life_form", "memory"].confidence == "medium"
    assert said["drought", "book"].method == "measured"
    assert said["minimum_temperature", "book"].value == Tolerance(-17.8, -15.0)
    flower, fruit = said["flower", "memory"].value, said["fruit", "memory"].value
    assert isinstance(flower, Window) and isinstance(fruit, Window)
    assert (flower.region, flower.latitude) == ("north america", 48)
    assert (fruit.region, fruit.latitude) == ("europe", 48)
    assert said["listings", "list"].value == (Listing("EU", "list", "2022-08", "taxon"),)


def plant(inner: str) -> str:
    """A species whose first entry after its rank, on line 7, is the one to judge."""
    return f"{HEAD}- name: Testa alba\n  rank: species\n  {inner}\n"


FAULTS = {
    "head": ("format: 1\ntaxa: []\nfamilie: x\n", "3:1: 'familie' is not known at the head"),
    "no taxa": ("format: 1\ngenus: Testa\n", "1:1: a record file has format, genus, family and taxa"),
    "newer": ("format: 2\ntaxa: []\n", "1:9: a record file begins with 'format: 1', not 2"),
    "not YAML": ("format: 1\ntaxa: [\n", "3:1: not YAML"),
    "no rank": (HEAD + "- {name: Testa alba}\n", "5:3: a taxon has a name and a rank"),
    "not a taxon": (HEAD + "- Testa alba\n", "5:3: a taxon has a name and a rank"),
    "taxon key": (plant("synonym: [x]"), "7:3: 'synonym' is not known in a taxon"),
    "synonyms": (plant("synonyms: Probata"), "7:13: synonyms is a list of names"),
    "common names": (plant("common_names: [test]"), "7:17: common_names is lists by language"),
    "parent": (plant("parent: [Testa]"), "7:11: parent is a name"),
    "climate": (plant("climate: {latitude: north}"), "7:12: climate is {region, latitude}"),
    "traits": (plant("traits: [shrub]"), "7:11: traits are values by trait"),
    "published": (plant("published: book"), "7:14: published is traits by source"),
    "trait": (plant("traits: {life_form: shrub, heigth: 2}"), "7:30: 'heigth' is not in the table of traits"),
    "value": (plant("traits: {life_form: bush}"), "7:23: life_form: 'bush' is not among tree, shrub"),
    "value deep inside": (plant("traits: {life_form: shrub, height: {low: a, high: 2}}"), "7:38: height is a number in m or {low, typical, high}, not"),
    "empty value": (plant("traits: {life_form: shrub, height: }"), "height is a number in m"),
    "statement key": (plant("traits: {life_form: {value: shrub, by: me}}"), "7:38: 'by' is not known; a statement has"),
    "sure from memory": (plant("traits: {life_form: {value: shrub, confidence: high}}"), "7:23: confidence is high, medium or low"),
    "measured, by whom": (plant("traits: {life_form: {value: shrub, method: measured}}"), "7:23: the method is memory under traits"),
    "source": (plant("published: {leaflet: {life_form: shrub}}"), "7:15: the source 'leaflet' is not in sources.yaml"),
    "life form": (plant("traits: {lifespan: 9}"), "5:9: Testa alba: neither it nor what stands above it has a life form"),
    "not for a shrub": (plant("traits: {life_form: shrub, planting_depth: 0.1}"), "5:9: Testa alba: planting_depth does not apply to a plant that is a shrub"),
    "list": (plant("traits: {life_form: shrub, listings: [{jurisdiction: EU, list: other, date: 2022, covers: taxon}]}"), "5:9: Testa alba: the list 'other' is not in sources.yaml"),
    "twice": (HEAD + SPECIES + SPECIES, "6:10: Testa alba has a record already, at "),
    "twice, spelt otherwise": (HEAD + SPECIES + SPECIES.replace("alba", "Alba"), "6:10: Testa Alba has a record already, at "),
    "no parent": (HEAD + "- {name: Testa 'Snow', rank: cultivar, traits: {life_form: shrub}}\n", "5:10: Testa 'Snow': a cultivar needs a record of its parent"),
    "unknown parent": (plant("parent: Testa\n  traits: {life_form: shrub}"), "5:9: Testa alba: its parent Testa has no record"),
    "above itself": (plant("parent: Testa alba"), "5:9: Testa alba: it stands above itself"),
    "own parent": (plant("parents: [Testa alba, Testa nigra]\n  traits: {life_form: shrub}"), "5:9: Testa alba: it stands above itself"),
    "own synonym": (plant("synonyms: [Testa alba]\n  traits: {life_form: shrub}"), "5:9: Testa alba: it is no synonym of itself"),
    "synonym of two": (HEAD + SPECIES.replace("traits", "synonyms: [Testa x], traits") + SPECIES.replace("alba, ", "nigra, synonyms: [Testa x], "), "6:10: Testa nigra: the synonym Testa x is also a name of Testa alba"),
    "synonyms of each other": (HEAD + SPECIES.replace("alba, ", "alba, synonyms: [Testa nigra], ") + SPECIES.replace("alba, ", "nigra, synonyms: [Testa alba], "), "5:10: Testa alba: the synonym Testa nigra is also a name of Testa nigra"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "fault"), FAULTS.values(), ids=FAULTS)
def test_each_fault_has_its_place_and_sentence(tmp_path: Path, text: str, fault: str) -> None:
    faults = read(tmp_path, text).faults
    assert any(line.startswith(str(tmp_path / "Testa.yaml")) and fault in line for line in faults), faults
    with pytest.raises(BrokenRecords, match="Testa"):
        compile_records([tmp_path], tmp_path / "store.sqlite")
    assert not (tmp_path / "store.sqlite").exists()


@pytest.mark.parametrize(
    ("sources", "fault"),
    [
        ("format: 1\nsources:\n  book: {author: Somebody}\n", "sources.yaml:3:3: the source 'book' needs a title"),
        ("format: 1\nsources:\n  memory: {title: Mine}\n", "sources.yaml:3:3: 'memory' is no work"),
        ("format: 1\nsources: [book]\n", "a file of sources has format and sources"),
    ],
)
def test_faults_of_the_sources(tmp_path: Path, sources: str, fault: str) -> None:
    folder = written(tmp_path, HEAD + SPECIES, sources=sources)
    assert any(fault in line for line in read_records([folder]).faults)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    assert read_records([tmp_path / "none"]).faults == [f"{tmp_path / 'none'}: there is no such folder of records"]


def test_one_bad_file_does_not_hide_the_rest(tmp_path: Path) -> None:
    written(tmp_path, "taxa: [", "Aaa.yaml")
    records = read(tmp_path, HEAD + SPECIES + "- nonsense\n")
    assert "Testa alba" in records.taxa
    assert len(records.faults) == 2


def test_later_folders_win_value_by_value(tmp_path: Path) -> None:
    first = written(
        tmp_path / "first",
        plant(
            "synonyms: [Probata alba]\n  traits: {life_form: shrub, height: 2, spread: 1}\n  published: {book: {height: 3}}"
        ),
    )
    second = written(
        tmp_path / "second",
        HEAD + "- {name: testa alba, rank: species, synonyms: [Probata nivea], traits: {height: 5}}\n",
        sources=None,
    )
    told: list[int] = []
    records = read_records([first, second], tell=told.append)
    assert told == [1, 2], "one file in each folder"
    assert records.faults == []
    (taxon,) = records.taxa.values()
    assert (taxon.name, taxon.synonyms) == ("Testa alba", ("Probata alba", "Probata nivea"))
    heights = [s for s in taxon.statements if s.trait == "height"]
    assert [(s.value.typical, s.source) for s in heights if isinstance(s.value, Measure)] == [(5, "memory")]
    assert {s.trait for s in taxon.statements} == {"life_form", "height", "spread"}


def test_a_later_folder_acquits_no_plant(tmp_path: Path) -> None:
    eaten, touched = "{who: people, how: eaten, severity: 3}", "{who: people, how: skin, severity: 1}"
    first = written(
        tmp_path / "first",
        plant(f"traits: {{life_form: shrub, hazards: [{eaten}]}}\n  published: {{book: {{hazards: [{eaten}]}}}}"),
    )
    second = written(tmp_path / "second", plant(f"traits: {{hazards: [{touched}]}}"), sources=None)
    hazards = [s for s in read_records([first, second]).taxa["Testa alba"].statements if s.trait == "hazards"]
    assert {(s.source, entry[1]) for s in hazards for entry in s.value} == {  # type: ignore[union-attr, index]
        ("memory", "skin"), ("memory", "eaten"), ("book", "eaten"),
    }  # fmt: skip
