"""The version of a store: a hash of what it says and of nothing else, so that the same records keep it whatever reads them."""

from __future__ import annotations

import hashlib
import json

from bedfellow.schema.values import pack
from bedfellow.traits_db.inheritance import METHODS, SURENESS
from bedfellow.traits_db.records import Records, Statement, plant_state

HASHED = 1  # raised when something else is hashed


def version_of(records: Records) -> str:
    """SHA-256 in hexadecimal of the sources, plants, names and values."""
    works = {
        key: [work["title"], str(work.get("author", "")), str(work.get("date", ""))]
        for key, work in records.sources.items()
    }
    taxa = {
        name: [
            plant_state(taxon),
            [[s.trait, pack(s.value), s.source, s.method, s.confidence, s.date] for s in sorted(taxon.statements, key=_rank)],
        ]
        for name, taxon in records.taxa.items()
    }  # fmt: skip
    said = json.dumps([HASHED, works, taxa], ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(said.encode()).hexdigest()


def _rank(statement: Statement) -> tuple[str, int, int]:
    """Order counts only where it decides which of two statements is in use."""
    return statement.trait, METHODS[statement.method], SURENESS[statement.confidence]
