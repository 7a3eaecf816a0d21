"""How much is known, counted by hand on three plants."""

from __future__ import annotations

from pathlib import Path

from bedfellow.traits_db.coverage import coverage
from bedfellow.traits_db.records import read_records


def test_counts(tmp_path: Path) -> None:
    (tmp_path / "sources.yaml").write_text("format: 1\nsources: {book: {title: A book}}\n", "utf-8")
    (tmp_path / "Testa.yaml").write_text(
        "format: 1\ntaxa:\n"
        "- {name: Testa, rank: genus, traits: {life_form: shrub}}\n"
        "- {name: Testa alba, rank: species, traits: {life_form: shrub, foliage: evergreen, wind: 2}, published: {book: {height: 2}}}\n"
        "- {name: Testa alba 'Nana', rank: cultivar, traits: {height: 0.5}}\n"
        "- {name: Testa herba, rank: species, traits: {life_form: perennial, foliage: deciduous, in_leaf: {from: May, to: October}}}\n",
        "utf-8",
    )
    rows = {row.trait: row.counts() for row in coverage(read_records([tmp_path]))}
    assert rows["life_form"] == (3, 3, 0), "a genus is not counted"
    assert rows["height"] == (3, 2, 1)
    assert rows["wind"] == (3, 2, 0), "inherited values count"
    assert rows["crown_base"] == (2, 0, 0), "trees and shrubs only"
    assert rows["in_leaf"] == (1, 1, 0), "an evergreen is never out of leaf"
    known = {row.trait: row for row in coverage(read_records([tmp_path]))}
    assert known["height"].share() == 2 / 3 and known["climbing_method"].share() == 1.0
    assert known["height"].share(["perennial"]) == 0 and known["height"].share(["shrub"]) == 1
