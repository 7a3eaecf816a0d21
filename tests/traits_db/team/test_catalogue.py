"""A nursery's catalogue: in, out, changed, replaced, and what is wrong with a line."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest

from bedfellow.traits_db.exchange.rows import Row
from bedfellow.traits_db.team.catalogue import import_offers, offers, unknown_columns
from bedfellow.traits_db.team.contents import counts
from bedfellow.traits_db.team.history import history, revert
from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.staging import Outcome

POT = {"plant": "Proba alba", "form": "container", "size": "2 L", "price": "7.95", "currency": "GBP", "quantity": "40"}
BARE = {"plant": "Testa alba 'Nana'", "form": "bare-root", "price": "3.2", "currency": "EUR", "available_from": "2026-11-01", "available_to": "2027-03-15"}  # fmt: skip


def take(store: TeamStore, *cells: dict[str, object], **options: object) -> Outcome:
    rows = [Row(number, row) for number, row in enumerate(cells, 2)]
    return import_offers(store, rows, "Hill", "ann", "spring list", **options)  # type: ignore[arg-type]


def test_in_and_out(loaded: TeamStore) -> None:
    outcome = take(loaded, POT, BARE, {**POT, "plant": "Ignota nova"})
    assert (outcome.tally.added, outcome.revision, outcome.new_plants) == (3, 2, ["Ignota nova"])
    lines = list(offers(loaded))
    assert [(o.plant, o.taxon) for o in lines] == [("Ignota nova", ""), ("Proba alba", "Testa alba"), ("Testa alba 'Nana'",) * 2]  # fmt: skip
    assert (lines[1].price, lines[1].currency, lines[1].quantity, lines[1].nursery) == (
        Decimal("7.95"),
        "GBP",
        40,
        "Hill",
    )
    assert lines[2].quantity is None and lines[2].price == Decimal("3.2")
    assert [o.plant for o in offers(loaded, plant="white test")] == ["Proba alba"]
    assert [o.plant for o in offers(loaded, on="2027-04-01")] == ["Ignota nova", "Proba alba"]
    assert len(list(offers(loaded, on="2026-11-01"))) == 3 and list(offers(loaded, nursery="Dale")) == []


def test_changed_replaced_and_taken_back(loaded: TeamStore) -> None:
    take(loaded, POT, BARE)
    assert take(loaded, POT, BARE).revision is None
    dry = take(loaded, {**POT, "price": "8.50"}, replace=True, dry_run=True)
    assert (dry.tally.changed, dry.tally.removed, counts(loaded)["offers"]) == (1, 1, 2)
    done = take(loaded, {**POT, "price": "8.50"}, replace=True)
    assert (done.tally.changed, done.tally.removed) == (1, 1) and [o.price for o in offers(loaded)] == [Decimal("8.5")]
    line = next(line for line in history(loaded, revision=done.revision) if line.taxon == "Proba alba")
    assert (line.was["price"], line.became["price"], json.loads(line.item)) == (
        7950,
        8500,
        ["Hill", "container", "2 L"],
    )
    assert done.revision is not None and revert(loaded, done.revision, "ann", "last year's list") == 2
    assert sorted(o.price for o in offers(loaded)) == [Decimal("3.2"), Decimal("7.95")]


def test_another_nursery_is_left_alone(loaded: TeamStore) -> None:
    take(loaded, {**POT, "nursery": "Dale"})
    take(loaded, POT, replace=True)
    assert [o.nursery for o in offers(loaded)] == ["Dale", "Hill"]


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ({"price": "£7"}, "currency's sign"), ({"price": "7,95"}, "with a point"), ({"price": "-1"}, "no price"),
        ({"price": "1.2345"}, "three decimals"), ({"price": "NaN"}, "no price"), ({"price": "1e99"}, "no price"),
        ({"currency": "pounds"}, "ISO 4217"), ({"form": "sack"}, "none of bare-root"), ({"quantity": "many"}, "number of plants"),
        ({"quantity": "99999999999"}, "number of plants"), ({"available_from": "May"}, "no date"),
        ({"available_from": "2026-05-01", "available_to": "2026-04-01"}, "is before"), ({"plant": "=1+1"}, "formula"),
        ({"plant": "x" * 300}, "too long"), ({"pot": "9 cm"}, "'pot' is not known"), ({"plant": "a\x1bb"}, "control"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_line(loaded: TeamStore, cells: dict[str, object], says: str) -> None:
    outcome = take(loaded, BARE, {**POT, **cells})
    assert outcome.refused and outcome.faults[0].line == 3 and says in outcome.faults[0].message
    assert counts(loaded)["offers"] == 0
    assert take(loaded, BARE, {**POT, **cells}, good_rows=True).tally.added == 1


def test_a_line_twice_and_a_nursery_without_a_name(loaded: TeamStore) -> None:
    assert "line 2 has it too" in take(loaded, POT, {**POT, "price": "1"}).faults[0].message
    outcome = import_offers(loaded, [Row(2, POT)], "", "ann", "list")
    assert "no nursery" in outcome.faults[0].message


def test_headings() -> None:
    assert unknown_columns(list(POT)) is None
    assert "no column 'price'" in str(unknown_columns(["plant", "form", "currency"]))
    assert "'pot' is not known" in str(unknown_columns([*POT, "pot"]))
