"""What is kept beside a job: the client's message and yes, minutes that were timed, cuts that were ticked."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from stopcut.store.tables import UtcTime

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "messages",
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("job_id", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("made_at", UtcTime, nullable=False),
        sa.PrimaryKeyConstraint("place", name="pk_messages"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_messages_job_id"),
    )
    op.create_index("ix_messages_job_id", "messages", ["job_id"])
    op.create_table(
        "yeses",
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("job_id", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("made_at", UtcTime, nullable=False),
        sa.PrimaryKeyConstraint("place", name="pk_yeses"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_yeses_job_id"),
    )
    op.create_index("ix_yeses_job_id", "yeses", ["job_id"])
    op.create_table(
        "minutes",
        sa.Column("job_id", sa.Text, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("line", sa.Integer, nullable=False),
        sa.Column("letter", sa.Integer, nullable=False),
        sa.Column("reckoned_min", sa.Double, nullable=False),
        sa.Column("taken_min", sa.Double, nullable=False),
        sa.Column("at", UtcTime, nullable=False),
        sa.PrimaryKeyConstraint("job_id", "id", name="pk_minutes"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_minutes_job_id"),
    )
    op.create_table(
        "ticks",
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("job_id", sa.Text, nullable=False),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("cut_id", sa.Text, nullable=False),
        sa.Column("done", sa.Boolean, nullable=False),
        sa.Column("at_ms", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("place", name="pk_ticks"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_ticks_job_id"),
        sa.UniqueConstraint("job_id", "id", name="uq_ticks_job_id_id"),
    )
