"""How much is known: of the plants that a trait applies to, how many have it, and how many from a published source."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from bedfellow.schema.traits import trait_table
from bedfellow.traits_db.inheritance import values_in_use
from bedfellow.traits_db.records import Records

# What an evergreen cannot have: a time in leaf, a bare crown, a dying down.
NOT_OF_EVERGREENS = frozenset({"in_leaf", "transmittance_bare", "die_back", "die_back_tidiness", "marcescent"})


@dataclass(frozen=True, slots=True)
class Coverage:
    """One trait: life form to numbers of taxa below the genus that it applies to, that have it, and from a published source.

    A value in use counts, inherited ones too.
    """

    trait: str
    by_form: Mapping[str, tuple[int, int, int]]

    def counts(self, forms: Collection[str] = ()) -> tuple[int, int, int]:
        """(applies, known, published) over some life forms; over all where none is named."""
        rows = [row for form, row in self.by_form.items() if not forms or form in forms]
        applies, known, published = (sum(column) for column in zip(*rows, strict=True)) if rows else (0, 0, 0)
        return applies, known, published

    def share(self, forms: Collection[str] = ()) -> float:
        """Known among those that it applies to, 0 to 1; 1 where it applies to none."""
        applies, known, _ = self.counts(forms)
        return known / applies if applies else 1.0

    @property
    def share_published(self) -> float:
        """Of a published or measured source among the known, 0 to 1."""
        _, known, published = self.counts()
        return published / known if known else 0.0


def coverage(records: Records) -> list[Coverage]:
    """Every trait, in the order of the table of traits."""
    counts: dict[str, dict[str, list[int]]] = {name: {} for name in trait_table().traits}
    for taxon in records.taxa.values():
        if taxon.rank == "genus":
            continue
        facts = values_in_use(taxon, records.taxa)
        form, foliage = (str(facts[trait].value) if trait in facts else "" for trait in ("life_form", "foliage"))
        for name, trait in trait_table().traits.items():
            if (trait.applies and form not in trait.applies) or (foliage == "evergreen" and name in NOT_OF_EVERGREENS):
                continue
            fact = facts.get(name)
            count = counts[name].setdefault(form, [0, 0, 0])
            count[0] += 1
            count[1] += fact is not None
            count[2] += fact is not None and fact.method != "memory"
    return [
        Coverage(name, {form: (row[0], row[1], row[2]) for form, row in forms.items()})
        for name, forms in counts.items()
    ]
