"""What Alembic runs to bring a store to the present form, on the connection that the caller opened."""

from __future__ import annotations

from alembic import context

from bedfellow.traits_db.team.tables import Base

connection = context.config.attributes["connection"]
# SQLite can take back changes of tables too: an upgrade that is killed leaves the store as it was.
context.configure(connection=connection, target_metadata=Base.metadata, transactional_ddl=True)
with context.begin_transaction():
    context.run_migrations()
