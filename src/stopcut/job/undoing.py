"""The undo of an edit: the smallest other edit that should give the former text back. edits.py tries it out."""

from __future__ import annotations

from stopcut.job.changing import NAMED_BY, EditedText, renumbering, shift_place
from stopcut.job.edit_values import (
    AddTable,
    At,
    Edit,
    MoveTable,
    PutKeyBack,
    PutShiftBack,
    RemoveTable,
    SetKey,
    SetShift,
    SetWords,
    Written,
)
from stopcut.job.word_readers import plain_pair
from stopcut.written import splices
from stopcut.written.places import Path

__all__ = ["small_undo"]


def small_undo(edit: Edit, old: EditedText, new: EditedText) -> Edit | None:
    """What should undo an edit that made new of old; None where only the whole text will do."""
    match edit:
        case SetKey():
            return _undo_key(edit.at, edit.key, old, new)
        case SetWords():
            return _undo_words(edit, old, new)
        case SetShift():
            return _undo_shift(edit, old, new)
        case AddTable():
            return RemoveTable(_at_of_added(edit, new))
        case RemoveTable():
            number = int(old.path(edit.at)[1]) + 1 if edit.at.table in NAMED_BY else 0
            return AddTable(edit.at.table, number, splices.block_text(old.places, old.blocks(edit.at)))
        case MoveTable():
            count = len(old.places.members(edit.at.table))
            now = min(edit.to, count) if edit.to >= 1 else count
            return MoveTable(At(edit.at.table, now, edit.at.saw), int(old.path(edit.at)[1]) + 1)
        case PutKeyBack():
            return _undo_put_back(edit, old, new)
        case PutShiftBack():
            return _undo_put_shift_back(edit, new)
        case _:
            return None


def _undo_key(at: At, key: str, old: EditedText, new: EditedText) -> Edit | None:
    """The undo of setting or taking out a key; what the table is known by may be what was changed."""
    table = old.path(at)
    path, back = (*table, key), _known_by(at, table, new)
    spot = old.places.values.get(path)
    if spot is None:
        gone = [other for other in old.places.values if other[:-1] == table and other not in new.places.values]
        if len(gone) == 1:  # a weight in whose place a stem came, or the other way round
            return SetKey(back, str(gone[0][-1]), _written(old, gone[0]))
        return SetKey(back, key, None) if path not in old.places.spots else None
    if path in new.places.values or splices.entry_of(old.places, path) is None:
        return SetKey(back, key, _written(old, path))
    return _key_back(back, path, old)


def _key_back(at: At, path: Path, old: EditedText) -> Edit | None:
    """The lines of a key that was taken out, to be put back."""
    lines = splices.entry_of(old.places, path)
    if lines is None:
        return None
    above = splices.entry_before(*lines)
    after = str(above.path[-1]) if above is not None else ""
    return PutKeyBack(at, after, old.text[lines[1].start : lines[1].end])


def _written(document: EditedText, path: Path) -> Written:
    spot = document.places.values[path]
    return Written(document.text[spot.value_start : spot.value_end])


def _known_by(at: At, path: Path, document: EditedText) -> At:
    """The same table by what it is known by in another text (its words may be what the edit changed)."""
    if at.table not in NAMED_BY:
        return at
    name = document.value((*path[:2], NAMED_BY[at.table]))
    return At(at.table, int(path[1]) + 1, name if isinstance(name, str) else "")


def _undo_words(edit: SetWords, old: EditedText, new: EditedText) -> Edit | None:
    path = old.path(edit.at)
    if (*path, "words") not in old.places.values:
        return None
    words = str(new.value((*path, "words")))
    changed = tuple((now, before) for _, before, now in renumbering(edit, old, path, words))
    return SetWords(At(edit.at.table, int(path[1]) + 1, words), _written(old, (*path, "words")), changed)


def _undo_shift(edit: SetShift, old: EditedText, new: EditedText) -> Edit | None:
    path = (*old.path(edit.at), "shifts")
    place = shift_place(old, path, edit)
    if place is None:
        return SetShift(edit.at, edit.pair, edit.nth, None)
    if edit.by is not None:
        by = (*path, place, "by")
        return SetShift(edit.at, edit.pair, edit.nth, _written(old, by)) if by in old.places.values else None
    if path not in old.places.values:
        return None
    if path not in new.places.values:
        return _key_back(edit.at, path, old)
    return PutShiftBack(edit.at, place, splices.remove_member(old.places, path, place)[1])


def _undo_put_shift_back(edit: PutShiftBack, new: EditedText) -> Edit | None:
    pair = plain_pair(new.value((*new.path(edit.at), "shifts", edit.place)))
    return None if pair is None else SetShift(edit.at, pair.letters, pair.nth, None)


def _undo_put_back(edit: PutKeyBack, old: EditedText, new: EditedText) -> Edit | None:
    path = old.path(edit.at)
    added = [at for at in new.places.values if at not in old.places.values and at[:-1] == path]
    return SetKey(edit.at, str(added[0][-1]), None) if len(added) == 1 else None


def _at_of_added(edit: AddTable, new: EditedText) -> At:
    if edit.table not in NAMED_BY:
        return At(edit.table)
    count = len(new.places.members(edit.table))
    number = edit.number if 1 <= edit.number <= count else count
    name = new.value((edit.table, number - 1, NAMED_BY[edit.table]))
    return At(edit.table, number, name if isinstance(name, str) else "")
