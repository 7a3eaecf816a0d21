"""The version of what records say: the same whatever holds them, another with each thing that they say."""

from __future__ import annotations

from pathlib import Path

import pytest

from bedfellow.traits_db.records import Records, read_records
from bedfellow.traits_db.version import version_of

SOURCES = "format: 1\nsources:\n  book: {title: A book, author: Ann, date: 2001}\n  other: {title: Another}\n"
GENUS = "- {name: Testa, rank: genus, traits: {life_form: shrub}}\n"
SPECIES = """\
- name: Testa alba
  rank: species
  synonyms: [Proba alba]
  common_names: {en: [white test]}
  traits: {height: 2, spread: {value: 1, confidence: low}}
  published: {book: {height: {value: 3, date: 2002}, wind: 2}, other: {wind: 1}}
"""
HYBRID = "- {name: Testa × mixta, rank: hybrid, parents: [Testa alba, Testa nigra], trade_designation: SNOW}\n"


def read(folder: Path, taxa: str, sources: str = SOURCES, head: str = "family: Testaceae\n") -> Records:
    folder.mkdir(exist_ok=True)
    (folder / "sources.yaml").write_text(sources, "utf-8")
    (folder / "Testa.yaml").write_text(f"format: 1\n{head}taxa:\n{taxa}", "utf-8")
    records = read_records([folder])
    assert records.faults == []
    return records


def test_the_same_wherever_it_stands(tmp_path: Path) -> None:
    version = version_of(read(tmp_path / "one", GENUS + SPECIES + HYBRID))
    assert len(version) == 64
    elsewhere = "# a comment\n" + HYBRID + SPECIES.replace("height: 2, spread: {value: 1, confidence: low}",
                "spread: {value: 1, confidence: low, note: by eye}, height: 2") + GENUS  # fmt: skip
    assert version_of(read(tmp_path / "other", elsewhere)) == version
    (tmp_path / "one" / "Testa.yaml").rename(tmp_path / "one" / "Renamed.yaml")
    assert version_of(read_records([tmp_path / "one"])) == version


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Testa alba\n", "Testa rubra\n"), ("rank: species", "rank: variety"), ("Proba", "Probata"), ("white test", "test"),
        ("height: 2", "height: 2.5"), ("confidence: low", "confidence: medium"), ("date: 2002", "date: 2003"), ("value: 3", "value: 4"),
        ("nigra", "rubra"), ("SNOW", "ICE"), ("- {name: Testa, rank: genus, traits: {life_form: shrub}}", "- {name: Testa, rank: genus, traits: {life_form: tree}}"),
        # of two works that are equally sure, the first is in use
        ("{book: {height: {value: 3, date: 2002}, wind: 2}, other: {wind: 1}}", "{other: {wind: 1}, book: {height: {value: 3, date: 2002}, wind: 2}}"),
    ],
)  # fmt: skip
def test_another_with_each_thing_said(tmp_path: Path, old: str, new: str) -> None:
    taxa = GENUS + SPECIES + HYBRID
    assert old in taxa
    before = version_of(read(tmp_path, taxa))
    assert version_of(read(tmp_path, taxa.replace(old, new))) != before


@pytest.mark.parametrize(
    "change", [{"sources": SOURCES.replace("A book", "B")}, {"sources": SOURCES.replace("Ann", "Bo")}, {"head": ""}]
)
def test_sources_and_families_are_said_too(tmp_path: Path, change: dict[str, str]) -> None:
    assert version_of(read(tmp_path, GENUS + SPECIES)) != version_of(read(tmp_path, GENUS + SPECIES, **change))
