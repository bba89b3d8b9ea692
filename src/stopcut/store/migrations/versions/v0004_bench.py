"""Steps of a timed letter and what the carver says of its time; how a job is worked at the bench."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make the columns and the table."""
    op.add_column("minutes", sa.Column("steps", sa.Text))
    op.add_column("minutes", sa.Column("counts", sa.Text))
    op.create_table(
        "bench_choices",
        sa.Column("job_id", sa.Text, nullable=False),
        sa.Column("way", sa.Text, nullable=False),
        sa.Column("within", sa.Text, nullable=False),
        sa.Column("skill", sa.Text, nullable=False),
        sa.Column("only", sa.Text),
        sa.PrimaryKeyConstraint("job_id", name="pk_bench_choices"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_bench_choices_job_id"),
    )
