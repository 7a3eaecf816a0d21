"""Where a store is: the path of an SQLite file, or the URL of a PostgreSQL database."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

from bedfellow.traits_db.team.trouble import StoreTrouble

ENVIRONMENT = "BEDFELLOW_STORE"
_URL = re.compile(r"([a-z][a-z0-9+.-]*)://(.*)", re.DOTALL)
_SECRETS = ((re.compile(r"(://[^/@:]*):[^@]*@"), r"\1@"), (re.compile(r"([?&]password=)[^&]*"), r"\1…"))
_DRIVER = "postgresql+psycopg://"


@dataclass(frozen=True, slots=True)
class Address:
    """One of the two: `path` of an SQLite file, or `url` of a PostgreSQL database."""

    path: Path | None = None
    url: str = field(default="", repr=False)

    def __str__(self) -> str:
        """As it may be shown: without the password."""
        if self.path is not None:
            return str(self.path)
        shown = self.url.replace(_DRIVER, "postgresql://", 1)
        for secret, left in _SECRETS:
            shown = secret.sub(left, shown)
        return shown


def address(text: str) -> Address:
    """The address in a path, ``sqlite:///path`` or ``postgresql://…``. Raises StoreTrouble."""
    if not text.strip() or "\0" in text:
        raise StoreTrouble("a store is the path of a file or postgresql://user@host/database")
    found = _URL.fullmatch(text)
    if found is None:
        return Address(path=Path(text))
    kind, rest = found.groups()
    if kind == "sqlite" and rest.startswith("/") and len(rest) > 1:
        return Address(path=Path(rest[1:]))
    if kind in ("postgresql", "postgres"):
        return Address(url=_DRIVER + rest)
    raise StoreTrouble(f"a store is the path of a file or postgresql://user@host/database, not {kind}://")
