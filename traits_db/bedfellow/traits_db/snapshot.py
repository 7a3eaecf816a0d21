"""The store as linting reads it: one SQLite file, opened read-only, without the ORM."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Sequence
from pathlib import Path

from bedfellow.traits_db.facts import TaxonTraits
from bedfellow.traits_db.names import name_key, near_names

BUILT = Path(__file__).parent / "_built" / "store.sqlite"


class Store:
    """A compiled store."""

    def __init__(self, path: Path) -> None:
        self.path = path
        # Nobody writes to it any more, so SQLite need neither lock it nor look for a journal.
        self._connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)

    @property
    def version(self) -> str:
        """Hash of the records and code that the store was made from."""
        return str(self._connection.execute("SELECT version FROM snapshot").fetchone()[0])

    def find(self, names: Iterable[str]) -> dict[str, TaxonTraits | None]:
        """Each name's taxon, or None; one query for all of them."""
        keys = {name: name_key(name) for name in names}
        wanted = sorted(set(keys.values()))
        rows = self._connection.execute(
            "SELECT n.key, n.kind, t.name, t.rank, t.payload FROM name n JOIN taxon t ON t.id = n.taxon_id "
            "WHERE n.key IN (SELECT value FROM json_each(?))",
            (json.dumps(wanted),),
        )
        found = {key: TaxonTraits(name, rank, kind, json.loads(payload)) for key, kind, name, rank, payload in rows}
        return {name: found.get(key) for name, key in keys.items()}

    def near(self, name: str) -> list[str]:
        """Known names most like one that is not known, one a taxon; names of a whole genus are left out."""
        rows = self._connection.execute(
            "SELECT n.text, t.name FROM name n JOIN taxon t ON t.id = n.taxon_id WHERE t.rank <> 'genus'"
        )
        taxon_of = dict(rows)
        nearest = {taxon_of[text]: text for text in reversed(near_names(name, taxon_of, 12))}
        return list(reversed(nearest.values()))[:3]

    def names(self) -> list[str]:
        """All accepted names, in order."""
        return [row[0] for row in self._connection.execute("SELECT name FROM taxon ORDER BY name")]

    def source(self, key: str) -> str:
        """A work by its author and title."""
        row = self._connection.execute("SELECT author, title FROM source WHERE key = ?", (key,)).fetchone()
        return ", ".join(part for part in row if part) if row else key

    def close(self) -> None:
        self._connection.close()


def open_store(extra_folders: Sequence[Path] = ()) -> Store:
    """The shipped store, or one compiled with further folders of records, which win; compiled once into the cache.

    Raises `compile.BrokenRecords` where records are at fault.
    """
    if not extra_folders and BUILT.is_file() and (store := _sound(BUILT)) is not None:
        return store
    from bedfellow.schema.cache import cached
    from bedfellow.traits_db.compile import compile_records
    from bedfellow.traits_db.folders import SHIPPED, content_of

    folders = [SHIPPED, *extra_folders]
    content = content_of(folders)
    path = cached("store.sqlite", content, lambda target: compile_records(folders, target))
    store = _sound(path)
    if store is None:
        path.unlink(missing_ok=True)
        store = Store(cached("store.sqlite", content, lambda target: compile_records(folders, target)))
    return store


def _sound(path: Path) -> Store | None:
    """The store in a file; None where the file is damaged."""
    store = Store(path)
    try:
        if store.version and store.find(["Taxus baccata"]):
            return store
    except (sqlite3.DatabaseError, TypeError):  # TypeError: the row of the version is missing
        pass
    store.close()
    return None
