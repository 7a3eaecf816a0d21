"""The shipped layer: loaded, loaded again, and what the team said over it."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from bedfellow.traits_db.exchange.rows import Row
from bedfellow.traits_db.folders import SHIPPED
from bedfellow.traits_db.records import Records, read_records
from bedfellow.traits_db.snapshot import open_snapshot
from bedfellow.traits_db.store import write_store
from bedfellow.traits_db.team.contents import counts, records_of
from bedfellow.traits_db.team.history import revisions
from bedfellow.traits_db.team.importing import import_rows
from bedfellow.traits_db.team.loading import load
from bedfellow.traits_db.team.opening import TeamStore


def say(store: TeamStore, taxon: str, trait: str, value: str, **more: str) -> None:
    outcome = import_rows(store, [Row(0, {"taxon": taxon, "trait": trait, "value": value, **more})], "ann", "measured")
    assert outcome.faults == []


def test_every_shipped_record_comes_back(team: TeamStore, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    folder = SHIPPED
    if "postgresql" in request.node.name:  # the way is the same: some genera are enough to walk it on a server
        folder = tmp_path / "records"
        folder.mkdir()
        for file in (SHIPPED.parent / "sources.yaml", *SHIPPED.glob("Ac*.yaml")):
            shutil.copy(file, folder)
    shipped = read_records([folder])
    loaded = load(team, shipped, "test", "first")
    assert loaded.taxa == len(shipped.taxa) and loaded.kept == ()
    with team.reading() as connection:
        back = records_of(connection)
    assert back.faults == [] and list(back.taxa) == sorted(shipped.taxa)
    for name, taxon in shipped.taxa.items():
        other = back.taxa[name]
        assert set(other.statements) == set(taxon.statements)
        assert replace(other, statements=(), place="") == replace(
            taxon, statements=(), place="",
            synonyms=tuple(dict.fromkeys(taxon.synonyms)), common_names=tuple(dict.fromkeys(taxon.common_names)),
        )  # fmt: skip


def test_loading_again_changes_nothing(loaded: TeamStore, records: Records) -> None:
    again = load(loaded, records, "test", "again")
    assert (again.values.added, again.values.changed, again.values.removed, again.values.unchanged) == (0, 0, 0, 7)
    assert [row.kind for row in revisions(loaded)] == ["load"], "a revision of nothing is not kept"


def test_loading_follows_the_records_and_spares_the_team(loaded: TeamStore, records: Records) -> None:
    say(loaded, "Testa alba", "height", "3 m")
    alba = records.taxa["Testa alba"]
    del records.taxa["Testa alba 'Nana'"]
    kept = tuple(s for s in alba.statements if s.trait != "moisture")
    records.taxa["Testa alba"] = replace(alba, statements=kept, synonyms=("Proba alba", "Altera alba"))
    result = load(loaded, records, "test", "next version")
    assert (result.values.removed, result.kept) == (3, ())  # moisture, and the two of the cultivar that is gone
    with loaded.reading() as connection:
        now = records_of(connection)
    assert list(now.taxa) == ["Testa", "Testa alba"]
    assert now.taxa["Testa alba"].synonyms == ("Proba alba", "Altera alba")
    heights = {s.source: s.value for s in now.taxa["Testa alba"].statements if s.trait == "height"}
    assert heights == {"memory": (2.25, 3, 3.75)}, "what the team says of a trait stands in place of the shipped"


def test_a_plant_that_the_team_needs_is_kept(loaded: TeamStore, records: Records) -> None:
    say(loaded, "Testa alba 'Nana'", "spread", "0.4")
    del records.taxa["Testa alba 'Nana'"]
    assert load(loaded, records, "test", "next version").kept == ("Testa alba 'Nana'",)
    assert counts(loaded)["own_values"] == 1


def test_no_hazard_is_taken_away(loaded: TeamStore) -> None:
    say(loaded, "Testa alba", "hazards", "cats, eaten, all parts, 3")
    with loaded.reading() as connection:
        (hazards,) = [s.value for s in records_of(connection).taxa["Testa alba"].statements if s.trait == "hazards"]
    assert {(h.who, h.severity) for h in hazards} == {("dogs", 2), ("cats", 3)}  # type: ignore[union-attr]


def test_a_loaded_store_reads_like_the_compiled_one(loaded: TeamStore, records: Records, tmp_path: Path) -> None:
    write_store(records, tmp_path / "compiled.sqlite", "x")
    from bedfellow.traits_db.team.versions import write_snapshot

    path, _ = write_snapshot(loaded, tmp_path / "out", "test")
    compiled, exported = open_snapshot(tmp_path / "compiled.sqlite"), open_snapshot(path)
    for name in ("Testa alba", "proba alba", "White Test", "Testa alba 'Nana'"):
        one, other = compiled.find([name])[name], exported.find([name])[name]
        assert one is not None and other is not None and one.name == other.name
        assert {trait: one.fact(trait) for trait in one} == {trait: other.fact(trait) for trait in other}
    compiled.close()
    exported.close()
