"""Opening a team's store: new, brought to the present form, or as it stands.

One writer at a time, as many readers as there are: SQLite by its write-ahead log and an immediate transaction, PostgreSQL
by a lock that writers alone take. A reader sees the store as it was when it began. A writer that is killed leaves nothing.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event, insert, inspect, make_url, select, text
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import NullPool

from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.team.address import Address
from bedfellow.traits_db.team.tables import HEAD, OLDER, table
from bedfellow.traits_db.team.trouble import StoreTrouble, told

WAIT = 30.0  # seconds for another writer to finish
ANSWER = 5  # seconds for a server to answer
_MAGIC = b"SQLite format 3\0"


class TeamStore:
    """An open store. Reading and writing give a connection inside one transaction."""

    def __init__(self, address: Address, engine: Engine) -> None:
        self.address, self._engine = address, engine

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One unchanging picture of the store."""
        with told(self.address), _connect(self._engine) as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self, who: str, why: str, kind: str = "change", reverts: int | None = None) -> Iterator[tuple[Connection, int]]:  # fmt: skip
        """A connection and the number of a new revision; all or nothing.

        Raises StoreTrouble where who or why is missing, or the store cannot be written.
        """
        with self.connected() as connection, signed(connection, who, why, kind, reverts) as revision:
            yield connection, revision

    @contextmanager
    def connected(self) -> Iterator[Connection]:
        """A connection outside any transaction, for work that reads first and writes later (`signed`)."""
        with told(self.address), self._engine.connect() as connection:
            yield connection

    def close(self) -> None:
        self._engine.dispose()


@contextmanager
def signed(connection: Connection, who: str, why: str, kind: str = "change", reverts: int | None = None) -> Iterator[int]:  # fmt: skip
    """One writing transaction on a connection; the number of its revision, which is not kept where nothing was changed."""
    if not who.strip() or not why.strip():
        raise StoreTrouble("a change needs who makes it and why")
    with _alone(connection):
        row = {"at": now(), "who": who.strip(), "why": why.strip(), "kind": kind, "reverts": reverts}
        revision = connection.execute(insert(table("revision")).values(row)).inserted_primary_key
        assert revision is not None
        yield revision[0]
        change = table("change")
        if connection.execute(select(change.c.id).where(change.c.revision_id == revision[0]).limit(1)).first() is None:
            revisions = table("revision")
            connection.execute(revisions.delete().where(revisions.c.id == revision[0]))


def now() -> str:
    """The time in UTC, ISO 8601, to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def create_store(address: Address, wait: float = WAIT) -> TeamStore:
    """A new store, without plants. Raises StoreTrouble where there is one already, or the file is something else."""
    fresh = address.path is not None and not (address.path.exists() and address.path.stat().st_size)
    engine = _engine(address, wait, create=True)
    if fresh:
        event.listen(engine, "connect", _log_ahead)
    with told(address), engine.connect() as connection, _alone(connection, tables=False):
        if _form(connection) is not None:
            raise StoreTrouble(f"{address} is a store already; 'upgrade' brings it to the present form")
        if inspect(connection).get_table_names():
            raise StoreTrouble(f"{address} holds tables of something else; nothing was changed")
        _migrate(connection)
        connection.execute(insert(table("source")).values(key=MEMORY, title="from memory, not looked up"))
    return TeamStore(address, engine)


def upgrade_store(address: Address, wait: float = WAIT) -> tuple[str, str]:
    """Bring a store to the present form; the numbers of its form before and after."""
    engine = _engine(address, wait)
    with told(address), engine.connect() as connection, _alone(connection, tables=False):
        before = _form(connection)
        _refuse_unknown(address, before)
        if before != HEAD:
            _migrate(connection)
    engine.dispose()
    return str(before), HEAD


def open_team_store(address: Address, wait: float = WAIT) -> TeamStore:
    """A store as it stands. wait: seconds for another writer to finish.

    Raises StoreTrouble where there is none, where it is damaged, older or newer than this program.
    """
    engine = _engine(address, wait)
    with told(address), _connect(engine) as connection, connection.begin():
        form = _form(connection)
    _refuse_unknown(address, form)
    if form != HEAD:
        raise StoreTrouble(f"{address} has an older form ({form}; now {HEAD}): 'bedfellow store upgrade' changes it")
    return TeamStore(address, engine)


def _refuse_unknown(address: Address, form: str | None) -> None:
    if form is None:
        raise StoreTrouble(f"{address} is no store; 'bedfellow store create' makes one")
    if form != HEAD and form not in OLDER:
        raise StoreTrouble(f"{address} was made by a newer bedfellow (form {form}; this one knows {HEAD}): bring bedfellow up to date")  # fmt: skip


def _form(connection: Connection) -> str | None:
    if "alembic_version" not in inspect(connection).get_table_names():
        return None
    row = connection.exec_driver_sql("SELECT version_num FROM alembic_version").first()
    return str(row[0]) if row else None


def _migrate(connection: Connection) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _engine(address: Address, wait: float, create: bool = False) -> Engine:
    if address.path is not None:
        _look_at(address.path, create)
        engine = create_engine(
            URL.create("sqlite", database=str(address.path.absolute())),
            poolclass=NullPool,
            connect_args={"timeout": wait, "isolation_level": None},
        )
        event.listen(engine, "connect", _prepare)
        event.listen(engine, "begin", _begin)
        return engine
    try:
        url = make_url(address.url)
        with told(address):
            return create_engine(
                url,
                poolclass=NullPool,
                connect_args={"connect_timeout": ANSWER, "options": f"-c lock_timeout={round(wait * 1000)} -c timezone=UTC"},
            )  # fmt: skip
    except (ArgumentError, ValueError):
        raise StoreTrouble(f"{address} is no URL of a database: write postgresql://user@host/database") from None


def _look_at(path: Path, create: bool) -> None:
    """SQLite tells of a file that is cut short only when it comes to the missing page: look before."""
    try:
        if not path.exists():
            if not create:
                raise StoreTrouble(f"{path}: there is no such file; 'bedfellow store create' makes a store")
            if not path.absolute().parent.is_dir():
                raise StoreTrouble(f"{path}: there is no folder {path.absolute().parent}")
            return
        if not path.is_file():
            raise StoreTrouble(f"{path} is not a file")
        with path.open("rb") as file:
            head = file.read(100)
        size = path.stat().st_size
        log = path.with_name(path.name + "-wal")
        if size == 0 and create:
            return
        if len(head) < 100 or not head.startswith(_MAGIC):
            raise StoreTrouble(f"{path}: the file is no store: it is not an SQLite database")
        page = int.from_bytes(head[16:18], "big")
        page = 65536 if page == 1 else page
        pages = int.from_bytes(head[28:32], "big")
        logged = log.exists() and log.stat().st_size > 0  # then the rest of the file may still be in the log
        if size < page * pages and not logged:
            raise StoreTrouble(f"{path}: the file is cut short, {size:,} of {page * pages:,} bytes: restore it from a copy")  # fmt: skip
    except OSError as error:
        raise StoreTrouble(f"{path}: {error.strerror}") from error


def _prepare(connection: sqlite3.Connection, _: object) -> None:
    connection.execute("PRAGMA foreign_keys = ON")


def _log_ahead(connection: sqlite3.Connection, _: object) -> None:
    connection.execute("PRAGMA journal_mode = WAL")  # the file remembers it


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql(connection.get_execution_options().get("begins", "BEGIN"))


def _connect(engine: Engine) -> Connection:
    """A connection for reading: on PostgreSQL, one picture for the whole transaction, as SQLite gives by itself."""
    connection = engine.connect()
    if connection.dialect.name == "postgresql":
        connection.execution_options(isolation_level="REPEATABLE READ")
    return connection


@contextmanager
def _alone(connection: Connection, tables: bool = True) -> Iterator[None]:
    """A transaction of the only writer. tables: they are there, and their lock can be taken."""
    if connection.dialect.name == "sqlite":
        connection.execution_options(begins="BEGIN IMMEDIATE")
    with connection.begin():
        if connection.dialect.name == "postgresql":
            # Readers are not kept waiting by either lock.
            lock = (
                "LOCK TABLE revision IN SHARE ROW EXCLUSIVE MODE" if tables else "SELECT pg_advisory_xact_lock(20267)"
            )
            connection.execute(text(lock))
        yield
    if connection.dialect.name == "sqlite":
        connection.execution_options(begins="BEGIN")
