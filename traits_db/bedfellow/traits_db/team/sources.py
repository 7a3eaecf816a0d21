"""Works that a team's values can name as their source."""

from __future__ import annotations

from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.team.opening import TeamStore
from bedfellow.traits_db.team.plants import put_row
from bedfellow.traits_db.team.tables import table
from bedfellow.traits_db.team.trouble import StoreTrouble


def put_source(store: TeamStore, key: str, title: str, author: str, date: str, who: str, why: str) -> bool:
    """Add a work, or mend what is said of it; whether anything changed. Raises StoreTrouble."""
    key, title = key.strip(), title.strip()
    if key == MEMORY:
        raise StoreTrouble(f"'{MEMORY}' is no work: it marks what nobody has looked up")
    if not key or not title or not all(text.isprintable() for text in (key, title, author, date)):
        raise StoreTrouble("a source has a key and a title, without control characters")
    with store.writing(who, why) as (connection, revision):
        state = {"title": title, "author": author, "date": date}
        return put_row(connection, revision, "source", table("source"), {"key": key}, state, item=key)
