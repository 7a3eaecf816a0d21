"""The value in use of each trait: one rule among sources, one among levels.

Among sources: measured before published before memory, then the higher confidence, then the order of the record. Hazards
and listings are united: a list that does not name a victim does not acquit the plant.
Among levels: what the taxon states itself; for a hybrid what its parents have in common; else from the variety, Group,
species or hybrid above it as the table of traits allows (safe, or low at low confidence); else from the genus where the
table allows that. What is inherited from parents or genus is of low confidence at most.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Hazard, Listing, Tolerance, Value
from bedfellow.traits_db.facts import MEMORY, Fact
from bedfellow.traits_db.lineage import above
from bedfellow.traits_db.records import UNITED, Statement, Taxon, united_entries

METHODS = {"measured": 0, "published": 1, "memory": 2}
SURENESS = {"high": 0, "medium": 1, "low": 2}


def values_in_use(taxon: Taxon, taxa: Mapping[str, Taxon]) -> dict[str, Fact]:
    """Trait to the fact in use for a taxon."""
    table = trait_table().traits
    facts = _own(taxon, taxa)
    for upper in above(taxon, taxa):
        for trait, fact in _own(upper, taxa).items():
            passes = table[trait].genus if upper.rank == "genus" else table[trait].species
            if trait not in facts and passes != "never":
                low = passes == "low" or upper.rank == "genus"
                facts[trait] = fact._replace(confidence="low") if low else fact
    form = facts.get("life_form")
    # A trait that does not apply to the life form is left out: it is not unknown, it is not there.
    return {
        trait: fact
        for trait, fact in facts.items()
        if form is None or not table[trait].applies or form.value in table[trait].applies
    }


def _own(taxon: Taxon, taxa: Mapping[str, Taxon]) -> dict[str, Fact]:
    by_trait: dict[str, list[Statement]] = {}
    for statement in taxon.statements:
        by_trait.setdefault(statement.trait, []).append(statement)
    stated = {trait: _in_use(statements, taxon.rank) for trait, statements in by_trait.items()}
    return {**_from_parents(taxon, taxa), **stated} if taxon.rank == "hybrid" else stated


def _in_use(statements: list[Statement], level: str) -> Fact:
    ranked = sorted(statements, key=lambda s: (METHODS[s.method], SURENESS[s.confidence]))
    best = ranked[0]
    value = best.value
    if best.trait in UNITED:
        # The united value counts as published, so what memory adds to it must not be able to carry an error.
        value = united_entries(
            _tempered(s.value) if s.method == MEMORY and best.method != MEMORY else s.value for s in ranked
        )
    return Fact(value, level, best.source, best.method, best.confidence)


def _tempered(value: Value) -> Value:
    entries = value if isinstance(value, tuple) else ()
    return tuple(e._replace(severity=min(e.severity, 2)) if isinstance(e, Hazard) else e for e in entries)  # type: ignore[return-value]


def _from_parents(taxon: Taxon, taxa: Mapping[str, Taxon]) -> dict[str, Fact]:
    """What all parents have in common, of what passes to offspring at all; what harms in one may harm in the hybrid."""
    recorded = [values_in_use(taxa[name], taxa) for name in taxon.parents if name in taxa]
    if not recorded:
        return {}
    values: dict[str, Value | None] = {}
    if len(recorded) == len(taxon.parents) > 1:
        table = trait_table().traits
        shared = set.intersection(*map(set, recorded))
        for trait in sorted(trait for trait in shared - UNITED if table[trait].species != "never"):
            values[trait] = _common([facts[trait].value for facts in recorded])
    values["hazards"] = united_entries(facts["hazards"].value for facts in recorded if "hazards" in facts) or None
    listings = united_entries(facts["listings"].value for facts in recorded if "listings" in facts)
    values["listings"] = tuple(e for e in listings if isinstance(e, Listing) and "hybrids" in e.covers) or None
    return {
        trait: Fact(value, "parents", MEMORY, MEMORY, "low") for trait, value in values.items() if value is not None
    }


def _common(values: Sequence[Value]) -> Value | None:
    """What several values agree in: an equal word, step, yes or no, or the range within all; None where there is none."""
    first = values[0]
    if isinstance(first, Tolerance):
        ranges = [value for value in values if isinstance(value, Tolerance)]
        lower, upper = max(r.lower for r in ranges), min(r.upper for r in ranges)
        return Tolerance(lower, upper) if lower <= upper else None
    simple = isinstance(first, str | int) and all(value == first for value in values)
    return first if simple else None
