"""What there is to look at in a month: a third of it at least, of all plants of the bed, until the shears come."""

from __future__ import annotations

import pytest

from bedfellow.rules.border.interest import PART_OF_MONTH, green, of_interest, shown

LINE = "- {{key: A, name: Cornus mas, at: [5, 3], traits: {{flower: {{value: {{from: {start}, to: {end}}}, reason: as seen here}}}}}}\n"


@pytest.mark.parametrize(
    ("start", "end", "months"),
    [
        ("06-01", "06-10", []),  # nine of thirty days
        ("06-01", "06-12", [6]),  # not in the middle of the month, and for more than a third of it
        ("06-12", "06-18", []),  # in the middle of it, and for a fifth
        ("12-20", "01-12", [12, 1]),  # over New Year
    ],
)
def test_a_month_counts_from_a_third_of_it_on(grow, start: str, end: str, months: list[int]) -> None:  # type: ignore[no-untyped-def]
    border = grow(LINE.format(start=start, end=end))
    found = [month for month in range(1, 13) if "flower" in shown(border, border.by_key["A"], month)]
    assert sorted(found) == sorted(months)


def test_shears_take_seedheads_and_the_leaves_of_what_rises_yearly(grow) -> None:  # type: ignore[no-untyped-def]
    plants = (
        "- {key: H, name: Hylotelephium 'Herbstfreude', at: [3, 3]}\n- {key: E, name: Ilex aquifolium, at: [6, 3]}\n"
    )
    cut = "tasks:\n- {task: cut all down, plants: [H, E], month: 11}\n"
    before, after = grow(plants), grow(plants, more=cut)
    assert "seedhead" in shown(before, before.by_key["H"], 12)
    assert "seedhead" not in shown(after, after.by_key["H"], 12)
    assert "seedhead" in shown(after, after.by_key["H"], 10), "not cut yet"
    assert green(after, after.by_key["E"], 12), "a clipped holly keeps its leaves"


def test_a_tree_that_was_there_before_has_its_share(grow) -> None:  # type: ignore[no-untyped-def]
    plants = "- {key: H, name: Hylotelephium 'Herbstfreude', at: [3, 3]}\n"
    tree = "retained:\n- {{key: T, name: Cornus mas, at: [{x}, 3], height: 4, crown: 3, action: keep}}\n"
    holding = {}
    for place, x in (("bed", 6), ("beyond", 16)):
        border = grow(plants, more=tree.format(x=x))
        window = border.retained[0].traits.window("flower")
        month = round(window.start.typical % 365 // 30.5) + 1
        holding[place] = "T" in {p.key for p in of_interest(border, PART_OF_MONTH)[month]}
    assert holding == {"bed": True, "beyond": False}
