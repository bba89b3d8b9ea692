"""The workshop's database: every job with every revision of it, and what is kept beside.

Any thread may call a Store. Every call is one transaction: when it returns, what it did is on the disk; when it raises,
nothing was done. An edit is always made on the latest text, whatever its caller saw, and several programs may use one
store at once: an edit of one never undoes an edit of another.
"""

from __future__ import annotations

import contextlib
import datetime
import threading
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from sqlalchemy import Engine, desc, select
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from stopcut.job.edit_json import edits_of
from stopcut.job.edits import At, Edit, Refused, ReplaceText, SetKey, apply
from stopcut.store import classes, history, job_extras
from stopcut.store.address import Address
from stopcut.store.engine import WRITES, trouble
from stopcut.store.storable import storable
from stopcut.store.tables import JobRow, RevisionRow
from stopcut.store.values import (
    BenchChoice,
    ClassEntry,
    Counts,
    Head,
    JobEntry,
    LearnerEntry,
    LoggedMinutes,
    NoSuchJob,
    RevisionEntry,
    StoreTrouble,
    Tick,
    Yes,
)

__all__ = ["Store"]


MOST_NUMBER = 2**31
"""Past every revision's number: what a database's whole number holds (PostgreSQL's integer)."""


class Store:
    """A store that is open. notices are what its opening had to say to the carver; where is its place, sayable."""

    def __init__(self, engine: Engine, address: Address, notices: tuple[str, ...] = ()) -> None:
        self.notices = notices
        self.where = address.said
        self._address = address
        self._stands = _file_at(address)
        self._reads = engine
        self._writes = engine.execution_options(**{WRITES: True})
        # SQLite has one writer at a time: threads of one program take turns here, quicker than by asking again.
        self._turn: contextlib.AbstractContextManager[Any] = (
            threading.Lock() if address.path is not None else contextlib.nullcontext()
        )

    def __repr__(self) -> str:
        return f"Store({self.where!r})"

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._reads.dispose()

    def jobs(self, archived: bool = False) -> tuple[JobEntry, ...]:
        """The jobs that are archived, or those that are not; the one changed last comes first.

        A text that is damaged in the store is listed as far as it can be read; opening the job says what is wrong.
        """
        with self._reading() as session:
            rows = session.execute(
                select(JobRow, RevisionRow.text)
                .join(RevisionRow, (RevisionRow.job_id == JobRow.id) & (RevisionRow.number == JobRow.number))
                .where(JobRow.archived == archived)
                .order_by(desc(JobRow.changed_at), JobRow.id)
            )
            return tuple(_entry(job, _shown(text)) for job, text in rows)

    def job(self, job_id: str) -> JobEntry:
        """One job. Raises NoSuchJob."""
        with self._reading() as session:
            job = _job(session, job_id)
            return _entry(job, history.text_of(session, job_id, job.number))

    def new(self, text: str, window: str, class_list: str | None = None) -> JobEntry:
        """Keep a new job, of a class if need be. Its text may be a wrong job, but TOML. Raises Refused, NoSuchJob."""
        text = apply(ReplaceText(text), "").text
        with self._writing() as session:
            if class_list is not None:
                classes.class_row(session, class_list)
            return _entry(history.begin(session, text, storable(window), class_list), text)

    def duplicate(self, job_id: str, window: str, title: str | None = None) -> JobEntry:
        """Begin another job with the latest text of one, under another title. Raises NoSuchJob, Refused."""
        entry = self.job(job_id)
        wanted = title if title is not None else f"{entry.title}, copy".removeprefix(", ")
        try:
            text = apply(SetKey(At(), "title", wanted), entry.text).text
        except Refused:
            if title is not None:
                raise
            text = entry.text
        return self.new(text, window)

    def archive(self, job_id: str, archived: bool) -> None:
        """Put a job away, or take it out again. Raises NoSuchJob."""
        with self._writing() as session:
            _job(session, job_id, lock=True).archived = archived

    def head(self, job_id: str, window: str) -> Head:
        """A job's latest revision, and what this window may do. Raises NoSuchJob."""
        with self._reading() as session:
            return history.head(session, _job(session, job_id), window)

    def edit(self, job_id: str, edit: Edit, window: str, gesture: str = "") -> Head:
        """Make an edit on the latest text. A window's edits of one gesture, not "", are undone and redone together.

        Raises Refused, with nothing kept, where it can't be made; NoSuchJob.
        """
        with self._writing() as session:
            return history.edit(session, _job(session, job_id, lock=True), edit, storable(window), storable(gesture))

    def edits(self, job_id: str, edits: Sequence[Edit], window: str, gesture: str) -> Head:
        """Make several edits, all of them or none: what one movement of a hand changes in several places.

        Raises as edit does.
        """
        return self.change(job_id, lambda _: edits, window, gesture)

    def change(self, job_id: str, make: Callable[[str], Sequence[Edit]], window: str, gesture: str) -> Head:
        """Make the edits that make gives for the latest text, all of them or none. Raises as edit and make do."""
        with self._writing() as session:
            job = _job(session, job_id, lock=True)
            for one in make(history.text_of(session, job_id, job.number)):
                history.edit(session, job, one, storable(window), storable(gesture))
            return history.head(session, job, window)

    def undo(self, job_id: str, window: str) -> Head:
        """Take back this window's last gesture. A job's file brought in again is anybody's to take back.

        Raises Refused if there is none, or another's edit stands on it; NoSuchJob.
        """
        with self._writing() as session:
            return history.undo(session, _job(session, job_id, lock=True), storable(window))

    def redo(self, job_id: str, window: str) -> Head:
        """Do again what this window took back last. Raises Refused as undo does; NoSuchJob."""
        with self._writing() as session:
            return history.redo(session, _job(session, job_id, lock=True), storable(window))

    def revisions(self, job_id: str, newest: int = 50) -> tuple[RevisionEntry, ...]:
        """The newest revisions of a job, the latest first. Raises NoSuchJob."""
        with self._reading() as session:
            _job(session, job_id)
            wanted = select(RevisionRow).where(RevisionRow.job_id == job_id)
            rows = session.scalars(wanted.order_by(desc(RevisionRow.number)).limit(newest))
            return tuple(_revision(row) for row in rows)

    def text_at(self, job_id: str, number: int) -> str:
        """The text of a revision. Raises NoSuchJob if there is no such one."""
        found = None
        if 0 < number < MOST_NUMBER:
            with self._reading() as session:
                where = (RevisionRow.job_id == job_id) & (RevisionRow.number == number)
                found = session.execute(select(RevisionRow.text, RevisionRow.digest).where(where)).first()
        if found is None:
            raise NoSuchJob(f"There is no such state of this job: {number}.")
        return history.whole(*found, number)

    def message(self, job_id: str) -> str:
        """The client's message, word for word; "" if there is none. Raises NoSuchJob."""
        with self._reading() as session:
            return job_extras.message(session, _job(session, job_id))

    def set_message(self, job_id: str, text: str) -> None:
        """Keep the client's message. Raises NoSuchJob, Refused."""
        with self._writing() as session:
            job_extras.set_message(session, _job(session, job_id, lock=True), text)

    def say_yes(self, job_id: str, number: int, who: str, at: datetime.datetime) -> None:
        """Note that the client (or who speaks for them) said yes to a revision. Raises NoSuchJob, Refused."""
        with self._writing() as session:
            job_extras.say_yes(session, _job(session, job_id, lock=True), number, who, at)

    def yes(self, job_id: str) -> Yes | None:
        """The client's last yes; stale if the job's text is not the one it was said to. Raises NoSuchJob."""
        with self._reading() as session:
            return job_extras.yes(session, _job(session, job_id))

    def log_minutes(self, job_id: str, logged: LoggedMinutes) -> None:
        """Note a letter that was timed; the same id again changes nothing. Raises NoSuchJob, Refused."""
        with self._writing() as session:
            job_extras.log_minutes(session, _job(session, job_id, lock=True), logged)

    def forget_minutes(self, job_id: str, id: str) -> None:
        """Take a letter that was timed wrongly out. Raises NoSuchJob."""
        with self._writing() as session:
            job_extras.forget_minutes(session, _job(session, job_id, lock=True), id)

    def count_minutes(self, job_id: str, id: str, counts: Counts) -> None:
        """Note what the carver says of a timed letter. Raises NoSuchJob."""
        with self._writing() as session:
            job_extras.count_minutes(session, _job(session, job_id, lock=True), id, counts)

    def logged_minutes(self, job_id: str | None = None) -> tuple[LoggedMinutes, ...]:
        """The timed letters of a job, or of all jobs, earliest first. Raises NoSuchJob."""
        with self._reading() as session:
            return job_extras.logged_minutes(session, None if job_id is None else _job(session, job_id))

    def tick(self, job_id: str, ticks: Sequence[Tick]) -> None:
        """Tick steps, or take their ticks away; the same id again changes nothing. Of several the latest at_ms counts.

        Raises NoSuchJob, Refused.
        """
        with self._writing() as session:
            job_extras.tick(session, _job(session, job_id, lock=True), ticks)

    def ticked(self, job_id: str) -> frozenset[str]:
        """The marks of the steps that are done. Raises NoSuchJob."""
        with self._reading() as session:
            return job_extras.ticked(session, _job(session, job_id))

    def bench_choice(self, job_id: str) -> BenchChoice:
        """How a job is worked at the bench. Raises NoSuchJob."""
        with self._reading() as session:
            return job_extras.bench_choice(session, _job(session, job_id))

    def set_bench_choice(self, job_id: str, choice: BenchChoice) -> None:
        """Keep how a job is worked at the bench. Raises NoSuchJob, Refused."""
        with self._writing() as session:
            job_extras.set_bench_choice(session, _job(session, job_id, lock=True), choice)

    def new_class(self, title: str, text: str, window: str = "") -> ClassEntry:
        """Begin a class list, and with text the job that its learners' boards are made after. Raises Refused."""
        text = apply(ReplaceText(text), "").text
        with self._writing() as session:
            row = classes.begin_class(session, title)
            history.begin(session, text, storable(window), row.id)
            return classes.class_list(session, row)

    def class_lists(self) -> tuple[ClassEntry, ...]:
        """All class lists, the newest first."""
        with self._reading() as session:
            return classes.class_lists(session)

    def class_list(self, class_id: str) -> ClassEntry:
        """One class list. Raises NoSuchJob."""
        with self._reading() as session:
            return classes.class_list(session, classes.class_row(session, class_id))

    def rename_class(self, class_id: str, title: str) -> None:
        """Give a class list another title. Raises NoSuchJob, Refused."""
        with self._writing() as session:
            classes.class_row(session, class_id, lock=True).title = storable(title)

    def add_learner(self, class_id: str, learner: LearnerEntry) -> LearnerEntry:
        """Add a learner at the end; one with id "" gets an id. Raises NoSuchJob, Refused."""
        with self._writing() as session:
            return classes.add_learner(session, classes.class_row(session, class_id, lock=True), learner)

    def change_learner(self, class_id: str, learner: LearnerEntry) -> None:
        """Change what is noted of the learner with this id. Raises NoSuchJob, Refused."""
        with self._writing() as session:
            classes.change_learner(session, classes.class_row(session, class_id, lock=True), learner)

    def remove_learner(self, class_id: str, learner_id: str) -> None:
        """Take a learner out. Raises NoSuchJob if there is no such class."""
        with self._writing() as session:
            classes.remove_learner(session, classes.class_row(session, class_id, lock=True), learner_id)

    @contextlib.contextmanager
    def _reading(self) -> Iterator[Session]:
        try:
            with Session(self._reads) as session, session.begin():
                yield session
        except SQLAlchemyError as problem:
            raise trouble(problem, self._address) from None
        except ValueError as problem:  # a time that is none, a number that is a word
            raise self._unreadable from problem

    @contextlib.contextmanager
    def _writing(self) -> Iterator[Session]:
        try:
            with self._turn, Session(self._writes, expire_on_commit=False) as session, session.begin():
                if _file_at(self._address) != self._stands:  # what is written now would be found by nobody
                    raise StoreTrouble(
                        f"The store {self.where} is not where it was, or another lies in its place: nothing was kept. "
                        "Put it back, or start stopcut again."
                    )
                yield session
        except SQLAlchemyError as problem:
            raise trouble(problem, self._address) from None
        except ValueError as problem:
            raise self._unreadable from problem

    @property
    def _unreadable(self) -> StoreTrouble:
        return StoreTrouble(
            f"Something in the store {self.where} can't be read: it is damaged there. Keep a copy of it."
        )


def _shown(text: str) -> str:
    """A text as it may be shown whatever it holds: a damaged one has � for what is no letter."""
    return text.encode("utf-8", "replace").decode() if any("\ud800" <= c <= "\udfff" for c in text) else text


def _file_at(address: Address) -> tuple[int, int] | None:
    """Which file lies at a store's place, by device and number; None where there is none, or the store is no file."""
    try:
        found = None if address.path is None else address.path.stat()
    except OSError:
        return None
    return None if found is None else (found.st_dev, found.st_ino)


def _job(session: Session, job_id: str, lock: bool = False) -> JobRow:
    job = session.get(JobRow, job_id, with_for_update=lock or None)
    if job is None:
        raise NoSuchJob("There is no such job in the store.")
    return job


def _entry(job: JobRow, text: str) -> JobEntry:
    return JobEntry(job.id, _shown(job.title), text, job.number, job.changed_at, job.archived, job.class_list)


def _revision(row: RevisionRow) -> RevisionEntry:
    try:
        edits, undo = edits_of(row.edits), edits_of(row.undo)
    except Refused:  # damaged in the store: the revision is listed, and its text says what is wrong
        edits, undo = (), ()
    return RevisionEntry(row.number, row.kind, row.window, row.gesture, edits, undo, row.made_at)  # type: ignore[arg-type]
