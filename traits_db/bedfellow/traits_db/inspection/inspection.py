"""The inspection of records: every plant by itself, then among its kin, then the sources.

Records ─→ inheritance ─→ Plant ─→ sizes, seasons, site, nomenclature
                            └────→ kin
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from bedfellow.schema.values import Listing
from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.inheritance import values_in_use
from bedfellow.traits_db.inspection.kin import kin
from bedfellow.traits_db.inspection.nomenclature import nomenclature
from bedfellow.traits_db.inspection.remark import Plant, Remark
from bedfellow.traits_db.inspection.seasons import seasons
from bedfellow.traits_db.inspection.site import site
from bedfellow.traits_db.inspection.sizes import sizes
from bedfellow.traits_db.records import Records

_PLACED = re.compile(r"(.+?:\d+:\d+): (.*)", re.DOTALL)


def inspect(records: Records) -> list[Remark]:
    """Everything that is wrong or worth a look, faults first, each kind in the order of the records.

    Records that could not be read or do not hang together are told as they are, and then nothing else is judged.
    """
    if records.faults:
        return [_unread(fault) for fault in records.faults]
    remarks = [*_of_plants(records), *_of_sources(records)]
    return sorted(remarks, key=lambda remark: remark.level != "fault")


def plants_of(records: Records) -> list[Plant]:
    """Every taxon with its values in use."""
    return [Plant(taxon, values_in_use(taxon, records.taxa)) for taxon in records.taxa.values()]


def _unread(fault: str) -> Remark:
    found = _PLACED.fullmatch(fault)
    place, message = found.groups() if found else ("", fault)
    return Remark("fault", "record", place, "", message)


def _of_plants(records: Records) -> Iterator[Remark]:
    plants = plants_of(records)
    for plant in plants:
        taxon = plant.taxon
        judged = (
            ("size", sizes(plant)),
            ("season", seasons(plant)),
            ("site", site(plant)),
            ("name", nomenclature(taxon)),
        )
        for subject, verdicts in judged:
            for level, message in verdicts:
                yield Remark(level, subject, taxon.place, taxon.name, message)
    for plant, message in kin(plants):
        yield Remark("look", "kin", plant.taxon.place, plant.taxon.name, message)


def _of_sources(records: Records) -> Iterator[Remark]:
    used = {MEMORY}
    for taxon in records.taxa.values():
        for statement in taxon.statements:
            used.add(statement.source)
            entries = statement.value if isinstance(statement.value, tuple) else ()
            used.update(entry.list for entry in entries if isinstance(entry, Listing))
    for source in records.sources:
        if source not in used:
            yield Remark(
                "look", "source", records.source_places.get(source, ""), "", f"no record uses the source '{source}'"
            )
