"""Rows into a store: all, none, or the good ones; new plants; what would change."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from bedfellow.traits_db.exchange.export import export
from bedfellow.traits_db.exchange.meaning import Defaults, unknown_columns
from bedfellow.traits_db.exchange.rows import BrokenFile, Row, WrongRow, read_rows
from bedfellow.traits_db.records import Records
from bedfellow.traits_db.team.contents import counts, records_of, taxa_of, titles_of
from bedfellow.traits_db.team.importing import import_rows
from bedfellow.traits_db.team.loading import load
from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.staging import Outcome

GOOD = Row(2, {"taxon": "Testa alba", "trait": "wind", "value": "good"})
BAD = Row(3, {"taxon": "Testa alba", "trait": "height", "value": "2,5"})


def take(store: TeamStore, *rows: Row | WrongRow, **options: object) -> Outcome:
    return import_rows(store, rows, "ann", "test", **options)  # type: ignore[arg-type]


def test_one_row_at_fault_keeps_all_out(loaded: TeamStore) -> None:
    outcome = take(loaded, GOOD, BAD, WrongRow(4, "3 cells under 2 headings"))
    assert (outcome.rows, outcome.good, outcome.wrong, outcome.refused, outcome.revision) == (3, 1, 2, True, None)
    assert [fault.line for fault in outcome.faults] == [3, 4] and "with a point" in outcome.faults[0].message
    assert counts(loaded)["own_values"] == 0 and counts(loaded)["revisions"] == 1


def test_the_good_rows_by_choice(loaded: TeamStore) -> None:
    outcome = take(loaded, GOOD, BAD, good_rows=True)
    assert (outcome.good, outcome.wrong, outcome.refused, outcome.revision) == (1, 1, False, 2)
    assert counts(loaded)["own_values"] == 1


def test_a_dry_run_tells_and_writes_nothing(loaded: TeamStore) -> None:
    take(loaded, GOOD)
    rows = (Row(2, {**GOOD.cells, "value": "fair"}), Row(3, {"taxon": "Testa alba", "trait": "salt", "value": "none"}),
            Row(4, {"taxon": "Testa nova", "rank": "species", "trait": "life_form", "value": "shrub"}))  # fmt: skip
    before = counts(loaded)
    outcome = take(loaded, *rows, dry_run=True)
    assert (outcome.tally.added, outcome.tally.changed, outcome.new_plants) == (2, 1, ["Testa nova"])
    change = next(d for d in outcome.shown if d.entry.trait == "wind")
    assert change.was is not None and change.entry.state is not None
    assert (json.loads(change.was.value), json.loads(change.entry.state.value)) == (3, 2)
    assert counts(loaded) == before
    again = take(loaded, *rows)
    assert (again.tally.added, again.tally.changed, again.revision) == (2, 1, 3), "as it was told"


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ({"taxon": "Testa albo", "trait": "wind", "value": "good"}, "nearest: Testa alba"),
        ({"taxon": "Testa alba", "trait": "wimd", "value": "good"}, "is 'wind' meant"),
        ({"taxon": "Testa alba", "trait": "wind"}, "no value"),
        ({"trait": "wind", "value": "good"}, "not named"),
        ({"taxon": "Testa alba", "trait": "wind", "value": "good", "source": "nobody"}, "source 'nobody' is not known"),
        ({"taxon": "Testa alba", "trait": "wind", "value": "good", "confidence": "high"}, "never high from memory"),
        ({"taxon": "Testa alba", "trait": "wind", "value": "good", "source": "book", "method": "memory"}, "published or measured"),
        ({"taxon": "Testa alba", "trait": "wind", "value": "good", "date": "yesterday"}, "is no date"),
        ({"taxon": "Testa alba", "trait": "height", "value": "3 kg"}, "is in m"),
        ({"taxon": "Testa alba", "trait": "height", "value": "=1+1"}, "formula"),
        ({"taxon": "=HYPERLINK(\"x\")", "trait": "height", "value": "1"}, "formula"),
        ({"taxon": "Testa alba", "trait": "height", "value": 1e300}, "too large"),
        ({"taxon": "Testa alba", "trait": "height", "value": {"low": "a", "high": "b"}}, "height"),
        ({"taxon": "Testa alba", "trait": "climbing_method", "value": "twining"}, "does not apply to a plant that is a shrub"),
        ({"taxon": "Testa alba", "trait": "wind", "value": "good", "height": "1"}, "does not belong"),
        ({"taxon": "Testa\x1b alba", "trait": "wind", "value": "good"}, "control characters"),
        ({"taxon": "Testa nova", "rank": "herb", "wind": "good"}, "is none of"),
        ({"taxon": "Testa nova", "rank": "species", "wind": "good"}, None),
        ({"taxon": "Nova sola", "rank": "species", "wind": "good"}, "what life form"),
        ({"taxon": "Nova sola 'X'", "rank": "cultivar", "life_form": "shrub"}, "needs its parent"),
        ({"taxon": "Nova sola", "rank": "species", "parent": "Nobody", "life_form": "shrub"}, "its parent: no plant"),
        ({"taxon": "nova Sola", "rank": "species", "life_form": "shrub"}, "not written as"),
        ({"taxon": "Testa alba"}, "says nothing"),
        ({"taxon": "Testa alba", "in_leaf": "May to October", "latitude": "100"}, "latitude"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_row(loaded: TeamStore, cells: dict[str, object], says: str | None) -> None:
    outcome = take(loaded, Row(7, cells))
    if says is None:  # the genus above has the life form
        assert outcome.faults == []
        return
    assert [fault.line for fault in outcome.faults] == [7] and says in outcome.faults[0].message
    assert counts(loaded)["own_values"] == 0 and counts(loaded)["plants"] == 3


def test_said_twice(loaded: TeamStore) -> None:
    again = Row(9, {**GOOD.cells, "value": "fair"})
    outcome = take(loaded, GOOD, again)
    assert outcome.refused and outcome.faults == [(9, "wind is given twice; line 2 has it too")]
    outcome = take(loaded, GOOD, again, good_rows=True)
    assert outcome.tally.added == 1


def test_new_plants_in_any_order(loaded: TeamStore) -> None:
    rows = (
        Row(2, {"taxon": "Nova sola 'Parva'", "rank": "cultivar", "height": "0.5", "climbing_method": "twining"}),
        Row(3, {"taxon": "Nova sola", "rank": "species", "parent": "Nova", "family": "Testaceae", "height": "2"}),
        Row(4, {"taxon": "Nova", "rank": "genus", "life_form": "climber"}),
    )
    outcome = take(loaded, *rows)
    assert outcome.faults == [] and outcome.new_plants == ["Nova", "Nova sola", "Nova sola 'Parva'"]
    with loaded.reading() as connection:
        taxa = records_of(connection).taxa
    assert (taxa["Nova sola 'Parva'"].parent, taxa["Nova sola"].parent, taxa["Nova sola"].family) == ("Nova sola", "Nova", "Testaceae")  # fmt: skip


def test_a_plant_of_which_nothing_is_said_yet(loaded: TeamStore) -> None:
    rows = (Row(2, {"taxon": "Nova", "rank": "genus"}), Row(3, {"taxon": "Nova sola", "rank": "species", "life_form": "shrub", "parent": "Nova"}))  # fmt: skip
    outcome = take(loaded, *rows)
    assert outcome.faults == [] and outcome.new_plants == ["Nova", "Nova sola"] and outcome.tally.added == 1


def test_a_new_plant_left_out_takes_those_below_with_it(loaded: TeamStore) -> None:
    rows = (
        GOOD,
        Row(5, {"taxon": "Nova sola", "rank": "species", "height": "2"}),
        Row(6, {"taxon": "Nova sola 'Parva'", "rank": "cultivar", "height": "0.5"}),
        Row(7, {"taxon": "Testa bona", "rank": "species", "returns_yearly": "yes"}),
    )
    outcome = take(loaded, *rows, good_rows=True)
    assert sorted(fault.line for fault in outcome.faults) == [5, 6, 7]
    assert (outcome.tally.added, outcome.new_plants) == (1, ["Testa bona"])


def test_sql_in_names_is_a_name(loaded: TeamStore) -> None:
    name = "Testa robusta 'Robert'); DROP TABLE taxon; --'"
    outcome = take(loaded, Row(2, {"taxon": name, "trait": "wind", "value": "good"}))
    assert "no plant is called" in outcome.faults[0].message
    before = counts(loaded)
    outcome = take(
        loaded, Row(2, {"taxon": "Testa alba", "trait": "leaf_colour", "value": "x'); DELETE FROM statement; --"})
    )
    assert "is no colour" in outcome.faults[0].message
    assert counts(loaded) == before and before["plants"] == 3


def test_a_file_that_breaks_off_writes_nothing(loaded: TeamStore) -> None:
    def rows() -> Iterator[Row]:
        yield GOOD
        raise BrokenFile("the file ends inside a row", 3)

    with pytest.raises(BrokenFile):
        import_rows(loaded, rows(), "ann", "test", good_rows=True)
    assert counts(loaded)["own_values"] == 0 and counts(loaded)["revisions"] == 1


def test_a_great_many_faults_are_counted(loaded: TeamStore) -> None:
    outcome = take(loaded, *(Row(n, {"taxon": "Testa alba", "trait": "wind", "value": "x"}) for n in range(2, 502)))
    assert outcome.wrong == 500 and len(outcome.faults) == 100


def test_defaults_of_a_row(loaded: TeamStore) -> None:
    take(loaded, GOOD, defaults=Defaults("book", "low", "2024"))
    with loaded.reading() as connection:
        (wind,) = [s for s in records_of(connection).taxa["Testa alba"].statements if s.trait == "wind"]
    assert (wind.source, wind.method, wind.confidence, wind.date) == ("book", "published", "low", "2024")


@pytest.mark.parametrize(("form", "shape"), [("csv", "long"), ("json", "long"), ("yaml", "long"), ("csv", "wide"), ("json", "wide"), ("yaml", "wide"), ("darwin-core", "long")])  # fmt: skip
def test_what_is_exported_comes_in_again(
    team: TeamStore, shipped: Records, tmp_path: Path, form: str, shape: str
) -> None:
    """Some shipped records out and into the team's own layer; the long forms lose nothing."""
    some = ("Cornus", "Lilium")
    shipped = replace(shipped, taxa={name: taxon for name, taxon in shipped.taxa.items() if name.startswith(some)})
    load(team, shipped, "test", "first")
    file = tmp_path / f"plants.{form}"
    with team.reading() as connection, file.open("w", encoding="utf-8", newline="") as stream:
        export(taxa_of(connection), form, shape, stream, titles_of(connection))
    rows = read_rows(file, "csv" if form == "darwin-core" else form, wrong=unknown_columns)
    outcome = import_rows(team, rows, "ann", "round trip")
    assert outcome.faults == [] and outcome.wrong == 0
    total = sum(len(taxon.statements) for taxon in shipped.taxa.values())
    traits = sum(len({s.trait for s in taxon.statements}) for taxon in shipped.taxa.values())
    assert outcome.tally.added == (total if shape == "long" else traits)
    if shape == "long":
        with team.reading() as connection:
            back = records_of(connection).taxa
        for name, taxon in shipped.taxa.items():
            assert {(s.trait, s.source, s.value, s.method, s.confidence) for s in back[name].statements} == {
                (s.trait, s.source, s.value, s.method, s.confidence) for s in taxon.statements
            }
