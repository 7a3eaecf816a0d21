"""The store as linting reads it: one SQLite file, opened read-only, without the ORM."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from pathlib import Path

from bedfellow.schema.values import Value, unpack
from bedfellow.traits_db.facts import MEMORY, TaxonTraits
from bedfellow.traits_db.index import Condition
from bedfellow.traits_db.names import name_key, near_names

FORM = 2  # of the tables and of what they hold; in the file as SQLite's user_version
SHOWN = 16  # characters of a version that are shown, and that name a snapshot's file
MOST_KEPT = 8  # stores in the cache: one is made each time that records of one's own change
BUILT = Path(__file__).parent / "_built" / "store.sqlite"


class Store:
    """A compiled store."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._near: dict[str, list[str]] = {}  # a plan that is judged again and again asks the same
        # Nobody writes to it any more, so SQLite need neither lock it nor look for a journal.
        self._connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)

    @property
    def version(self) -> str:
        """Hash of what the store says (`version.version_of`)."""
        return str(self._connection.execute("SELECT version FROM snapshot").fetchone()[0])

    @property
    def form(self) -> int:
        """Number of the form of its tables; 0 where it has none."""
        return int(self._connection.execute("PRAGMA user_version").fetchone()[0])

    def find(self, names: Iterable[str]) -> dict[str, TaxonTraits | None]:
        """Each name's taxon, or None; one query for all of them."""
        keys = {name: name_key(name) for name in names}
        wanted = sorted(set(keys.values()))
        rows = self._connection.execute(
            "SELECT n.key, n.kind, t.name, t.rank, t.payload FROM name n JOIN taxon t ON t.id = n.taxon_id "
            "WHERE n.key IN (SELECT value FROM json_each(?)) AND n.kind <> 'shared'",
            (json.dumps(wanted),),
        )
        found = {key: TaxonTraits(name, rank, kind, json.loads(payload)) for key, kind, name, rank, payload in rows}
        return {name: found.get(key) for name, key in keys.items()}

    def some(self, names: Sequence[str], traits: Sequence[str]) -> list[TaxonTraits]:
        """Plants by their accepted names, with a few of their traits alone: what else they have is not read."""
        wanted = [*dict.fromkeys(traits), "life_form", "foliage"]  # of one path alone SQLite gives no list
        places = ", ".join("?" for _ in wanted)
        rows = self._connection.execute(
            f"SELECT name, rank, json_extract(payload, {places}) FROM taxon WHERE name IN (SELECT value FROM json_each(?))",
            (*(f'$."{trait}"' for trait in wanted), json.dumps(names)),
        )
        return [
            TaxonTraits(
                name, rank, "accepted", {t: v for t, v in zip(wanted, json.loads(found), strict=True) if v is not None}
            )
            for name, rank, found in rows
        ]

    def matching(self, conditions: Sequence[Condition], may_be_unknown: Collection[str] = ()) -> list[str]:
        """Accepted names of the plants below the genus whose values in use meet every condition, in order.

        A plant of which a trait is not known does not match, but for the traits that may_be_unknown.
        """
        known = "SELECT taxon_id FROM found_by WHERE trait = ?"
        parts = ["t.rank <> 'genus'"]
        given: list[str | float] = []
        for trait, lower, upper, words, refused in conditions:
            met = f"{known} AND (low <= ? {'AND' if lower <= upper else 'OR'} high >= ?)"
            values: list[str | float] = [trait, upper, lower]
            if words:
                met += " AND word IN (SELECT value FROM json_each(?))"
                values.append(json.dumps(words))
            part = f"t.id NOT IN ({met})" if refused else f"t.id IN ({met})"
            if trait in may_be_unknown:
                part = f"({part} OR t.id NOT IN ({known}))"
                values.append(trait)
            elif refused:
                part = f"{part} AND t.id IN ({known})"
                values.append(trait)
            parts.append(part)
            given += values
        query = f"SELECT t.name FROM taxon t WHERE {' AND '.join(parts)} ORDER BY t.name"
        return [row[0] for row in self._connection.execute(query, given)]

    def near(self, name: str) -> list[str]:
        """The plants that share a name; else known names most like it, one a taxon, those of a whole genus left out."""
        sharing = self._connection.execute(
            "SELECT t.name FROM name n JOIN taxon t ON t.id = n.taxon_id WHERE n.key = ? AND n.kind = 'shared' ORDER BY t.name",
            (name_key(name),),
        ).fetchall()
        if sharing:
            return [row[0] for row in sharing]
        if name not in self._near:
            rows = self._connection.execute(
                "SELECT n.text, t.name FROM name n JOIN taxon t ON t.id = n.taxon_id "
                "WHERE t.rank <> 'genus' AND substr(n.key, 1, 1) = ?",
                (name_key(name)[:1],),
            )
            taxon_of = dict(rows)
            nearest = {taxon_of[text]: text for text in reversed(near_names(name, taxon_of, 12))}
            self._near[name] = list(reversed(nearest.values()))[:3]
        return self._near[name]

    def statements(self, name: str) -> list[tuple[str, Value, str, str, str]]:
        """(trait, value, source, method, confidence) of every statement on a taxon itself, by its accepted name, in order."""
        rows = self._connection.execute(
            "SELECT s.trait, s.value, s.source, s.method, s.confidence FROM statement s "
            "JOIN taxon t ON t.id = s.taxon_id WHERE t.name = ? ORDER BY s.trait, s.source",
            (name,),
        )
        return [(trait, unpack(json.loads(value)), *rest) for trait, value, *rest in rows]

    def names(self) -> list[str]:
        """All accepted names, in order."""
        return [row[0] for row in self._connection.execute("SELECT name FROM taxon ORDER BY name")]

    def called(self, names: Iterable[str]) -> dict[str, tuple[str, str]]:
        """(first common name, trade designation) of plants by their accepted names, each empty where there is none.

        A cultivar without a common name of its own goes by that of its species.
        """
        rows = self._connection.execute(
            "SELECT t.name, t.state, p.state FROM taxon t LEFT JOIN taxon p ON p.name = t.parent AND p.rank <> 'genus' "
            "WHERE t.name IN (SELECT value FROM json_each(?))",
            (json.dumps(sorted(set(names))),),
        )
        found = {}
        for name, own, above in rows:
            state = json.loads(own)
            common = state["common_names"] or (json.loads(above)["common_names"] if above else [])
            found[name] = (common[0] if common else "", state["trade_designation"] or "")
        return found

    def source(self, key: str) -> str:
        """A work by its author and title."""
        row = self._connection.execute("SELECT author, title FROM source WHERE key = ?", (key,)).fetchone()
        return ", ".join(part for part in row if part) if row else key

    def sources(self) -> dict[str, dict[str, str]]:
        """The works that values name, by key."""
        rows = self._connection.execute("SELECT key, title, author, date FROM source WHERE key <> ?", (MEMORY,))
        return {key: {"title": title, "author": author, "date": date} for key, title, author, date in rows}

    def said(self) -> Iterator[tuple[str, str, list[tuple[str, ...]]]]:
        """Each taxon as it was recorded: name, JSON of its state, and (trait, JSON of value, source, method, confidence, date)."""
        columns = "taxon_id, trait, value, source, method, confidence, date"
        statements: dict[int, list[tuple[str, ...]]] = {}
        for number, *statement in self._connection.execute(f"SELECT {columns} FROM statement ORDER BY id"):
            statements.setdefault(number, []).append(tuple(statement))
        for number, name, state in self._connection.execute("SELECT id, name, state FROM taxon ORDER BY id"):
            yield name, state, statements.get(number, [])

    def close(self) -> None:
        self._connection.close()


def open_store(folders: Sequence[Path] = ()) -> Store:
    """The shipped store, or one compiled of it with folders of records over it (`open_over`)."""
    if BUILT.is_file() and (built := _sound(BUILT)) is not None:
        shipped = built
    else:
        from bedfellow.traits_db.compile import compile_records
        from bedfellow.traits_db.folders import SHIPPED, content_of

        shipped = _cached(content_of([SHIPPED]), lambda target: compile_records([SHIPPED], target))
    if not folders:
        return shipped
    try:
        return open_over(shipped, folders)
    finally:
        shipped.close()


def open_over(underneath: Store, folders: Sequence[Path]) -> Store:
    """A store compiled of another and of folders of records, which win, the later over the former; once, into the cache.

    Raises `compile.BrokenRecords` where records are at fault.
    """
    from bedfellow.traits_db.compile import compile_records
    from bedfellow.traits_db.folders import content_of

    content = content_of(folders) + underneath.version.encode()
    return _cached(content, lambda target: compile_records(folders, target, underneath))


def _cached(content: bytes, build: Callable[[Path], None]) -> Store:
    from bedfellow.schema.cache import cached

    path = cached("store.sqlite", content, build, MOST_KEPT)
    store = _sound(path)
    if store is None:
        path.unlink(missing_ok=True)
        store = Store(cached("store.sqlite", content, build, MOST_KEPT))
    return store


class NoSnapshot(Exception):
    """A file that cannot be read as a snapshot, and why."""


def open_snapshot(path: Path) -> Store:
    """The snapshot in a file, such as one that a team's store wrote. Raises NoSnapshot, in words."""
    if not path.is_file():
        raise NoSnapshot(f"{path}: there is no such file")
    store = Store(path)
    try:
        form = store.form
        if form > FORM:
            raise NoSnapshot(f"{path} was made by a newer bedfellow (form {form}; this one knows {FORM})")
        if form == FORM and store.version and store.names():
            return store
        if 0 < form < FORM and store.version:
            raise NoSnapshot(f"{path} was made by an older bedfellow; write it anew with 'bedfellow store snapshot'")
        raise NoSnapshot(f"{path} is no snapshot of a store of plants")
    except (sqlite3.DatabaseError, TypeError) as error:  # TypeError: the row of the version is missing
        store.close()
        raise NoSnapshot(f"{path} is no snapshot of a store of plants, or damaged ({error})") from None
    except NoSnapshot:
        store.close()
        raise


def _sound(path: Path) -> Store | None:
    """The store in a file; None where the file is damaged."""
    store = Store(path)
    try:
        (name,) = store._connection.execute("SELECT name FROM taxon LIMIT 1").fetchone()
        if store.version and store.find([name])[name]:
            return store
    except (sqlite3.DatabaseError, TypeError):  # TypeError: the row of the version or every taxon is missing
        pass
    store.close()
    return None
