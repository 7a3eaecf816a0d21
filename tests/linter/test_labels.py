"""Labels on a drawing: none over another, each where it is wanted if it can be."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bedfellow.linter.report.labels import Label, placed

FRAME = (0.0, 0.0, 600.0, 400.0)


def test_labels_stay_where_they_are_wanted() -> None:
    labels = [Label(100, 100, 40, 16), Label(150, 100, 40, 16)]
    assert placed(labels, FRAME) == [(100, 100), (150, 100)]


@given(st.lists(st.tuples(st.floats(30, 570), st.floats(20, 380)), max_size=40))
def test_no_label_lies_over_another(wanted: list[tuple[float, float]]) -> None:
    labels = [Label(x, y, 50, 16) for x, y in wanted]
    spots = placed(labels, FRAME)
    for index, (x, y) in enumerate(spots):
        assert 25 <= x <= 575 and 8 <= y <= 392
        assert all(abs(x - x2) >= 50 - 1e-9 or abs(y - y2) >= 16 - 1e-9 for x2, y2 in spots[:index])


def test_the_first_keeps_its_place_and_the_next_goes_beside_it() -> None:
    first, second = placed([Label(100, 100, 40, 16), Label(102, 101, 40, 16)], FRAME)
    assert first == (100, 100)
    assert abs(second[0] - 102) + abs(second[1] - 101) < 40
