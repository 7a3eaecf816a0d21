"""Searching a store by ranges, months and words, against the values themselves."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bedfellow.schema.values import Hazard, Measure, Tolerance, Window, month_of
from bedfellow.traits_db.index import Condition
from bedfellow.traits_db.snapshot import Store

Facts = Callable[[str], dict[str, object]]


@pytest.fixture(scope="module")
def facts(store: Store) -> Callable[[str], dict[str, object]]:
    """Of a trait, the value in use of each plant below the genus that has one."""
    plants = [traits for traits in store.find(store.names()).values() if traits is not None and traits.rank != "genus"]
    return lambda trait: {traits.name: fact.value for traits in plants if (fact := traits.fact(trait)) is not None}


def test_a_range(store: Store, facts: Facts) -> None:
    expected = sorted(name for name, value in facts("height").items() if isinstance(value, Measure) and 1 <= value.typical <= 2)  # fmt: skip
    assert expected and store.matching([Condition("height", 1, 2)]) == expected


@pytest.mark.parametrize("month", range(1, 13))
def test_a_month(store: Store, facts: Facts, month: int) -> None:
    first = [1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366]
    expected = sorted(
        name
        for name, window in facts("flower").items()
        if isinstance(window, Window)
        and any(
            month_of((day - 1) % 365 + 1) == month
            for day in range(round(window.start.typical), round(window.end.typical) + 1)
        )
    )
    assert store.matching([Condition("flower", first[month - 1], first[month] - 1)]) == expected


def test_words_steps_and_limits(store: Store, facts: Facts) -> None:
    part_shade = {name for name, words in facts("light").items() if "part shade" in words}  # type: ignore[operator]
    moist = {name for name, limits in facts("moisture").items() if isinstance(limits, Tolerance) and limits.lower <= 4 <= limits.upper}  # fmt: skip
    dogs = {name for name, hazards in facts("hazards").items() if any(isinstance(h, Hazard) and h.who == "dogs" and h.how == "eaten" and h.severity >= 2 for h in hazards)}  # type: ignore[attr-defined]  # fmt: skip
    assert store.matching([Condition("light", words=("part shade",)), Condition("moisture", 4, 4)]) == sorted(part_shade & moist)  # fmt: skip
    assert store.matching([Condition("hazards", 2, 3, ("dogs eaten",))]) == sorted(dogs)
    harmless = {name for name, hazards in facts("hazards").items() if hazards == ()}
    assert harmless and store.matching([Condition("hazards", words=("none",))]) == sorted(harmless)
    wet = {name for name, value in facts("bears_winter_wet").items() if value is True}
    assert store.matching([Condition("bears_winter_wet", 1, 1)]) == sorted(wet)
    white = {name for name, window in facts("flower").items() if "white" in window.colours}  # type: ignore[attr-defined]
    assert store.matching([Condition("flower", words=("white",))]) == sorted(white)


def test_everything_and_nothing(store: Store, facts: Facts) -> None:
    assert len(store.matching([])) > 100
    assert store.matching([Condition("height", words=("'; DROP TABLE taxon; --",))]) == []
    assert store.matching([Condition("no_such_trait")]) == []
