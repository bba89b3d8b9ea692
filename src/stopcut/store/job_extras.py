"""What is about a job but not of its board, within one transaction: message, yes, minutes and ticks.

Nothing is written over: a later message or yes stands beside the earlier one and counts instead of it.
"""

from __future__ import annotations

import math
from datetime import datetime

from sqlalchemy import desc, select
from sqlalchemy.orm import Session

from stopcut.job.edit_values import Refused
from stopcut.store.history import now
from stopcut.store.storable import aware, storable
from stopcut.store.tables import JobRow, MessageRow, MinutesRow, RevisionRow, TickRow, YesRow
from stopcut.store.values import LoggedMinutes, NoSuchJob, Yes

__all__ = [
    "forget_minutes",
    "log_minutes",
    "logged_minutes",
    "message",
    "say_yes",
    "set_message",
    "tick",
    "ticked",
    "yes",
]


def message(session: Session, job: JobRow) -> str:
    """The client's message, "" if there is none yet."""
    last = select(MessageRow.text).where(MessageRow.job_id == job.id).order_by(desc(MessageRow.place)).limit(1)
    return session.execute(last).scalar() or ""


def set_message(session: Session, job: JobRow, text: str) -> None:
    """Keep a message beside the text as it is now."""
    if storable(text) != message(session, job):
        session.add(MessageRow(job_id=job.id, text=text, digest=_digest(session, job.id, job.number), made_at=now()))


def say_yes(session: Session, job: JobRow, number: int, who: str, at: datetime) -> None:
    """Note the client's yes to a revision. Raises NoSuchJob if there is no such revision."""
    digest = _digest(session, job.id, number)
    session.add(YesRow(job_id=job.id, number=number, digest=digest, who=storable(who), made_at=aware(at)))


def yes(session: Session, job: JobRow) -> Yes | None:
    """The client's last yes."""
    row = session.scalars(select(YesRow).where(YesRow.job_id == job.id).order_by(desc(YesRow.place)).limit(1)).first()
    if row is None:
        return None
    return Yes(row.number, row.digest, row.who, row.made_at, row.digest != _digest(session, job.id, job.number))


def log_minutes(session: Session, job: JobRow, logged: LoggedMinutes) -> None:
    """Note a timed letter, once. Raises Refused for times that are none."""
    if not all(math.isfinite(minutes) and minutes > 0 for minutes in (logged.reckoned_min, logged.taken_min)):
        raise Refused("Minutes that were timed are more than nothing.")
    if session.get(MinutesRow, (job.id, storable(logged.id))) is None:
        row = MinutesRow(job_id=job.id, id=logged.id, line=logged.line, letter=logged.letter, at=aware(logged.at))
        row.reckoned_min, row.taken_min = logged.reckoned_min, logged.taken_min
        session.add(row)


def forget_minutes(session: Session, job: JobRow, id: str) -> None:
    """Take a timed letter out; one that is not there is out already."""
    row = session.get(MinutesRow, (job.id, id))
    if row is not None:
        session.delete(row)


def logged_minutes(session: Session, job: JobRow | None) -> tuple[LoggedMinutes, ...]:
    """The timed letters of a job, or of all, earliest first."""
    wanted = select(MinutesRow).order_by(MinutesRow.at, MinutesRow.id)
    rows = session.scalars(wanted.where(MinutesRow.job_id == job.id) if job is not None else wanted)
    return tuple(
        LoggedMinutes(row.id, row.line, row.letter, row.reckoned_min, row.taken_min, row.at, row.job_id) for row in rows
    )


def tick(session: Session, job: JobRow, row: TickRow) -> None:
    """Note a tick, once."""
    known = (TickRow.job_id == job.id) & (TickRow.id == storable(row.id))
    if storable(row.cut_id) and session.execute(select(TickRow.place).where(known)).first() is None:
        row.job_id = job.id
        session.add(row)


def ticked(session: Session, job: JobRow) -> frozenset[str]:
    """The cuts whose last tick, by its own clock, says done: ticks may have waited for the network and come late."""
    ticks = select(TickRow.cut_id, TickRow.done).where(TickRow.job_id == job.id).order_by(TickRow.at_ms, TickRow.place)
    last = {cut_id: done for cut_id, done in session.execute(ticks)}  # noqa: C416 (rows are no pairs to dict())
    return frozenset(cut_id for cut_id, done in last.items() if done)


def _digest(session: Session, job_id: str, number: int) -> str:
    where = (RevisionRow.job_id == job_id) & (RevisionRow.number == number)
    digest = session.execute(select(RevisionRow.digest).where(where)).scalar()
    if digest is None:
        raise NoSuchJob(f"There is no revision {number} of this job.")
    return digest
