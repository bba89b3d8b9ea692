"""A job's revisions within one transaction: edits made on its latest text, and undo and redo window by window.

Each function is given a session in which the job's row is locked already, so that what it reads is the latest.
"""

from __future__ import annotations

import datetime
import uuid
from collections.abc import Sequence
from functools import partial
from itertools import groupby, pairwise
from typing import Final

from sqlalchemy import and_, func, not_, select, union_all, update
from sqlalchemy.orm import Session

from stopcut.errors import WrongJob
from stopcut.job.edit_json import edits_json, edits_of
from stopcut.job.edits import Edit, Refused, ReplaceText, apply, digest
from stopcut.store.tables import JobRow, RevisionRow, StepRow
from stopcut.store.undo import Change, Past, taken_back
from stopcut.store.values import Head, Kind, StoreTrouble
from stopcut.written.toml import toml_of

__all__ = ["begin", "edit", "head", "now", "redo", "text_of", "title_of", "undo", "whole"]

MOST_MADE_AGAIN: Final = (
    50  # of another's revisions, when one of one's own is taken back; our choice: a tenth of a second
)
_NOTHING: Final = edits_json(())


def begin(session: Session, text: str, window: str, class_list: str | None) -> JobRow:
    """Add a new job with its first revision."""
    at = now()
    job = JobRow(id=uuid.uuid4().hex, title=title_of(text), number=1, made_at=at, changed_at=at, archived=False)
    job.class_list = class_list
    session.add(job)
    session.flush()  # the row that the revision refers to
    row = RevisionRow(job_id=job.id, number=1, kind="new", window=window, gesture="", edits=_NOTHING, undo=_NOTHING)
    row.text, row.digest, row.made_at = text, digest(text), at
    session.add(row)
    return job


def head(session: Session, job: JobRow, window: str) -> Head:
    """The latest revision as one window sees it."""
    row = _latest(session, job)
    can_undo = _to_undo(session, job.id, window) is not None
    can_redo = _to_redo(session, job.id, window) is not None
    return Head(row.number, row.text, row.window, row.made_at, can_undo, can_redo)


def edit(session: Session, job: JobRow, change: Edit, window: str, gesture: str) -> Head:
    """Make an edit on the latest text. One that changes nothing makes no revision. Raises Refused."""
    latest = _latest(session, job)
    applied = apply(change, latest.text)
    if applied.text == latest.text:
        return head(session, job, window)
    number = job.number + 1
    shared = isinstance(change, ReplaceText)
    first = _to_undo(session, job.id, window) if gesture and not shared else None
    step = session.get(StepRow, (job.id, first)) if first is not None else None
    if step is None or step.shared or step.window != window or step.gesture != gesture:
        step = StepRow(job_id=job.id, first=number, window=window, gesture=gesture, state="done", doing=number)
        step.shared, step.undoing = shared, None
        session.add(step)
    undone = (StepRow.job_id == job.id) & (StepRow.window == window) & (StepRow.state == "undone")
    session.execute(update(StepRow).where(undone).values(state="gone"))
    return _added(session, job, "edit", step, window, Change(applied.text, (change,), (applied.undo,)))


def undo(session: Session, job: JobRow, window: str) -> Head:
    """Take back a window's last step. Raises Refused if there is none, or another's edit stands on it."""
    first = _to_undo(session, job.id, window)
    step = session.get(StepRow, (job.id, first)) if first is not None else None
    if step is None:
        raise Refused("There is nothing of yours to take back.")
    doing = (RevisionRow.step == step.first) & (RevisionRow.number >= step.doing) & (RevisionRow.kind != "undo")
    rows = session.scalars(select(RevisionRow).where(RevisionRow.job_id == job.id, doing).order_by(RevisionRow.number))
    try:
        change = _all_taken_back(session, job, step, rows.all())
    except Refused as problem:
        raise Refused(f"It can't be taken back: {problem}", problem.faults) from None
    step.state, step.undoing, step.window = "undone", job.number + 1, window
    return _added(session, job, "undo", step, window, change)


def redo(session: Session, job: JobRow, window: str) -> Head:
    """Do a window's last undone step again. Raises Refused if there is none, or another's edit stands on it."""
    first = _to_redo(session, job.id, window)
    step = session.get(StepRow, (job.id, first)) if first is not None else None
    if step is None:
        raise Refused("There is nothing of yours to do again.")
    row = session.get_one(RevisionRow, (job.id, step.undoing))
    try:
        change = _all_taken_back(session, job, step, [row])
    except Refused as problem:
        raise Refused(f"It can't be done again: {problem}", problem.faults) from None
    step.state, step.undoing, step.doing = "done", None, job.number + 1
    return _added(session, job, "redo", step, window, change)


def text_of(session: Session, job_id: str, number: int) -> str:
    """The text of a revision, which must be there. Raises StoreTrouble where it is not what was kept."""
    where = (RevisionRow.job_id == job_id) & (RevisionRow.number == number)
    text, kept = session.execute(select(RevisionRow.text, RevisionRow.digest).where(where)).one()
    return whole(text, kept, number)


def whole(text: str, kept: str, number: int) -> str:
    """A revision's text, if it is the one whose digest was kept with it. Raises StoreTrouble."""
    if digest(text) != kept:
        raise StoreTrouble(
            f"Revision {number} of this job is damaged in the store, so it is not shown. The others can be read: open "
            "the one before it, and bring that in again."
        )
    return text


def title_of(text: str) -> str:
    """The title in a job's text; "" where there is none to be read."""
    try:
        title = toml_of(text).get("title")
    except WrongJob:
        return ""
    return title if isinstance(title, str) else ""


def now() -> datetime.datetime:
    """The time, in UTC."""
    return datetime.datetime.now(datetime.UTC)


def _latest(session: Session, job: JobRow) -> RevisionRow:
    row = session.get_one(RevisionRow, (job.id, job.number))
    whole(row.text, row.digest, row.number)
    return row


def _to_undo(session: Session, job_id: str, window: str) -> int | None:
    """The step that a window would undo: the last that is its own or everybody's."""
    done = (StepRow.job_id == job_id) & (StepRow.state == "done")
    lasts = [
        select(func.max(StepRow.first).label("first")).where(done, whose)
        for whose in (StepRow.window == window, StepRow.shared)
    ]
    return session.execute(select(func.max(union_all(*lasts).subquery().c.first))).scalar()


def _to_redo(session: Session, job_id: str, window: str) -> int | None:
    """The step that a window would redo: the first of those it undid, as the last is undone first."""
    undone = (StepRow.job_id == job_id) & (StepRow.window == window) & (StepRow.state == "undone")
    return session.execute(select(func.min(StepRow.first)).where(undone)).scalar()


def _added(session: Session, job: JobRow, kind: Kind, step: StepRow, window: str, change: Change) -> Head:
    """Put a change on top as a new revision."""
    at = now()
    number = job.number + 1
    row = RevisionRow(job_id=job.id, number=number, kind=kind, window=window, gesture=step.gesture, step=step.first)
    row.edits, row.undo = edits_json(change.edits), edits_json(change.undo)
    row.text, row.digest, row.made_at = change.text, digest(change.text), at
    session.add(row)
    job.number, job.title, job.changed_at = number, title_of(change.text), at
    session.flush()
    can_undo = kind != "undo" or _to_undo(session, job.id, window) is not None
    can_redo = kind != "edit" and _to_redo(session, job.id, window) is not None
    return Head(number, change.text, window, at, can_undo, can_redo)


def _all_taken_back(session: Session, job: JobRow, step: StepRow, rows: Sequence[RevisionRow]) -> Change:
    """Revisions of one step taken back from the latest text, last first. Raises Refused."""
    latest = _latest(session, job)
    change = Change(latest.text, (), ())
    seen = latest.digest
    for run in reversed(_runs(rows)):
        if seen == run[-1].digest:  # nobody came between: back to the text before the run at one go
            before = text_of(session, job.id, run[0].number - 1)
            back = Change(before, _undo_of(run), _edits_of(run))
            change = change.then(back)
        else:
            for row in reversed(run):
                before = text_of(session, job.id, row.number - 1)
                past = Past(before, row.text, edits_of(row.edits), edits_of(row.undo))
                change = change.then(taken_back(past, change.text, partial(_since, session, step, row)))
        seen = digest(change.text)
    return change


def _runs(rows: Sequence[RevisionRow]) -> list[list[RevisionRow]]:
    """Revisions in runs without another's between, oldest first."""
    breaks = [0] + [int(later.number != row.number + 1) for row, later in pairwise(rows)]
    sums = [sum(breaks[: place + 1]) for place in range(len(rows))]
    return [[row for _, row in run] for _, run in groupby(zip(sums, rows, strict=True), key=lambda pair: pair[0])]


def _edits_of(run: Sequence[RevisionRow]) -> tuple[Edit, ...]:
    return tuple(edit for row in run for edit in edits_of(row.edits))


def _undo_of(run: Sequence[RevisionRow]) -> tuple[Edit, ...]:
    return tuple(edit for row in reversed(run) for edit in edits_of(row.undo))


def _since(session: Session, step: StepRow, row: RevisionRow) -> tuple[Edit, ...] | None:
    """Everything made after a revision, save what belongs to its own step or was undone again; None if it is much."""
    undone = and_(StepRow.first > row.number, StepRow.state != "done")
    made = (
        select(RevisionRow)
        .join(StepRow, and_(StepRow.job_id == RevisionRow.job_id, StepRow.first == RevisionRow.step))
        .where(RevisionRow.job_id == row.job_id, RevisionRow.number > row.number)
        .where(RevisionRow.step != step.first, not_(undone))
        .order_by(RevisionRow.number)
        .limit(MOST_MADE_AGAIN + 1)
    )
    rows = session.scalars(made).all()
    return None if len(rows) > MOST_MADE_AGAIN else _edits_of(rows)
