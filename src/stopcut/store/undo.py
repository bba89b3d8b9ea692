"""Taking back a revision when others may have been made since: only what it did, nothing of anybody else's.

Where the text is still as the revision left it, the former text comes back exactly. Otherwise the small edits that undo
it are tried on the latest text, and they stand if they took back no more than the revision did: if the revision's own
edits, made again, give the latest text, or if what came since, made without the revision, gives the same. Failing that,
the text is as if the revision had never been made, found by making again what came since, or by laying the changes
together line by line. If those meet, another's edit stands on this one, and it is refused.

Redoing is the same: it takes an undo back.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from stopcut.errors import WrongJob
from stopcut.job.edits import Edit, Refused, ReplaceText, apply
from stopcut.store.merging import merged
from stopcut.written.toml import toml_of

__all__ = ["Change", "Past", "made", "taken_back"]


@dataclass(frozen=True, slots=True)
class Past:
    """A revision: the texts before and after it, the edits that made it, and those that take it back, in order."""

    before: str
    after: str
    edits: tuple[Edit, ...]
    undo: tuple[Edit, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A new text, the edits that give it from the old one, and those that take it back, in order."""

    text: str
    edits: tuple[Edit, ...]
    undo: tuple[Edit, ...]

    def then(self, other: Change) -> Change:
        """Both changes as one, this one first."""
        return Change(other.text, self.edits + other.edits, other.undo + self.undo)


def taken_back(past: Past, latest: str, since: Callable[[], tuple[Edit, ...] | None]) -> Change:
    """Take a revision back from the latest text. since gives the edits made after it, or None if they are too many.

    Raises Refused if another's edit stands on it.
    """
    if latest == past.after:
        return Change(past.before, past.undo, past.edits)
    if len(past.edits) > 1:  # one at a time, so that all of it is taken back or nothing
        change = Change(latest, (), ())
        for part in reversed(_parts(past)):
            change = change.then(taken_back(part, change.text, since))
        return change
    small = made(past.undo, latest)
    if small is not None and _gives(past.edits, small.text, latest):
        return small
    later = since()
    without = made(later, past.before) if later is not None else None
    if small is not None and without is not None and _alike(small.text, without.text):
        return small
    lines = (text.splitlines(keepends=True) for text in (past.after, latest, past.before))
    for text in (without.text if without is not None else None, merged(*lines)):
        if text is not None and text != latest:
            whole = made((ReplaceText(text),), latest)
            if whole is not None:
                return whole
    raise Refused("what it changed has been changed again from another window since. Change it by hand.")


def made(edits: tuple[Edit, ...], text: str) -> Change | None:
    """The change that edits make, one after the other; None if one of them is refused."""
    undo: tuple[Edit, ...] = ()
    for edit in edits:
        try:
            applied = apply(edit, text)
        except Refused:
            return None
        text, undo = applied.text, (applied.undo, *undo)
    return Change(text, edits, undo)


def _parts(past: Past) -> list[Past]:
    """The edits of a revision as revisions of their own."""
    parts = []
    text = past.before
    for edit in past.edits:
        applied = apply(edit, text)
        parts.append(Past(text, applied.text, (edit,), (applied.undo,)))
        text = applied.text
    return parts


def _gives(edits: tuple[Edit, ...], text: str, wanted: str) -> bool:
    change = made(edits, text)
    return change is not None and _alike(change.text, wanted)


def _alike(one: str, other: str) -> bool:
    """Whether two texts say the same, whatever the order of keys and shifts."""
    if one == other:
        return True
    try:
        return bool(_sorted(toml_of(one)) == _sorted(toml_of(other)))
    except WrongJob:
        return False


def _sorted(value: Any) -> Any:
    if isinstance(value, dict):
        return {
            key: sorted(map(_told, member)) if key == "shifts" and isinstance(member, list) else _sorted(member)
            for key, member in value.items()
        }
    return [_sorted(member) for member in value] if isinstance(value, list) else value


def _told(shift: Any) -> str:
    return repr(sorted(shift.items()) if isinstance(shift, dict) else shift)
