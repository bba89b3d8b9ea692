"""What each edit makes of a text: its table found, its surgery done. Whether that may stand, edits.py decides."""

from __future__ import annotations

import hashlib
import unicodedata
from typing import Any, Final

from stopcut.errors import WrongJob
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
from stopcut.job.pairs import Pair, letters_of, renumbered
from stopcut.job.word_readers import plain_letter, plain_pair
from stopcut.written import splices
from stopcut.written.literals import Value, literal, value_of
from stopcut.written.places import Path, Places, TextBlock, find_places
from stopcut.written.toml import toml_of

__all__ = ["NAMED_BY", "EditedText", "changed", "digest", "renumbering", "shift_place"]

NAMING: Final = {"shifts": plain_pair, "strokes": plain_letter, "widen": plain_letter}
"""The keys of a line whose members belong to a pair or a letter of its words."""
NAMED_BY: Final = {"line": "words", "ornament": "file", "avoid": "what"}
_INSTEAD_OF: Final = {"weight": "stem", "stem": "weight"}
_CALLED: Final = {"line": "line", "ornament": "ornament", "avoid": "place to avoid"}


def changed(edit: Edit, text: str) -> str:
    """The text an edit makes, not yet looked at."""
    match edit:
        case ReplaceText():
            return edit.text
        case PutTextBack():
            if digest(text) != edit.saw:
                raise Refused("The job has been changed since, so the former text can't be put back in one piece.")
            return edit.text
    document = EditedText(text)
    match edit:
        case SetKey():
            return _set_key(edit, document)
        case SetWords():
            return _set_words(edit, document)
        case SetShift():
            return _set_shift(edit, document)
        case AddTable():
            _one_table(edit)
            return splices.add_block(document.places, edit.table, edit.number, edit.toml)
        case RemoveTable():
            return splices.cut_blocks(document.places, document.blocks(edit.at))
        case MoveTable():
            return _move(edit, document)
        case PutKeyBack():
            return _put_back(edit, document)
        case PutShiftBack():
            return _put_shift_back(edit, document)


def digest(text: str) -> str:
    """A short name of a text by its content: what the undo of a whole text checks, and others may say a text by."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


class EditedText:
    """A text read for editing: its data and its places."""

    def __init__(self, text: str) -> None:
        try:
            self.data: dict[str, Any] = toml_of(text)
        except WrongJob as wrong:
            why = f"The job file must be mended by hand first: {wrong}"
            raise Refused(why, wrong.faults) from None
        self.text = text
        self.places: Places = find_places(text)

    def path(self, at: At) -> Path:
        """Where a table is now. Refuses if that can't be told."""
        if at.table not in NAMED_BY:
            return (at.table,) if at.table else ()
        named = self._names(at.table)
        if 1 <= at.number <= len(named) and named[at.number - 1] == at.saw:
            return (at.table, at.number - 1)
        same = [place for place, name in enumerate(named) if name == at.saw]
        if len(same) == 1:
            return (at.table, same[0])
        called = _CALLED[at.table]
        if same:
            raise Refused(
                f'{called.capitalize()} {at.number} has changed, and there are {len(same)} of "{at.saw}": which?'
            )
        raise Refused(f'There is no {called} "{at.saw}" any more.')

    def line(self, at: At) -> Path:
        """Where a line is now. Refuses any other table."""
        if at.table != "line":
            raise Refused("Only a line has words and shifts.")
        return self.path(at)

    def blocks(self, at: At) -> tuple[TextBlock, ...]:
        """The blocks of a table. Refuses if it is not there, or not written with a header of its own."""
        path = self.path(at)
        if len(path) == 2:
            groups = self.places.members(at.table)
            if len(groups) == len(self._names(at.table)):
                return groups[int(path[1])]
        elif path:
            blocks = tuple(block for block in self.places.blocks if block.path[:1] == path)
            if blocks:
                return blocks
        raise Refused(f"The job file has no [{at.table}] written as a table of its own.")

    def value(self, path: Path) -> Any:
        """What the data holds at path; None if nothing."""
        found: Any = self.data
        for part in path:
            try:
                found = found[part]
            except (KeyError, IndexError, TypeError):
                return None
        return found

    def members(self, path: Path) -> list[Any]:
        """The members of the array at path; none if there is no array."""
        found = self.value(path)
        return found if isinstance(found, list) else []

    def _names(self, table: str) -> list[object]:
        key = NAMED_BY[table]
        return [member.get(key) if isinstance(member, dict) else None for member in self.members((table,))]


def _set_key(edit: SetKey, document: EditedText) -> str:
    table = document.path(edit.at)
    path, other = (*table, edit.key), (*table, _INSTEAD_OF.get(edit.key, ""))
    if edit.value is None:
        return splices.remove(document.places, path)
    if other in document.places.values and path not in document.places.values:
        return splices.set_other_key(document.places, other, edit.key, _toml(edit.value))
    return splices.set_value(document.places, path, _toml(edit.value))


def _put_back(edit: PutKeyBack, document: EditedText) -> str:
    table = document.path(edit.at)
    block = next((block for block in document.places.blocks if block.path == table), None)
    if block is None:
        raise Refused(f"The table [{edit.at.table}] is no longer in the job.")
    above = next((entry for entry in block.entries if entry.path == (*table, edit.after)), None)
    if above is None and edit.after and block.entries:
        above = block.entries[-1]
    return splices.put_entry(document.places, block, above, edit.lines)


def _set_words(edit: SetWords, document: EditedText) -> str:
    path = document.line(edit.at)
    written = _toml(edit.words)
    new = str(value_of(written))
    text = splices.set_value(document.places, (*path, "words"), written)
    for named, old_pair, new_pair in renumbering(edit, document, path, new):
        if new_pair != old_pair:
            text = splices.set_value(find_places(text), (*named, "nth"), str(new_pair.nth))
    return text


def renumbering(edit: SetWords, document: EditedText, path: Path, new: str) -> list[tuple[Path, Pair, Pair]]:
    """For all of a line that names a pair or a letter: where that stands, what it names, and that in new words."""
    named = [
        ((*path, key, place), pair)
        for key, plain in NAMING.items()
        for place, table in enumerate(document.members((*path, key)))
        if (pair := plain(table)) is not None
    ]
    became = dict(edit.renumber)
    for count in {len(letters_of(pair.letters)) for _, pair in named}:
        pairs = list(dict.fromkeys(pair for _, pair in named if len(letters_of(pair.letters)) == count))
        now = renumbered(pairs, edit.at.saw, new, count)
        became = {**dict(zip(pairs, now, strict=True)), **became}
    return [(place, old, became.get(old, old)) for place, old in named]


def _set_shift(edit: SetShift, document: EditedText) -> str:
    path = (*document.line(edit.at), "shifts")
    place = shift_place(document, path, edit)
    if edit.by is None:
        return document.text if place is None else _without_shift(document, path, place)
    by = _toml(edit.by)
    if place is not None:
        return splices.set_value(document.places, (*path, place, "by"), by)
    shift = f"{{ pair = {_toml(edit.pair)}, nth = {edit.nth}, by = {by} }}"
    if path in document.places.values:
        return splices.add_member(document.places, path, shift)
    if path in document.places.spots:
        raise Refused("This line's shifts are written as tables: add one by hand, or write shifts = [{ … }].")
    return splices.set_value(document.places, path, f"[{shift}]")


def shift_place(document: EditedText, path: Path, edit: SetShift) -> int | None:
    """Where the shift that an edit sets is among the line's shifts at path, from 0; None if it is not yet there."""
    wanted = Pair(unicodedata.normalize("NFC", edit.pair), edit.nth)
    shifts = document.members(path)
    return next((place for place, shift in enumerate(shifts) if plain_pair(shift) == wanted), None)


def _without_shift(document: EditedText, path: Path, place: int) -> str:
    if len(document.members(path)) == 1:
        return splices.remove(document.places, path)
    if path in document.places.values:
        return splices.remove_member(document.places, path, place)[0]
    return splices.remove(document.places, (*path, place))


def _put_shift_back(edit: PutShiftBack, document: EditedText) -> str:
    path = (*document.line(edit.at), "shifts")
    if path in document.places.values:
        return splices.put_member_back(document.places, path, edit.place, edit.piece)
    return splices.set_value(document.places, path, f"[{edit.piece.strip(', ')}]")


def _move(edit: MoveTable, document: EditedText) -> str:
    if edit.at.table not in NAMED_BY:
        raise Refused("Only lines, ornaments and places to avoid have an order.")
    blocks = document.blocks(edit.at)
    moved = splices.block_text(document.places, blocks)
    rest = find_places(splices.cut_blocks(document.places, blocks))
    return splices.add_block(rest, edit.at.table, edit.to, moved)


def _one_table(edit: AddTable) -> None:
    """Refuse what is not exactly one table of the name."""
    try:
        held = toml_of(edit.toml)
    except WrongJob as wrong:
        raise Refused(f"What was to be added can't be read: {wrong}", wrong.faults) from None
    table = held.get(edit.table)
    single = isinstance(table, dict) or (isinstance(table, list) and len(table) == 1)
    blocks = [block for block in find_places(edit.toml).blocks if block.kind != "top" or block.entries]
    if set(held) != {edit.table} or not single or not blocks or blocks[0].kind == "top":
        raise Refused(f"What was to be added is not one table of the name {edit.table}.")


def _toml(value: Value | Written) -> str:
    """A value as TOML, made sure to be one value and nothing more."""
    if not isinstance(value, Written):
        try:
            return literal(value)
        except ValueError as problem:
            raise Refused(str(problem)) from None
    try:
        value_of(value.toml)
        spot = find_places(f"value = {value.toml}").values[("value",)]
        whole = spot.value_end - spot.value_start == len(value.toml)
    except (ValueError, RecursionError, KeyError, IndexError):
        whole = False
    if not whole:
        raise Refused(f"{value.toml!r:.60} is not one value as TOML writes it.")
    return value.toml
