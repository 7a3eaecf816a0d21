"""What is ordered: numbers by hand, and nothing that the plan does not say."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bedfellow.linter.report.handover import orders, sums
from bedfellow.linter.report.handover.pack import Pack

Packed = Callable[[str], Pack]
HEAD = "planted: 2026-10\nsite: {latitude: 51.6, faces: S, ph: 6.8}\nborder: {outline: [[0, 0], [10, 0], [10, 4], [0, 4]]}\n"


def row(pack: Pack, key: str) -> orders.Ordered:
    (found,) = [row for row in pack.orders if row.key == key]
    return found


def test_every_line_is_ordered_once_and_by_kind(full: Pack) -> None:
    assert sorted(r.key for r in full.orders) == sorted(line.key for line in full.border.plan.lines)
    kinds = {r.key: r.kind for r in full.orders}
    assert (kinds["CoM"], kinds["NaT"], kinds["CaS"], kinds["CoR"]) == (
        "plants",
        "bulbs",
        "bulbs",
        "temporary plants",
    )


def test_spare_and_price_are_counted(full: Pack) -> None:
    gem, com = row(full, "GeM"), row(full, "CoM")
    assert (gem.quantity, gem.spare, gem.total) == (12, 1, 13)
    assert (gem.price, gem.cost) == (None, None)
    assert (com.price, com.cost, com.substitution) == (42.5, 42.5, "none without asking")
    assert (com.supplied, com.root_form, com.delivery, com.planting) == (
        "10 L",
        "container",
        "November 2026",
        "November 2026",
    )


def test_density_and_distance_follow_from_the_ground(full: Pack) -> None:
    # 12 plants on 0.9 m × 1.0 m: 13.3 a m²; staggered, 0.866 d² each: d = √(0.9 / 12 / 0.866) = 0.294.
    gem = row(full, "GeM")
    assert (gem.density, gem.distance, gem.distance_stated) == (13.3, 0.29, False)
    assert (row(full, "HeH").distance, row(full, "HeH").distance_stated) == (0.35, True)
    # Two rows, four a metre in all: half a metre in each row.
    assert row(full, "CaB").distance == 0.5


def test_names_are_accepted_ones_with_trade_and_common_names(full: Pack) -> None:
    rozanne = row(full, "M1 3")
    assert (rozanne.name, rozanne.trade, rozanne.written) == ("Geranium 'Gerwat'", "ROZANNE", "Geranium 'Rozanne'")
    assert row(full, "CoM").common == "cornelian cherry"


def test_what_sows_itself_is_not_bought(full: Pack) -> None:
    pack = full.border.plan
    assert next(line for line in pack.lines if line.key == "VeB").self_sown is not None
    assert row(full, "VeB").total == 0
    assert "self-sown" in row(full, "VeB").note


def test_a_schedule_that_orders_otherwise_stands_and_says_so(packed: Packed) -> None:
    pack = packed(
        f"{HEAD}plants:\n- {{key: A, name: Cornus mas, at: [[2, 2], [4, 2]]}}\nschedule:\n- {{key: A, quantity: 5, price: 3}}\n"
    )
    assert (row(pack, "A").total, row(pack, "A").cost) == (5, 15.0)
    assert "3 more than the drawing" in row(pack, "A").note


def test_a_plant_that_is_not_known_is_ordered_and_told(packed: Packed) -> None:
    pack = packed(
        f"{HEAD}plants:\n- {{key: A, name: Cornus mas, at: [2, 2]}}\n- {{key: Z, name: Nonsensia, at: [4, 2]}}\n"
    )
    assert row(pack, "Z").total == 1
    assert "not recognised" in row(pack, "Z").note
    assert any("Nonsensia (Z)" in sentence for sentence in pack.lacking)


@pytest.mark.parametrize("word", ["size as bought", "price", "delivery date", "sent instead"])
def test_what_is_lacking_is_said_and_not_filled_in(packed: Packed, word: str) -> None:
    pack = packed(f"{HEAD}plants:\n- {{key: A, name: Cornus mas, at: [2, 2]}}\n")
    assert any(word in sentence for sentence in pack.lacking)
    only = row(pack, "A")
    assert (only.supplied, only.price, only.delivery, only.substitution) == ("", None, "", "")


def test_wires_are_counted_from_height_and_distance(full: Pack) -> None:
    # 6 ft = 1.83 m at 40 cm: four wires of nine metres.
    fence = next(support for support in full.supports if support.what.startswith("fence F1"))
    assert (fence.for_plants, fence.amount) == ("ClA", "4 × 9.00 m = 36.0 m")
    assert "3 mm" in fence.note


def test_a_nursery_is_asked_for_each_plant_once_in_each_size(full: Pack) -> None:
    asked = sums.by_plant(full.orders)
    assert sum(entry.total for entry in asked) == sum(r.total for r in full.orders)
    sesleria = [(entry.total, entry.supplied, entry.keys) for entry in asked if entry.name == "Sesleria autumnalis"]
    assert sesleria == [(5, "", ("SeA",)), (10, "9 cm", ("M1s",))]


def test_keys_stand_in_the_order_of_their_numbers(packed: Packed) -> None:
    lines = "".join(f"- {{key: P{n}, name: Cornus mas, at: [{n % 9 + 0.5}, 2]}}\n" for n in (19, 3, 2, 100))
    pack = packed(f"{HEAD}plants:\n{lines}")
    assert [r.key for r in pack.orders] == ["P2", "P3", "P19", "P100"]
    assert [entry.total for entry in sums.by_plant(pack.orders)] == [4]


def test_what_a_mix_says_and_what_a_climber_is_to_cover_are_told(full: Pack) -> None:
    assert "in the mix M1: planted as one" in row(full, "M1s").note
    assert "ClA is to cover 2.50 m" in next(s.note for s in full.supports if s.what.startswith("fence F1"))
