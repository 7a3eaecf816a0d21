"""The plants of a store that meet what is asked, best first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.index import LAYER, Condition
from bedfellow.traits_db.search.asked import Asked
from bedfellow.traits_db.search.fit import Fit, fit
from bedfellow.traits_db.snapshot import Store


class Candidate(NamedTuple):
    """A plant and how it meets each thing that was asked. score: the mean of the shares."""

    traits: TaxonTraits
    fits: tuple[Fit, ...]

    @property
    def score(self) -> float:
        return sum(part.share for part in self.fits) / len(self.fits) if self.fits else 1.0


class Answer(NamedTuple):
    """candidates: best first. unknown: number of plants left out only because a trait of theirs is not known."""

    candidates: tuple[Candidate, ...]
    unknown: int


def search(store: Store, must: Sequence[Asked], rather: Sequence[Asked] = (), layer: str = "") -> Answer:
    """Every plant below the genus that meets all of `must`, and of how many more it is not known.

    Arguments as of `candidates`. Of each plant only what is asked for is read.
    """
    # A plant that is not grown for its bark has no window of it: only of other traits is the want of a value a gap.
    may_be_unknown = {wanted.trait.name for wanted in must if not wanted.trait.interest}
    conditions = _conditions(must, layer)
    names = store.matching(conditions)
    unknown = len(store.matching(conditions, may_be_unknown)) - len(names)
    plants = store.some(names, [wanted.trait.name for wanted in (*must, *rather)])
    return Answer(_weighed(plants, must, rather), unknown)


def candidates(
    store: Store,
    must: Sequence[Asked],
    rather: Sequence[Asked] = (),
    layer: str = "",
    besides: Sequence[Condition] = (),
) -> tuple[Candidate, ...]:
    """Every plant below the genus that meets all of `must`, best first; `rather` only moves plants up and down.

    layer: one of `index.LAYERS`, or any. besides: what must be met as well, and is not weighed.
    """
    found = store.find(store.matching([*besides, *_conditions(must, layer)])).values()
    return _weighed([traits for traits in found if traits is not None], must, rather)


def _weighed(plants: Sequence[TaxonTraits], must: Sequence[Asked], rather: Sequence[Asked]) -> tuple[Candidate, ...]:
    weighed = (Candidate(traits, tuple(fit(traits, wanted) for wanted in (*must, *rather))) for traits in plants)
    met = [c for c in weighed if all(part.share > 0 for part in c.fits[: len(must)])]
    return tuple(sorted(met, key=lambda c: (-c.score, c.traits.name)))


def _conditions(must: Sequence[Asked], layer: str) -> list[Condition]:
    conditions = [condition for wanted in must for condition in wanted.conditions]
    return conditions + ([Condition(LAYER, words=(layer,))] if layer else [])
