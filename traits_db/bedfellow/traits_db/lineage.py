"""What stands above each taxon, and what only shows when all records are read: parents, names, life forms, listings."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import replace

from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Listing
from bedfellow.traits_db.names import name_key
from bedfellow.traits_db.records import Records, Taxon


def with_parents(records: Records) -> Records:
    """The same records with every parent found, and the faults that reading file by file cannot see."""
    taxa = records.taxa
    for name, taxon in taxa.items():
        parent = taxon.parent or parent_in(name, taxon.rank, taxa)
        if parent is not None and parent not in taxa:
            records.faults.append(f"{taxon.place}: {name}: its parent {parent} has no record")
            parent = None
        elif parent is None and taxon.rank == "cultivar":
            records.faults.append(f"{taxon.place}: {name}: a cultivar needs a record of its parent")
        taxa[name] = replace(taxon, parent=parent)
    circular = {name for name in taxa if _comes_back(name, taxa)}
    records.faults += [f"{taxa[name].place}: {name}: it stands above itself" for name in taxa if name in circular]
    for check in (_names, _life_forms, _lists):
        if not (circular and check is _life_forms):
            records.faults += check(records)
    return records


def above(taxon: Taxon, taxa: Mapping[str, Taxon]) -> Iterator[Taxon]:
    """The taxa above a taxon, the nearest first."""
    parent = taxon.parent
    while parent is not None:
        yield taxa[parent]
        parent = taxa[parent].parent


def life_form_of(taxon: Taxon, taxa: Mapping[str, Taxon]) -> str | None:
    """The life form stated on a taxon or above it."""
    for step in (taxon, *above(taxon, taxa)):
        for statement in step.statements:
            if statement.trait == "life_form":
                return str(statement.value)
    return None


def parent_in(name: str, rank: str, taxa: Container[str]) -> str | None:
    """The taxon above one that does not say it: the longest beginning of its name that has a record; the genus last."""
    words = name.partition(" '")[0].split() if rank == "cultivar" else name.split()[:-1]
    while words:
        candidate = " ".join(words)
        if candidate != name and candidate in taxa:
            return candidate
        words.pop()
    return None


def _comes_back(name: str, taxa: Mapping[str, Taxon]) -> bool:
    seen: set[str] = set()
    ahead = [name]
    while ahead:
        taxon = taxa.get(ahead.pop())
        for upper in (taxon.parent, *taxon.parents) if taxon else ():
            if upper == name:
                return True
            if upper is not None and upper not in seen:
                seen.add(upper)
                ahead.append(upper)
    return False


def _names(records: Records) -> Iterator[str]:
    owner = {name_key(name): name for name in records.taxa}
    for name, taxon in records.taxa.items():
        for synonym in taxon.synonyms:
            other = owner.setdefault(name_key(synonym), name)
            if other != name:
                yield f"{taxon.place}: {name}: the synonym {synonym} is also a name of {other}"
            elif synonym == name:
                yield f"{taxon.place}: {name}: it is no synonym of itself"


def _life_forms(records: Records) -> Iterator[str]:
    table = trait_table().traits
    for name, taxon in records.taxa.items():
        form = life_form_of(taxon, records.taxa)
        if form is None and taxon.rank != "genus":
            yield f"{taxon.place}: {name}: neither it nor what stands above it has a life form"
        for trait in dict.fromkeys(statement.trait for statement in taxon.statements):
            applies = table[trait].applies
            if form is not None and applies and form not in applies:
                yield f"{taxon.place}: {name}: {trait} does not apply to a plant that is a {form}"


def _lists(records: Records) -> Iterator[str]:
    for name, taxon in records.taxa.items():
        for statement in taxon.statements:
            for entry in statement.value if isinstance(statement.value, tuple) else ():
                if isinstance(entry, Listing) and entry.list not in records.sources:
                    yield f"{taxon.place}: {name}: the list '{entry.list}' is not in sources.yaml"
