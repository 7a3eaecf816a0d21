"""What is known of one taxon, trait by trait, with where each value comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple, TypeVar

from bedfellow.schema.values import Hazard, Listing, Measure, Tolerance, Value, Window, unpack

T = TypeVar("T")
MEMORY = "memory"


class Fact(NamedTuple):
    """A value in use: the level that it comes from, its source, method and confidence."""

    value: Value
    level: str
    source: str
    method: str
    confidence: str


class TaxonTraits:
    """The traits of a taxon; every question answers None (or nothing) where the trait is not known.

    matched: how the name that was asked for leads here: accepted, synonym, common or trade.
    """

    __slots__ = ("_facts", "_packed", "matched", "name", "rank")

    def __init__(
        self,
        name: str,
        rank: str,
        matched: str,
        packed: Mapping[str, list[Any]],
        facts: Mapping[str, Fact] | None = None,
    ) -> None:
        self.name, self.rank, self.matched = name, rank, matched
        self._packed = packed
        self._facts: dict[str, Fact] = dict(facts or {})

    def __iter__(self) -> Iterator[str]:
        """Names of the traits that are known, in order."""
        return iter(sorted({*self._packed, *self._facts}))

    def fact(self, trait: str) -> Fact | None:
        """The value in use of a trait, with its source."""
        if trait not in self._facts:
            if trait not in self._packed:
                return None
            value, *rest = self._packed[trait]
            self._facts[trait] = Fact(unpack(value), *rest)
        return self._facts[trait]

    def sourced(self, trait: str) -> bool:
        """The value in use names a published or measured source."""
        fact = self.fact(trait)
        return fact is not None and fact.method != MEMORY

    def with_overrides(self, facts: Mapping[str, Fact]) -> TaxonTraits:
        """The same taxon with some facts replaced."""
        if not facts:
            return self
        return TaxonTraits(self.name, self.rank, self.matched, self._packed, {**self._facts, **facts})

    def _value(self, trait: str, kind: type[T]) -> T | None:
        fact = self.fact(trait)
        return fact.value if fact is not None and isinstance(fact.value, kind) else None

    def measure(self, trait: str) -> Measure | None:
        """Low, typical and high in the trait's unit."""
        return self._value(trait, Measure)

    def tolerance(self, trait: str) -> Tolerance | None:
        """The limits of what it bears."""
        return self._value(trait, Tolerance)

    def window(self, trait: str) -> Window | None:
        """From when to when, in days of the year."""
        return self._value(trait, Window)

    def step(self, trait: str) -> int | None:
        """The step of the trait's scale."""
        return self._value(trait, int)

    def word(self, trait: str) -> str | None:
        """The word of a choice of one."""
        return self._value(trait, str)

    def words(self, trait: str) -> tuple[str, ...]:
        """The words of a choice of several, or the colours."""
        fact = self.fact(trait)
        return (
            tuple(word for word in fact.value if isinstance(word, str))
            if fact and isinstance(fact.value, tuple)
            else ()
        )

    def yes(self, trait: str) -> bool | None:
        """Yes, no or not known."""
        return self._value(trait, bool)

    def hazards(self) -> tuple[Hazard, ...] | None:
        """Known hazards; an empty tuple is "none known", None is "no entry"."""
        return self._value("hazards", tuple)

    def listings(self) -> tuple[Listing, ...] | None:
        """Lists of invasive plants that name it; an empty tuple is "looked for, none found"."""
        return self._value("listings", tuple)
