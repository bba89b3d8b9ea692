"""Class lists within one transaction: a title, the job that all boards are made after, and the learners.

Learners are added, changed and taken out one at a time, by their ids, so that two windows never undo one another.
"""

from __future__ import annotations

import uuid

from sqlalchemy import delete, desc, select
from sqlalchemy.orm import Session

from stopcut.job.edit_values import Refused
from stopcut.store.history import now
from stopcut.store.storable import storable
from stopcut.store.tables import ClassRow, JobRow, LearnerRow
from stopcut.store.values import ClassEntry, LearnerEntry, NoSuchJob

__all__ = ["add_learner", "begin_class", "change_learner", "class_list", "class_lists", "class_row", "remove_learner"]


def begin_class(session: Session, title: str) -> ClassRow:
    """A new class, without learners."""
    row = ClassRow(id=uuid.uuid4().hex, title=storable(title), made_at=now())
    session.add(row)
    session.flush()  # the row that its job refers to
    return row


def class_row(session: Session, class_id: str, lock: bool = False) -> ClassRow:
    """A class's row, locked for changing if need be. Raises NoSuchJob."""
    row = session.get(ClassRow, class_id, with_for_update=lock or None)
    if row is None:
        raise NoSuchJob("There is no such class list in the store.")
    return row


def class_list(session: Session, row: ClassRow) -> ClassEntry:
    """A class with its learners."""
    jobs = select(JobRow.id).where(JobRow.class_list == row.id).order_by(JobRow.made_at, JobRow.id).limit(1)
    learners = session.scalars(select(LearnerRow).where(LearnerRow.class_list == row.id).order_by(LearnerRow.place))
    return ClassEntry(
        row.id, row.title, session.execute(jobs).scalar_one(), tuple(map(_learner, learners)), row.made_at
    )


def class_lists(session: Session) -> tuple[ClassEntry, ...]:
    """All classes, the newest first."""
    rows = session.scalars(select(ClassRow).order_by(desc(ClassRow.made_at), ClassRow.id))
    return tuple(class_list(session, row) for row in rows.all())


def add_learner(session: Session, row: ClassRow, learner: LearnerEntry) -> LearnerEntry:
    """Add a learner at the end; one without an id gets one. Adding the same again changes nothing."""
    made = LearnerEntry(learner.id or uuid.uuid4().hex, learner.name, learner.words, learner.level, learner.hand)
    if session.execute(select(LearnerRow.place).where(LearnerRow.id == storable(made.id))).first() is None:
        session.add(_filled(LearnerRow(id=made.id, class_list=row.id), made))
    return made


def change_learner(session: Session, row: ClassRow, learner: LearnerEntry) -> None:
    """Change what is noted of a learner. Raises NoSuchJob."""
    where = (LearnerRow.id == learner.id) & (LearnerRow.class_list == row.id)
    found = session.scalars(select(LearnerRow).where(where)).first()
    if found is None:
        raise NoSuchJob("This learner is not in the class list any more.")
    _filled(found, learner)


def remove_learner(session: Session, row: ClassRow, learner_id: str) -> None:
    """Take a learner out; one who is not there is out already."""
    session.execute(delete(LearnerRow).where(LearnerRow.id == learner_id, LearnerRow.class_list == row.id))


def _filled(row: LearnerRow, learner: LearnerEntry) -> LearnerRow:
    if learner.hand not in ("right", "left"):
        raise Refused("The hand that leads is the right or the left.")
    row.name, row.words, row.level = storable(learner.name), storable(learner.words), storable(learner.level)
    row.hand = learner.hand
    return row


def _learner(row: LearnerRow) -> LearnerEntry:
    return LearnerEntry(row.id, row.name, row.words, row.level, "left" if row.hand == "left" else "right")
