"""How a store of an earlier version becomes one of this: Alembic's files."""
