"""What a store tells and is told, as values. All times are aware, in UTC; ids are opaque text."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

from stopcut.errors import CarverError
from stopcut.job.edit_values import Edit
from stopcut.shop.tools import Hand

__all__ = [
    "BenchChoice",
    "ClassEntry",
    "Counts",
    "Head",
    "JobEntry",
    "Kind",
    "LearnerEntry",
    "LoggedMinutes",
    "NoSuchJob",
    "RevisionEntry",
    "StoreTrouble",
    "Tick",
    "Yes",
]

Kind = Literal["new", "edit", "undo", "redo"]
Counts = Literal["judged", "yes", "no"]
"""What a carver says of a timed letter: nothing, so that it counts where it is believable; that it counts; that it does
not."""


class StoreTrouble(CarverError):
    """A store that cannot be opened, read or written at present, and what would do. Nothing was changed by half."""


class NoSuchJob(CarverError):
    """A job, a revision of one, a class list or a learner that the store does not hold."""


@dataclass(frozen=True, slots=True)
class JobEntry:
    """A job as it is now. number is its latest revision's, from 1; class_list the id of the class it belongs to."""

    id: str
    title: str
    text: str
    number: int
    changed_at: datetime.datetime
    archived: bool = False
    class_list: str | None = None


@dataclass(frozen=True, slots=True)
class Head:
    """A job's latest revision, and whether one window may undo and redo. window is who made the revision."""

    number: int
    text: str
    window: str
    made_at: datetime.datetime
    can_undo: bool
    can_redo: bool


@dataclass(frozen=True, slots=True)
class RevisionEntry:
    """One revision without its text: edits, made one after the other, give its text from the one before; undo takes
    it back.

    kind "new" is a job's first revision and has no edits.
    """

    number: int
    kind: Kind
    window: str
    gesture: str
    edits: tuple[Edit, ...]
    undo: tuple[Edit, ...]
    made_at: datetime.datetime


@dataclass(frozen=True, slots=True)
class Yes:
    """The client's yes: to which revision (number, and digest of its text), who said it, when; stale if the text now
    is another."""

    number: int
    digest: str
    who: str
    made_at: datetime.datetime
    stale: bool


@dataclass(frozen=True, slots=True)
class LoggedMinutes:
    """A letter that was timed: what was reckoned for it at pace 1, and what it took; both > 0. [minutes]

    id is made by whoever logs it, so that sending it again changes nothing. line and letter count from 1. steps are the
    marks of the letter's steps, none where an earlier version timed it. job_id is filled in by the store, and done:
    whether each of these steps is ticked.
    """

    id: str
    line: int
    letter: int
    reckoned_min: float
    taken_min: float
    at: datetime.datetime
    job_id: str = ""
    steps: tuple[str, ...] = ()
    counts: Counts = "judged"
    done: bool = False


@dataclass(frozen=True, slots=True)
class Tick:
    """A step, by its mark, ticked as done or as not done after all, at_ms by the clock of whoever ticked it. [ms since
    1970]

    id is made by whoever ticks, so that sending it again changes nothing.
    """

    id: str
    mark: str
    done: bool
    at_ms: int


@dataclass(frozen=True, slots=True)
class BenchChoice:
    """How a job is worked at the bench, as plan takes it: order, within, skill, and the names of the tools fixed upon
    (None: the plan chooses)."""

    order: str = "middle"
    within: str = "strokes"
    skill: str = "practised"
    only: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class LearnerEntry:
    """One of a class as the teacher wrote it: the words for this learner's board, which may be wrong yet, the level as
    the teacher calls it, the hand that leads."""

    id: str
    name: str
    words: str
    level: str = ""
    hand: Hand = "right"


@dataclass(frozen=True, slots=True)
class ClassEntry:
    """A class: its title, the job that all its boards are made after, and its learners in their order."""

    id: str
    title: str
    job_id: str
    learners: tuple[LearnerEntry, ...]
    made_at: datetime.datetime
