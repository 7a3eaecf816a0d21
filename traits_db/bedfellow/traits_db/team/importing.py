"""Rows into a team's store: all of them, or none, or the good ones by choice.

    rows ─→ meaning ─→ staging ─→ differences ─→ one revision
                           └─ faults, with their lines

However many rows there are, a batch of them is in memory at a time. Others may read and write while rows are read and
checked; only the last step, which writes, keeps other writers waiting.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from sqlalchemy import Connection, select
from sqlalchemy.exc import IntegrityError

from bedfellow.traits_db.exchange.meaning import Defaults
from bedfellow.traits_db.exchange.rows import Row, WrongRow
from bedfellow.traits_db.team.opening import TeamStore, signed
from bedfellow.traits_db.team.plants import Names, put_new_plants
from bedfellow.traits_db.team.staging import STAGED, Outcome, Stage, not_found
from bedfellow.traits_db.team.trouble import StoreTrouble
from bedfellow.traits_db.team.values import BATCH, Difference, Entry, State, apply, differences

MOST_SHOWN = 20  # differences kept to be shown


def import_rows(
    store: TeamStore,
    rows: Iterable[Row | WrongRow],
    who: str,
    why: str,
    defaults: Defaults | None = None,
    good_rows: bool = False,
    dry_run: bool = False,
    tell: Callable[[int], None] = lambda done: None,
    kind: str = "import",
) -> Outcome:
    """Import rows as the team's own words, in one revision.

    Nothing is written where any row is at fault, unless `good_rows`; nothing ever with `dry_run`. A plant that the store
    does not know comes in where its rows give its rank. tell: told the number of rows read.
    Raises BrokenFile where the rows cannot be read to their end, StoreTrouble where the store cannot be written.
    """
    outcome = Outcome()
    with store.connected() as connection:
        stage = Stage(connection, outcome, defaults or Defaults())
        with connection.begin():
            STAGED.create(connection)
            stage.read(rows, tell)
        if outcome.wrong and not good_rows:
            outcome.refused = True
            return outcome
        outcome.new_plants = [name for name, _ in stage.new.values()]
        if dry_run:
            with connection.begin():
                _each(connection, stage, {}, outcome, lambda differing: None)
            return outcome
        try:
            with signed(connection, who, why, kind) as revision:
                numbers = put_new_plants(connection, revision, stage.new)
                _each(connection, stage, numbers, outcome, lambda differing: apply(connection, revision, differing))
        except IntegrityError as error:
            raise StoreTrouble(f"{store.address}: what the rows speak of has changed meanwhile; nothing was written") from error  # fmt: skip
        if outcome.tally.added or outcome.tally.changed or stage.new:
            outcome.revision = revision
    return outcome


def remove_value(store: TeamStore, taxon: str, trait: str, source: str, who: str, why: str) -> None:
    """Take one of the team's own values away. Raises StoreTrouble where there is none."""
    with store.writing(who, why) as (connection, revision):
        known = Names(connection).find(taxon)
        if known is None:
            raise StoreTrouble(not_found(Names(connection), taxon))
        differing = differences(connection, [Entry(known.id, known.name, trait, source, "own", None)])
        if not differing:
            raise StoreTrouble(f"there is no value of your own for {trait} of {known.name} from '{source}'; a shipped one is not taken away, but overruled by your own")  # fmt: skip
        apply(connection, revision, differing)


def _each(connection: Connection, stage: Stage, numbers: dict[int, int], outcome: Outcome, do: Callable[[Sequence[Difference]], None]) -> None:  # fmt: skip
    """What differs of the staged values, a batch at a time."""
    last = 0
    while True:
        query = select(STAGED).where(STAGED.c.id > last).order_by(STAGED.c.id).limit(BATCH)
        rows = connection.execute(query).all()
        if not rows:
            return
        last = rows[-1].id
        entries = [
            Entry(
                numbers.get(row.taxon_id, row.taxon_id), stage.names.by_id[row.taxon_id].name, row.trait, row.source,
                "own", State(row.value, row.method, row.confidence, row.date),
            )
            for row in rows
        ]  # fmt: skip
        differing = differences(connection, entries)
        outcome.shown += differing[: MOST_SHOWN - len(outcome.shown)]
        outcome.tally.count(differing, len(entries))
        do(differing)
