"""Records into a store: ``python -m bedfellow.traits_db.compile --check`` tells what is wrong with the records, or counts them."""

from __future__ import annotations

import hashlib
import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from bedfellow.schema.traits import TABLE
from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.records import read_records

SHIPPED = Path(__file__).parent / "records"


class BrokenRecords(Exception):
    """Records that cannot be compiled; the message has a line for each fault."""


def content_of(folders: Sequence[Path]) -> bytes:
    """Digest of everything that a store is made from: records, sources, the table of traits and this code."""
    digest = hashlib.sha256()
    here = Path(__file__).parent
    files = [TABLE, here / "sources.yaml", *sorted(here.glob("*.py"))]
    for folder in folders:
        files += sorted(folder.glob("*.yaml"))
    for file in files:
        digest.update(file.name.encode() + b"\0" + file.read_bytes() + b"\0")
    return digest.hexdigest().encode()


def compile_records(folders: Sequence[Path], target: Path) -> None:
    """Write a store of the records in these folders. Raises BrokenRecords."""
    records = read_records(folders)
    if records.faults:
        raise BrokenRecords("\n".join(records.faults))
    from bedfellow.traits_db.store import write_store

    write_store(records, target)


def check(folders: Sequence[Path]) -> int:
    """Print faults, or what there is; 2 when something is wrong."""
    records = read_records(folders)
    if records.faults:
        print("\n".join(records.faults))
        return 2
    ranks = Counter(taxon.rank for taxon in records.taxa.values())
    statements = [s for taxon in records.taxa.values() for s in taxon.statements]
    published = sum(s.source != MEMORY for s in statements)
    print(f"{len(records.taxa)} taxa ({', '.join(f'{n} {rank}' for rank, n in ranks.most_common())})")
    print(f"{len(statements)} statements, {published} with a published source ({published / len(statements):.1%})")
    return 0


if __name__ == "__main__":
    sys.exit(check([SHIPPED, *map(Path, (a for a in sys.argv[1:] if a != "--check"))]))
