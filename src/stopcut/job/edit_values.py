"""Edits as values: the few ways in which a job may be changed. edits.py applies them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from stopcut.errors import CarverError, Fault
from stopcut.job.pairs import Pair
from stopcut.written.literals import Value, literal

__all__ = [
    "AddTable",
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
]


class Refused(CarverError):
    """An edit that cannot be made, and why. faults holds what would be wrong with the job, where that is the reason."""

    def __init__(self, why: str, faults: tuple[Fault, ...] = ()) -> None:
        super().__init__(why)
        self.faults = faults


@dataclass(frozen=True, slots=True)
class At:
    """A table of the job: At() is the top of it, At("board") a table, At("line", 2, "Allotment Society") a line.

    number counts from 1; saw is what told the table from the others when the edit was made: a line's words, an
    ornament's file, what is to be avoided.
    """

    table: str = ""
    number: int = 0
    saw: str = ""


@dataclass(frozen=True, slots=True)
class Written:
    """A value exactly as TOML writes it, quotes and all."""

    toml: str


@dataclass(frozen=True, slots=True)
class SetKey:
    """Set one key of a table; None takes it out, with the comment on its line.

    A weight takes the place of a stem in the same table, and the other way round. A line's words are set as SetWords
    sets them.
    """

    at: At
    key: str
    value: Value | Written | None


@dataclass(frozen=True, slots=True)
class SetWords:
    """Give a line other words. Its shifts are renumbered; renumber overrules that for single pairs (an undo's need)."""

    at: At
    words: str | Written
    renumber: tuple[tuple[Pair, Pair], ...] = ()


@dataclass(frozen=True, slots=True)
class SetShift:
    """Open or close one gap by hand: by is a length or a percentage as the document writes it; None takes it away."""

    at: At
    pair: str
    nth: int
    by: Value | Written | None


@dataclass(frozen=True, slots=True)
class AddTable:
    """Put in a table as TOML writes it: a [[line]] as the number-th line, an [[ornament]], a [border].

    A number beyond the last puts it at the end.
    """

    table: str
    number: int
    toml: str

    @classmethod
    def line(cls, number: int, words: str) -> AddTable:
        """A new line of words. Raises Refused if they hold what no file can."""
        try:
            return cls("line", number, f"\n[[line]]\nwords = {literal(words)}\n")
        except ValueError as problem:
            raise Refused(str(problem)) from None


@dataclass(frozen=True, slots=True)
class RemoveTable:
    """Take a table out, with the comments directly above it."""

    at: At


@dataclass(frozen=True, slots=True)
class MoveTable:
    """Make a line the to-th; likewise an ornament or a thing to avoid."""

    at: At
    to: int


@dataclass(frozen=True, slots=True)
class ReplaceText:
    """Put another document in place of this one, as when a file is brought in again."""

    text: str


@dataclass(frozen=True, slots=True)
class PutKeyBack:
    """The undo of taking a key out: its lines as they were, after the key that was above them ("" for the first)."""

    at: At
    after: str
    lines: str


@dataclass(frozen=True, slots=True)
class PutShiftBack:
    """The undo of taking a shift away: the place-th of the line's shifts from 0, as written, with its comma."""

    at: At
    place: int
    piece: str


@dataclass(frozen=True, slots=True)
class PutTextBack:
    """The undo of what no smaller edit undoes: the former text, as long as the text is still the one of this digest."""

    text: str
    saw: str


Edit: TypeAlias = (
    SetKey
    | SetWords
    | SetShift
    | AddTable
    | RemoveTable
    | MoveTable
    | ReplaceText
    | PutKeyBack
    | PutShiftBack
    | PutTextBack
)
