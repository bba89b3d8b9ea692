"""What is about a job but not of its board, within one transaction: message, yes, minutes, ticks, bench.

Nothing is written over: a later message or yes stands beside the earlier one and counts instead of it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from datetime import datetime
from typing import get_args

from sqlalchemy import desc, select
from sqlalchemy.orm import Session

from stopcut.job.edit_values import Refused
from stopcut.store.history import now
from stopcut.store.storable import aware, storable
from stopcut.store.tables import BenchChoiceRow, JobRow, MessageRow, MinutesRow, RevisionRow, TickRow, YesRow
from stopcut.store.values import BenchChoice, Counts, LoggedMinutes, NoSuchJob, Tick, Yes

__all__ = [
    "bench_choice",
    "count_minutes",
    "forget_minutes",
    "log_minutes",
    "logged_minutes",
    "message",
    "say_yes",
    "set_bench_choice",
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
        row.steps = json.dumps([storable(mark) for mark in logged.steps]) if logged.steps else None
        row.counts = logged.counts
        session.add(row)


def forget_minutes(session: Session, job: JobRow, id: str) -> None:
    """Take a timed letter out; one that is not there is out already."""
    row = session.get(MinutesRow, (job.id, id))
    if row is not None:
        session.delete(row)


def count_minutes(session: Session, job: JobRow, id: str, counts: Counts) -> None:
    """Note what the carver says of a timed letter; one that was taken out stays out."""
    row = session.get(MinutesRow, (job.id, id))
    if row is not None:
        row.counts = counts


def logged_minutes(session: Session, job: JobRow | None) -> tuple[LoggedMinutes, ...]:
    """The timed letters of a job, or of all, earliest first."""
    wanted = select(MinutesRow).order_by(MinutesRow.at, MinutesRow.id)
    rows = session.scalars(wanted.where(MinutesRow.job_id == job.id) if job is not None else wanted).all()
    done = {job_id: _ticked(session, job_id) for job_id in {row.job_id for row in rows}}
    return tuple(_logged(row, done[row.job_id]) for row in rows)


def _logged(row: MinutesRow, ticked: frozenset[str]) -> LoggedMinutes:
    steps = tuple(json.loads(row.steps)) if row.steps else ()
    counts: Counts = next((said for said in get_args(Counts) if said == row.counts), "judged")
    done = bool(steps) and ticked.issuperset(steps)
    at = row.line, row.letter, row.reckoned_min, row.taken_min, row.at, row.job_id
    return LoggedMinutes(row.id, *at, steps, counts, done)


def tick(session: Session, job: JobRow, ticks: Sequence[Tick]) -> None:
    """Note ticks, each once."""
    ids = [storable(one.id) for one in ticks]
    known = set(session.scalars(select(TickRow.id).where((TickRow.job_id == job.id) & TickRow.id.in_(ids))))
    for one in ticks:
        if one.id not in known:
            known.add(one.id)
            row = TickRow(job_id=job.id, id=one.id, cut_id=storable(one.mark), done=one.done, at_ms=one.at_ms)
            session.add(row)


def ticked(session: Session, job: JobRow) -> frozenset[str]:
    """The steps whose last tick, by its own clock, says done: ticks may have waited for the network and come late."""
    return _ticked(session, job.id)


def bench_choice(session: Session, job: JobRow) -> BenchChoice:
    """How a job is worked at the bench."""
    row = session.get(BenchChoiceRow, job.id)
    if row is None:
        return BenchChoice()
    return BenchChoice(row.way, row.within, row.skill, None if row.only is None else tuple(json.loads(row.only)))


def set_bench_choice(session: Session, job: JobRow, choice: BenchChoice) -> None:
    """Keep how a job is worked at the bench, in place of what was kept before."""
    row = session.get(BenchChoiceRow, job.id)
    if row is None:
        row = BenchChoiceRow(job_id=job.id)
        session.add(row)
    row.way, row.within, row.skill = storable(choice.order), storable(choice.within), storable(choice.skill)
    row.only = None if choice.only is None else json.dumps([storable(name) for name in choice.only])


def _ticked(session: Session, job_id: str) -> frozenset[str]:
    ticks = select(TickRow.cut_id, TickRow.done).where(TickRow.job_id == job_id).order_by(TickRow.at_ms, TickRow.place)
    last = {cut_id: done for cut_id, done in session.execute(ticks)}  # noqa: C416 (rows are no pairs to dict())
    return frozenset(cut_id for cut_id, done in last.items() if done)


def _digest(session: Session, job_id: str, number: int) -> str:
    where = (RevisionRow.job_id == job_id) & (RevisionRow.number == number)
    digest = session.execute(select(RevisionRow.digest).where(where)).scalar()
    if digest is None:
        raise NoSuchJob(f"There is no such state of this job: {number}.")
    return digest
