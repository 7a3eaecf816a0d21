"""What can be wrong with a store, in words for the person who uses it."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bedfellow.traits_db.team.address import Address

# By the code that SQLite gives (sqlite.org, Result and Error Codes): nothing was written in any of these cases.
_SQLITE = {
    "SQLITE_BUSY": "somebody else is writing to it and has not finished; try again",
    "SQLITE_LOCKED": "somebody else is writing to it and has not finished; try again",
    "SQLITE_READONLY": "it may only be read; nothing was changed",
    "SQLITE_FULL": "the disk is full; nothing was changed",
    "SQLITE_NOTADB": "the file is no store: it is not an SQLite database",
    "SQLITE_CORRUPT": "the file is damaged; restore it from a copy",
    "SQLITE_CANTOPEN": "the file cannot be opened; is the folder there, and may it be written to?",
    "SQLITE_IOERR": "the file cannot be read or written; nothing was changed",
    "SQLITE_PERM": "the file may not be opened",
    "SQLITE_AUTH": "the file may not be opened",
}
# By SQLSTATE (PostgreSQL, Appendix A, Error Codes).
_POSTGRESQL = {
    "55P03": _SQLITE["SQLITE_BUSY"],
    "40P01": _SQLITE["SQLITE_BUSY"],
    "40001": _SQLITE["SQLITE_BUSY"],
    "25006": _SQLITE["SQLITE_READONLY"],
    "42501": "this user may not do that; nothing was changed",
    "53100": _SQLITE["SQLITE_FULL"],
    "53300": "it has no connection left; try again",
    "57014": "it took too long; nothing was changed",
    "57P01": "the server ended the connection; nothing was changed",
    "57P03": "the server is starting or stopping; try again",
    "28000": "the server does not let this user in",
    "28P01": "the password is wrong",
    "3D000": "there is no such database",
}


class StoreTrouble(Exception):
    """A store cannot be opened, read or written, or what is asked of it cannot be done."""


@contextmanager
def told(address: Address) -> Iterator[None]:
    """Whatever the database raises inside becomes StoreTrouble that names the store; a constraint that fails does not."""
    from sqlalchemy.exc import DBAPIError, IntegrityError, NoSuchModuleError, TimeoutError

    try:
        yield
    except IntegrityError:
        raise
    except DBAPIError as error:
        raise StoreTrouble(f"{address}: {_reason(error.orig)}") from error
    except (TimeoutError, NoSuchModuleError) as error:
        raise StoreTrouble(f"{address}: {error}") from error
    except ModuleNotFoundError as error:
        if error.name not in ("psycopg", "psycopg_binary", "psycopg_c"):
            raise
        raise StoreTrouble(f"{address}: PostgreSQL needs psycopg: pip install 'bedfellow[postgresql]'") from error
    except ImportError as error:
        if "psycopg" not in str(error) and "libpq" not in str(error):
            raise
        raise StoreTrouble(f"{address}: PostgreSQL needs psycopg with libpq: pip install 'bedfellow[postgresql]'") from error  # fmt: skip
    except OSError as error:
        if error.errno not in (errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EDQUOT):
            raise
        raise StoreTrouble(f"{address}: {error.strerror}; nothing was changed") from error


def _reason(error: BaseException | None) -> str:
    name = getattr(error, "sqlite_errorname", None)
    if name is not None:
        known = next((text for code, text in _SQLITE.items() if name == code or name.startswith(f"{code}_")), None)
        return known or f"{error} ({name})"
    state = getattr(error, "sqlstate", None)
    if state in _POSTGRESQL:
        return _POSTGRESQL[state]
    said = str(error).strip().splitlines()
    first = said[0] if said else repr(error)
    if state is None:  # no SQLSTATE: the server was not reached, and psycopg says which one and why
        return f"the server does not answer: {first.removeprefix('connection failed: ')}"
    return f"{first} ({state})"
