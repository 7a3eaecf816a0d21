"""Records into a store: ``python -m bedfellow.traits_db.compile --check`` tells what is wrong with the records, or counts them."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.folders import SHIPPED, content_of


class BrokenRecords(Exception):
    """Records that cannot be compiled; the message has a line for each fault."""


def compile_records(folders: Sequence[Path], target: Path) -> None:
    """Write a store of the records in these folders; of the same taxon and trait, later folders win.

    target: a file that is absent or empty; whoever calls moves it into place, so that it is never seen half written.
    Raises BrokenRecords.
    """
    from bedfellow.traits_db.records import read_records

    records = read_records(folders)
    if records.faults:
        raise BrokenRecords("\n".join(records.faults))
    from bedfellow.traits_db.store import write_store

    write_store(records, target, content_of(folders).decode())


def build_store(target: Path) -> None:
    """Write the store of the shipped records, for a wheel."""
    compile_records([SHIPPED], target)


def check(folders: Sequence[Path]) -> int:
    """Print faults, or what there is; 2 when something is wrong."""
    from bedfellow.traits_db.records import read_records

    records = read_records(folders)
    if records.faults:
        print("\n".join(records.faults))
        return 2
    ranks = Counter(taxon.rank for taxon in records.taxa.values())
    statements = [s for taxon in records.taxa.values() for s in taxon.statements]
    published = sum(s.source != MEMORY for s in statements)
    print(f"{len(records.taxa)} taxa ({', '.join(f'{n} {rank}' for rank, n in ranks.most_common())})")
    print(
        f"{len(statements)} statements, {published} with a published source ({published / max(1, len(statements)):.1%})"
    )
    return 0


if __name__ == "__main__":
    sys.exit(check([SHIPPED, *map(Path, (a for a in sys.argv[1:] if a != "--check"))]))
