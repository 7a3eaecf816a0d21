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
        self._connection = sqlite3.connect(f"file:{path}?mode=ro&immutable=1", uri=True)

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
        """Accepted names most like one that is not known."""
        return near_names(
            name, (row[0] for row in self._connection.execute("SELECT name FROM taxon WHERE rank <> 'genus'"))
        )

    def names(self) -> list[str]:
        """All accepted names, in order."""
        return [row[0] for row in self._connection.execute("SELECT name FROM taxon ORDER BY name")]

    def source(self, key: str) -> str:
        """A source's title."""
        row = self._connection.execute("SELECT title FROM source WHERE key = ?", (key,)).fetchone()
        return row[0] if row else key

    def close(self) -> None:
        self._connection.close()


def open_store(extra_folders: Sequence[Path] = ()) -> Store:
    """The shipped store, or one compiled with further folders of records, which win; compiled once into the cache.

    Raises `compile.BrokenRecords` where records are at fault.
    """
    if not extra_folders and BUILT.is_file():
        return Store(BUILT)
    from bedfellow.schema.cache import cached
    from bedfellow.traits_db.compile import SHIPPED, compile_records, content_of

    folders = [SHIPPED, *extra_folders]
    path = cached("store.sqlite", content_of(folders), lambda target: compile_records(folders, target))
    try:
        store = Store(path)
        store.find(["Taxus baccata"])
    except sqlite3.DatabaseError:
        path.unlink(missing_ok=True)
        store = Store(cached("store.sqlite", content_of(folders), lambda target: compile_records(folders, target)))
    return store
