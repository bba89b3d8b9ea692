"""Edits: every change to a job, by whatever screen or command, is one of these applied to its text.

`apply` is pure. It gives the new text, in which everything but what the edit names stands as the carver wrote it, and
the edit that undoes it: applied to the new text, that gives the former text back to the last character. An edit on a
line carries the line's number and the words it saw, so that it still finds its line when others have come or gone;
where it can't be sure, it is refused with a reason. No edit makes a wrong job out of a right one.

A shift by hand belongs to a pair of letters; a stroke's name and a widening belong to a letter. When a line's words are
changed these are renumbered with them; one whose letters are gone stays in the job, belongs to none and is reported
when the board is set out (see pairs.renumbered).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from stopcut.errors import Fault, WrongJob
from stopcut.job.changing import EditedText, changed, digest
from stopcut.job.edit_values import (
    AddTable,
    At,
    Edit,
    MoveTable,
    PutKeyBack,
    PutShiftBack,
    PutTextBack,
    Refused,
    RemoveTable,
    ReplaceText,
    SetKey,
    SetShift,
    SetWords,
    Written,
)
from stopcut.job.read import parse_job
from stopcut.job.undoing import small_undo
from stopcut.written.toml import MOST_BYTES, toml_of

__all__ = [
    "AddTable",
    "Applied",
    "At",
    "Edit",
    "MoveTable",
    "PutKeyBack",
    "PutShiftBack",
    "PutTextBack",
    "Refused",
    "RemoveTable",
    "ReplaceText",
    "SetKey",
    "SetShift",
    "SetWords",
    "Written",
    "apply",
    "digest",
]


@dataclass(frozen=True, slots=True)
class Applied:
    """An edit made: the new text, and the edit that gives the former text back."""

    text: str
    undo: Edit


def apply(edit: Edit, text: str) -> Applied:
    """Make an edit. Raises Refused, with nothing changed, where it does not apply or would spoil the job."""
    if isinstance(edit, SetKey) and edit.at.table == "line" and edit.key == "words":
        edit = _as_words(edit)
    new = changed(edit, text)
    whole = PutTextBack(text, digest(new))
    if isinstance(edit, PutTextBack):
        return Applied(new, whole)
    _refuse_spoiling(text, new)
    # A small undo is held to the same rule, so what made a wrong job right is undone by the whole text.
    small = None if _faults(text) and not _faults(new) else _small_undo(edit, text, new)
    return Applied(new, small or whole)


def _small_undo(edit: Edit, text: str, new: str) -> Edit | None:
    """The small edit that gives the former text back, tried out; None where there is none."""
    if isinstance(edit, ReplaceText):
        return None
    small = small_undo(edit, EditedText(text), EditedText(new))
    try:
        return small if small is not None and changed(small, new) == text else None
    except Refused:
        return None


def _as_words(edit: SetKey) -> SetWords:
    if isinstance(edit.value, str | Written):
        return SetWords(edit.at, edit.value)
    raise Refused("A line has words: text in quotes, or take the line out.")


def _refuse_spoiling(text: str, new: str) -> None:
    """Refuse a text that is no TOML, and one that makes a wrong job out of a right one."""
    try:
        size = len(new.encode())
    except UnicodeEncodeError:
        raise Refused("A character in it can't be kept in a file.") from None
    if size > MOST_BYTES:
        raise Refused(f"The job would grow beyond {MOST_BYTES // 1000} kB.")
    try:
        toml_of(new)
    except WrongJob as wrong:
        raise Refused(f"The job could not be read any more: {wrong}", wrong.faults) from None
    faults = _faults(new)
    if faults and not _faults(text):
        raise Refused("The job would be wrong: " + "; ".join(str(fault) for fault in faults), faults)


@lru_cache(maxsize=8)
def _faults(text: str) -> tuple[Fault, ...]:
    try:
        parse_job(text)
    except WrongJob as wrong:
        return wrong.faults
    return ()
