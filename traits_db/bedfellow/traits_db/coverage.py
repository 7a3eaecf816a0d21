"""How much is known: of the plants that a trait applies to, how many have it, and how many from a published source."""

from __future__ import annotations

from dataclasses import dataclass

from bedfellow.schema.traits import trait_table
from bedfellow.traits_db.inheritance import values_in_use
from bedfellow.traits_db.records import Records

# What an evergreen cannot have: a time in leaf, a bare crown, a dying down.
NOT_OF_EVERGREENS = frozenset({"in_leaf", "transmittance_bare", "die_back", "die_back_tidiness", "marcescent"})


@dataclass(frozen=True, slots=True)
class Coverage:
    """One trait: numbers of taxa below the genus. known counts values in use, inherited ones too."""

    trait: str
    applies: int
    known: int
    published: int

    @property
    def share(self) -> float:
        """Known among those that it applies to, 0 to 1; 1 where it applies to none."""
        return self.known / self.applies if self.applies else 1.0

    @property
    def share_published(self) -> float:
        """Of a published or measured source among the known, 0 to 1."""
        return self.published / self.known if self.known else 0.0


def coverage(records: Records) -> list[Coverage]:
    """Every trait, in the order of the table of traits."""
    counts = {name: [0, 0, 0] for name in trait_table().traits}
    for taxon in records.taxa.values():
        if taxon.rank == "genus":
            continue
        facts = values_in_use(taxon, records.taxa)
        form, foliage = (str(facts[trait].value) if trait in facts else "" for trait in ("life_form", "foliage"))
        for name, trait in trait_table().traits.items():
            if (trait.applies and form not in trait.applies) or (foliage == "evergreen" and name in NOT_OF_EVERGREENS):
                continue
            fact = facts.get(name)
            count = counts[name]
            count[0] += 1
            count[1] += fact is not None
            count[2] += fact is not None and fact.method != "memory"
    return [Coverage(name, *count) for name, count in counts.items()]
