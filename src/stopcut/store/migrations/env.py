"""Alembic's environment: it works on the connection that it is handed, so that it needs no settings file."""

from __future__ import annotations

from alembic import context

from stopcut.store.tables import VERSION_TABLE, Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    version_table=VERSION_TABLE,
    transactional_ddl=True,  # SQLite can, if it is told so: half a migration never stays
)
context.run_migrations()
