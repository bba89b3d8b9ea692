"""Jobs with every revision, and the steps that undo and redo go by."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from stopcut.store.tables import UtcTime

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("made_at", UtcTime, nullable=False),
        sa.Column("changed_at", UtcTime, nullable=False),
        sa.Column("archived", sa.Boolean, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
    )
    op.create_table(
        "revisions",
        sa.Column("job_id", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("window", sa.Text, nullable=False),
        sa.Column("gesture", sa.Text, nullable=False),
        sa.Column("step", sa.Integer),
        sa.Column("edits", sa.Text, nullable=False),
        sa.Column("undo", sa.Text, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("made_at", UtcTime, nullable=False),
        sa.PrimaryKeyConstraint("job_id", "number", name="pk_revisions"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_revisions_job_id"),
    )
    op.create_index("ix_revisions_job_id_step", "revisions", ["job_id", "step"])
    op.create_table(
        "steps",
        sa.Column("job_id", sa.Text, nullable=False),
        sa.Column("first", sa.Integer, nullable=False),
        sa.Column("window", sa.Text, nullable=False),
        sa.Column("gesture", sa.Text, nullable=False),
        sa.Column("shared", sa.Boolean, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("doing", sa.Integer, nullable=False),
        sa.Column("undoing", sa.Integer),
        sa.PrimaryKeyConstraint("job_id", "first", name="pk_steps"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_steps_job_id"),
    )
    op.create_index("ix_steps_job_id_window_state_first", "steps", ["job_id", "window", "state", "first"])
    op.create_index("ix_steps_job_id_shared_state_first", "steps", ["job_id", "shared", "state", "first"])
