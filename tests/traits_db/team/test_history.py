"""Who changed what, when, from what to what and why, and the way back; many writers at once."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from bedfellow.traits_db.exchange.rows import Row
from bedfellow.traits_db.team.contents import counts, records_of
from bedfellow.traits_db.team.history import history, revert, revisions
from bedfellow.traits_db.team.importing import import_rows, remove_value
from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.sources import put_source
from bedfellow.traits_db.team.trouble import StoreTrouble


def say(store: TeamStore, value: str, who: str = "ann", why: str = "measured", **cells: str) -> int | None:
    row = Row(0, {"taxon": "Proba alba", "trait": "height", "value": value, **cells})
    outcome = import_rows(store, [row], who, why, kind="change")
    assert outcome.faults == []
    return outcome.revision


def heights(store: TeamStore) -> dict[str, float]:
    with store.reading() as connection:
        said = records_of(connection).taxa["Testa alba"].statements
    return {s.source: s.value.typical for s in said if s.trait == "height"}  # type: ignore[union-attr]


def test_from_what_to_what(loaded: TeamStore) -> None:
    assert (say(loaded, "3"), say(loaded, "4", "bob", "measured again"), say(loaded, "4")) == (2, 3, None)
    second, first, shipped = history(loaded, "white test", "height")
    assert (first.who, first.why, first.was, first.became["value"]) == ("ann", "measured", None, ["m", 2.25, 3.0, 3.75])
    assert (second.who, second.why, second.revision) == ("bob", "measured again", 3)
    assert (second.was, second.became["value"][2]) == (first.became, 4.0)
    assert (shipped.kind, shipped.layer, shipped.source) == ("load", "shipped", "book")
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00", line.at) for line in (first, second))


def test_taken_back(loaded: TeamStore) -> None:
    say(loaded, "3")
    changed = say(loaded, "4")
    assert changed is not None and heights(loaded) == {"memory": 4}
    assert revert(loaded, changed, "ann", "the first was right") == 1
    assert heights(loaded) == {"memory": 3}
    revert(loaded, 2, "ann", "neither was")
    assert heights(loaded) == {"book": 2}, "the shipped value holds again"
    assert [(row.kind, row.reverts) for row in revisions(loaded)][:2] == [("revert", 2), ("revert", 3)]
    revert(loaded, 5, "ann", "it was after all")
    assert heights(loaded) == {"memory": 3}


def test_not_over_a_later_change(loaded: TeamStore) -> None:
    say(loaded, "3")
    say(loaded, "4", "bob")
    before = history(loaded)
    with pytest.raises(StoreTrouble, match="changed again since: Testa alba height"):
        revert(loaded, 2, "ann", "wrong")
    with pytest.raises(StoreTrouble, match="no revision 99"):
        revert(loaded, 99, "ann", "wrong")
    assert history(loaded) == before and heights(loaded) == {"memory": 4}


def test_removed_and_brought_back(loaded: TeamStore) -> None:
    say(loaded, "3")
    remove_value(loaded, "Testa alba", "height", "memory", "bob", "unsure")
    assert heights(loaded) == {"book": 2}
    with pytest.raises(StoreTrouble, match="overruled by your own"):
        remove_value(loaded, "Testa alba", "height", "book", "bob", "unsure")
    with pytest.raises(StoreTrouble, match="nearest: Testa alba"):
        remove_value(loaded, "Testa albo", "height", "book", "bob", "unsure")
    revert(loaded, 3, "ann", "sure")
    assert heights(loaded) == {"memory": 3}


def test_a_whole_load_and_an_import_with_new_plants(loaded: TeamStore) -> None:
    rows = [
        Row(1, {"taxon": "Testa rubra", "rank": "species", "life_form": "shrub", "height": "1"}),
        Row(2, {"taxon": "Testa rubra 'Alta'", "rank": "cultivar", "height": "2"}),
    ]
    outcome = import_rows(loaded, rows, "ann", "new in trade")
    assert outcome.revision == 2 and outcome.new_plants == ["Testa rubra", "Testa rubra 'Alta'"]
    with pytest.raises(StoreTrouble, match="changed again since"):
        revert(loaded, 1, "ann", "the genus is still needed")
    assert revert(loaded, 2, "ann", "not in trade") == 5
    assert revert(loaded, 1, "ann", "start again") == len(history(loaded, revision=1))
    assert {name: counts(loaded)[name] for name in ("plants", "own_values", "shipped_values")} == {"plants": 0, "own_values": 0, "shipped_values": 0}  # fmt: skip
    last = revisions(loaded)[0].revision  # a server does not use the number of a failed one again
    with pytest.raises(StoreTrouble, match="gone, or still needed"):
        revert(loaded, 2 if last == 3 else last - 1, "ann", "but its genus is gone")
    revert(loaded, last, "ann", "after all")
    assert counts(loaded)["shipped_values"] == 7 and heights(loaded) == {"book": 2}


def test_sources(loaded: TeamStore) -> None:
    assert put_source(loaded, "smith-2024", "Shrubs", "Smith", "2024", "ann", "new book")
    assert not put_source(loaded, "smith-2024", "Shrubs", "Smith", "2024", "ann", "again")
    say(loaded, "3", source="smith-2024")
    with pytest.raises(StoreTrouble, match="changed again since: smith-2024"):
        revert(loaded, 2, "ann", "it is named by a value")
    for key, title in (("memory", "x"), ("", "x"), ("x", " "), ("x", "a\x1bb")):
        with pytest.raises(StoreTrouble):
            put_source(loaded, key, title, "", "", "ann", "wrong")


WRITE = """\
import sys
from bedfellow.traits_db.exchange.rows import Row
from bedfellow.traits_db.team.address import address
from bedfellow.traits_db.team.importing import import_rows
from bedfellow.traits_db.team.opening import open_team_store
store = open_team_store(address(sys.argv[1]))
for number in range(1, 21):
    row = Row(0, {"taxon": "Testa alba", "trait": "height", "value": str(number * int(sys.argv[3]))})
    outcome = import_rows(store, [row], sys.argv[2], "counting")
    assert not outcome.faults
"""


def test_two_writers_and_a_reader(loaded: TeamStore, process: Callable) -> None:  # type: ignore[type-arg]
    where = str(loaded.address.path) if loaded.address.path else loaded.address.url.replace("+psycopg", "")
    writers = [process(WRITE, where, who, factor) for who, factor in (("ann", 1), ("bob", 100))]
    seen = set()
    while any(writer.poll() is None for writer in writers):
        seen.add(len(heights(loaded)))  # never more or less than one value
    for writer in writers:
        _, err = writer.communicate()
        assert writer.returncode == 0, err
    assert seen <= {1}
    lines = [line for line in reversed(history(loaded, "Testa alba", "height")) if line.layer == "own"]
    assert len(lines) == 40 and {line.who for line in lines} == {"ann", "bob"}
    assert [line.was for line in lines] == [None, *(line.became for line in lines[:-1])], "no change is lost"


KILLED = """\
import sys
from bedfellow.traits_db.exchange.rows import Row
from bedfellow.traits_db.team import importing
from bedfellow.traits_db.team.address import address
from bedfellow.traits_db.team.opening import open_team_store
store = open_team_store(address(sys.argv[1]))
def stop(*words):
    print("half", flush=True)
    sys.stdin.read()
apply, calls = importing.apply, []
importing.apply = lambda *words: stop() if calls else (calls.append(1), apply(*words))
rows = [Row(1, {"taxon": "Testa", "rank": "genus", "life_form": "shrub"})]
rows += [Row(n, {"taxon": f"Testa a{chr(97 + n // 26 % 26)}{chr(97 + n % 26)}{chr(97 + n // 676)}", "rank": "species", "life_form": "shrub", "height": "1"}) for n in range(2, 1500)]
importing.import_rows(store, rows, "ann", "never done")
"""


def test_an_import_killed_half_way(loaded: TeamStore, process: Callable) -> None:  # type: ignore[type-arg]
    before = counts(loaded)
    where = str(loaded.address.path) if loaded.address.path else loaded.address.url.replace("+psycopg", "")
    writer = process(KILLED, where)
    assert writer.stdout.readline() == "half\n", writer.stderr.read()
    assert counts(loaded) == before, "nothing is seen of it meanwhile"
    writer.kill()
    writer.communicate()
    assert counts(loaded) == before
    assert say(loaded, "3") is not None and counts(loaded)["own_values"] == before["own_values"] + 1
