"""The value in use of each trait: one rule among sources, one among levels.

Among sources: measured before published before memory, then the higher confidence, then the order of the record. Hazards
and listings are united: a list that does not name a victim does not acquit the plant.
Among levels: what the taxon states itself; else from the variety, Group, species or hybrid above it as the table of traits
allows (safe, or low at low confidence); else from the genus where the table allows that.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Hazard, Listing
from bedfellow.traits_db.facts import Fact
from bedfellow.traits_db.records import Statement, Taxon

METHODS = {"measured": 0, "published": 1, "memory": 2}
SURENESS = {"high": 0, "medium": 1, "low": 2}


def values_in_use(taxon: Taxon, taxa: Mapping[str, Taxon]) -> dict[str, Fact]:
    """Trait to the fact in use for a taxon."""
    table = trait_table().traits
    facts = _stated(taxon)
    seen = {taxon.name}
    above = taxon.parent
    while above is not None and above not in seen:
        seen.add(above)
        parent = taxa[above]
        for trait, fact in _stated(parent).items():
            passes = table[trait].genus if parent.rank == "genus" else table[trait].species
            if trait not in facts and passes != "never":
                low = passes == "low" or parent.rank == "genus"
                facts[trait] = fact._replace(confidence="low") if low else fact
        above = parent.parent
    form = facts.get("life_form")
    # A trait that does not apply to the life form is left out: it is not unknown, it is not there.
    return {
        trait: fact
        for trait, fact in facts.items()
        if form is None or not table[trait].applies or form.value in table[trait].applies
    }


def _stated(taxon: Taxon) -> dict[str, Fact]:
    by_trait: dict[str, list[Statement]] = {}
    for statement in taxon.statements:
        by_trait.setdefault(statement.trait, []).append(statement)
    return {trait: _in_use(statements, taxon.rank) for trait, statements in by_trait.items()}


def _in_use(statements: list[Statement], level: str) -> Fact:
    ranked = sorted(statements, key=lambda s: (METHODS[s.method], SURENESS[s.confidence]))
    best = ranked[0]
    value = best.value
    if best.trait == "hazards":
        value = _united(ranked, Hazard)
    elif best.trait == "listings":
        value = _united(ranked, Listing)
    return Fact(value, level, best.source, best.method, best.confidence)


def _united(ranked: Iterable[Statement], kind: type) -> tuple:  # type: ignore[type-arg]
    entries: dict[tuple[str, str], object] = {}
    published = any(statement.method != "memory" for statement in ranked)
    for statement in ranked:
        for entry in statement.value:  # type: ignore[union-attr]
            if isinstance(entry, kind):
                # The united value counts as published, so what memory adds to it must not be able to carry an error.
                if published and statement.method == "memory" and isinstance(entry, Hazard):
                    entry = entry._replace(severity=min(entry.severity, 2))
                entries.setdefault((entry[0], entry[1]), entry)  # type: ignore[index]
    return tuple(entries.values())
