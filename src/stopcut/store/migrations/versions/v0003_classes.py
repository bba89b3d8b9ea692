"""Class lists with their learners; a job may belong to one."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from stopcut.store.tables import UtcTime

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the tables, and the column that says which class a job belongs to."""
    op.create_table(
        "class_lists",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("made_at", UtcTime, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_class_lists"),
    )
    op.create_table(
        "learners",
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("class_list", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("words", sa.Text, nullable=False),
        sa.Column("level", sa.Text, nullable=False),
        sa.Column("hand", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("place", name="pk_learners"),
        sa.UniqueConstraint("id", name="uq_learners_id"),
        sa.ForeignKeyConstraint(["class_list"], ["class_lists.id"], name="fk_learners_class_list"),
    )
    op.create_index("ix_learners_class_list", "learners", ["class_list"])
    # Written out, as Alembic does not add a column with its constraint in one statement, and SQLite takes no other.
    op.execute("ALTER TABLE jobs ADD COLUMN class_list TEXT CONSTRAINT fk_jobs_class_list REFERENCES class_lists (id)")
