"""The store's tables, and which versions of them this program knows.

A change to a table is a new file in migrations/versions and a new name at the end of VERSIONS; tests hold tables and
migrations to one another.
"""

from __future__ import annotations

import datetime
from typing import Any, Final

from sqlalchemy import BigInteger, DateTime, Dialect, ForeignKey, Index, MetaData, Text, TypeDecorator, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

__all__ = [
    "VERSIONS",
    "VERSION_TABLE",
    "Base",
    "BenchChoiceRow",
    "ClassRow",
    "JobRow",
    "LearnerRow",
    "MessageRow",
    "MinutesRow",
    "RevisionRow",
    "StepRow",
    "TickRow",
    "UtcTime",
    "YesRow",
]

VERSIONS: Final = ("0001", "0002", "0003", "0004")
"""Every version of the tables, oldest first."""

VERSION_TABLE: Final = "stopcut_version"
"""Where a store says its version; a name of our own, as a PostgreSQL database may hold other programs' tables too."""


class UtcTime(TypeDecorator[datetime.datetime]):
    """An aware time in UTC, in whatever way the database keeps times."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime.datetime | None, dialect: Dialect) -> datetime.datetime | None:
        """To the database. Raises ValueError for a time without its zone."""
        if value is not None and value.tzinfo is None:
            raise ValueError("a time must say its zone")
        return value.astimezone(datetime.UTC) if value is not None else None

    def process_result_value(self, value: Any | None, dialect: Dialect) -> datetime.datetime | None:
        """From the database; SQLite does not keep zones."""
        if value is None:
            return None
        aware: datetime.datetime = value.replace(tzinfo=datetime.UTC) if value.tzinfo is None else value
        return aware.astimezone(datetime.UTC)


class Base(DeclarativeBase):
    """The root of all tables; text is of any length, times are UTC."""

    type_annotation_map = {str: Text, datetime.datetime: UtcTime}  # noqa: RUF012 (SQLAlchemy's own way)
    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class JobRow(Base):
    """A job; number is its latest revision's. title is the text's own, kept beside it for lists."""

    __tablename__ = "jobs"

    id: Mapped[str] = mapped_column(primary_key=True)
    title: Mapped[str]
    number: Mapped[int]
    made_at: Mapped[datetime.datetime]
    changed_at: Mapped[datetime.datetime]
    archived: Mapped[bool] = mapped_column(default=False)
    class_list: Mapped[str | None] = mapped_column(ForeignKey("class_lists.id"))


class RevisionRow(Base):
    """One revision: the whole text, the edits that made it and those that take it back (JSON), whose it is."""

    __tablename__ = "revisions"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    window: Mapped[str]
    gesture: Mapped[str]
    step: Mapped[int | None]
    edits: Mapped[str]
    undo: Mapped[str]
    digest: Mapped[str]
    text: Mapped[str] = mapped_column(deferred=True)
    made_at: Mapped[datetime.datetime]

    __table_args__ = (Index(None, "job_id", "step"),)


class StepRow(Base):
    """What one undo takes back: the revisions of one gesture, named by the first of them.

    state is "done", "undone" (may be redone by window) or "gone" (undone, then something else was done). A shared step
    may be undone from any window: a file brought in again changes the job under everybody. doing is the first of the
    revisions that count as the doing of it now; undoing the revision that took it back, while it is undone.
    """

    __tablename__ = "steps"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id"), primary_key=True)
    first: Mapped[int] = mapped_column(primary_key=True)
    window: Mapped[str]
    gesture: Mapped[str]
    shared: Mapped[bool]
    state: Mapped[str]
    doing: Mapped[int]
    undoing: Mapped[int | None]

    __table_args__ = (
        Index(None, "job_id", "window", "state", "first"),
        Index(None, "job_id", "shared", "state", "first"),
    )


class MessageRow(Base):
    """The client's message, word for word; the last of a job's counts. digest is of the text it was kept beside."""

    __tablename__ = "messages"

    place: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id"), index=True)
    text: Mapped[str]
    digest: Mapped[str]
    made_at: Mapped[datetime.datetime]


class YesRow(Base):
    """The client's yes to a revision; the last of a job's counts."""

    __tablename__ = "yeses"

    place: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id"), index=True)
    number: Mapped[int]
    digest: Mapped[str]
    who: Mapped[str]
    made_at: Mapped[datetime.datetime]


class MinutesRow(Base):
    """A letter that was timed; id is made by whoever logged it.

    steps are the marks of its steps (JSON), None where an earlier version timed it; counts is what the carver said of
    it, None for nothing.
    """

    __tablename__ = "minutes"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id"), primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    line: Mapped[int]
    letter: Mapped[int]
    reckoned_min: Mapped[float]
    taken_min: Mapped[float]
    at: Mapped[datetime.datetime]
    steps: Mapped[str | None]
    counts: Mapped[str | None]


class TickRow(Base):
    """A step ticked as done, or not done after all; id is made by whoever ticked it, at_ms when by their clock.

    cut_id is the step's mark. An earlier version ticked single cuts, whose marks no step has.
    """

    __tablename__ = "ticks"

    place: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id"))
    id: Mapped[str]
    cut_id: Mapped[str]
    done: Mapped[bool]
    at_ms: Mapped[int] = mapped_column(BigInteger)

    __table_args__ = (UniqueConstraint("job_id", "id"),)


class BenchChoiceRow(Base):
    """How a job is worked at the bench; only are the tools fixed upon (JSON), None where the plan chooses."""

    __tablename__ = "bench_choices"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id"), primary_key=True)
    way: Mapped[str]
    within: Mapped[str]
    skill: Mapped[str]
    only: Mapped[str | None]


class ClassRow(Base):
    """A class; the first job that names it is the board its learners' boards are made after."""

    __tablename__ = "class_lists"

    id: Mapped[str] = mapped_column(primary_key=True)
    title: Mapped[str]
    made_at: Mapped[datetime.datetime]


class LearnerRow(Base):
    """One of a class, in the order of place."""

    __tablename__ = "learners"

    place: Mapped[int] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(unique=True)
    class_list: Mapped[str] = mapped_column(ForeignKey("class_lists.id"), index=True)
    name: Mapped[str]
    words: Mapped[str]
    level: Mapped[str]
    hand: Mapped[str]
