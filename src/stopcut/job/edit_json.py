"""Edits to and from JSON: how a store keeps them and a page sends them.

Every edit becomes one object whose "edit" says its kind; nothing is left out and nothing else may be in it. Values
keep their kinds: a date, a table or a value as TOML writes it is an object of one key that names it ({"date":
"2027-03-04"}), so that no table of a carver's can be taken for one.
"""

from __future__ import annotations

import datetime
import json
import math
from collections.abc import Callable
from typing import Any, Final, TypeAlias

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
from stopcut.job.pairs import Pair

__all__ = ["edit_json", "edit_of", "edits_json", "edits_of"]

_Codec: TypeAlias = tuple[Callable[[Any], Any], Callable[[Any], Any]]


def edit_json(edit: Edit) -> str:
    """An edit as JSON, in ASCII. Raises Refused for a value in it that no job could hold."""
    return _dumped(_plain(edit))


def edit_of(text: str) -> Edit:
    """The edit that edit_json wrote. Raises Refused for anything else."""
    return _edit(_loaded(text))


def edits_json(edits: tuple[Edit, ...]) -> str:
    """Several edits, to be made one after the other, as JSON."""
    return _dumped([_plain(edit) for edit in edits])


def edits_of(text: str) -> tuple[Edit, ...]:
    """The edits that edits_json wrote. Raises Refused for anything else."""
    return tuple(_edit(member) for member in _list(_loaded(text)))


def _dumped(plain: object) -> str:
    try:
        return json.dumps(plain, allow_nan=False, separators=(",", ":"))
    except (TypeError, ValueError, RecursionError) as problem:
        raise Refused(f"This edit cannot be kept: {problem}") from None


def _loaded(text: str) -> Any:
    try:
        return json.loads(text, parse_constant=_no_number)
    except (TypeError, ValueError, RecursionError):
        raise _no_edit("it is no JSON") from None


def _plain(edit: Edit) -> dict[str, object]:
    kind = _NAMES[type(edit)]
    return {"edit": kind} | {name: to(getattr(edit, name)) for name, (to, _) in _KINDS[kind][1].items()}


def _edit(plain: object) -> Edit:
    fields = _object(plain)
    kind = fields.get("edit")
    if not isinstance(kind, str) or kind not in _KINDS:
        raise _no_edit("its kind is not known")
    made, codecs = _KINDS[kind]
    if fields.keys() != codecs.keys() | {"edit"}:
        raise _no_edit(f"{kind} wants {', '.join(codecs)} and nothing else")
    try:
        edit: Edit = made(**{name: of(fields[name]) for name, (_, of) in codecs.items()})
    except RecursionError:
        raise _no_edit("it is nested too deeply") from None
    return edit


def _no_edit(why: str) -> Refused:
    return Refused(f"This is no edit of a job: {why}.")


def _no_number(name: str) -> float:
    raise ValueError(name)


def _same(value: Any) -> Any:
    return value


def _object(plain: object) -> dict[str, Any]:
    if not isinstance(plain, dict):
        raise _no_edit("an object was expected")
    return plain


def _list(plain: object) -> list[Any]:
    if not isinstance(plain, list):
        raise _no_edit("a list was expected")
    return plain


def _text(plain: object) -> str:
    if not isinstance(plain, str):
        raise _no_edit("text was expected")
    return plain


def _count(plain: object) -> int:
    if not isinstance(plain, int) or isinstance(plain, bool):
        raise _no_edit("a whole number was expected")
    return plain


def _plain_at(at: At) -> list[object]:
    return [at.table, at.number, at.saw]


def _at(plain: object) -> At:
    parts = _list(plain)
    if len(parts) != 3:
        raise _no_edit("a table is given by its name, its number and what was seen there")
    return At(_text(parts[0]), _count(parts[1]), _text(parts[2]))


def _plain_renumber(renumber: tuple[tuple[Pair, Pair], ...]) -> list[object]:
    return [[old.letters, old.nth, new.letters, new.nth] for old, new in renumber]


def _renumber(plain: object) -> tuple[tuple[Pair, Pair], ...]:
    rows = [_list(row) for row in _list(plain)]
    if any(len(row) != 4 for row in rows):
        raise _no_edit("renumbered pairs are given as letters, nth, letters, nth")
    return tuple((Pair(_text(a), _count(m)), Pair(_text(b), _count(n))) for a, m, b, n in rows)


def _plain_value(value: Any) -> object:
    """A value of a key, as JSON can hold it; what JSON has no word for is an object of one key."""
    match value:
        case None | bool() | int() | str():
            return value
        case float():
            return value if math.isfinite(value) else {"float": str(value)}
        case Written():
            return {"toml": value.toml}
        case datetime.datetime():
            return {"datetime": value.isoformat()}
        case datetime.date():
            return {"date": value.isoformat()}
        case list() | tuple():
            return [_plain_value(member) for member in value]
        case dict():
            return {"table": {_text(key): _plain_value(member) for key, member in value.items()}}
    raise _no_edit(f"{type(value).__name__} is no value of a job")


def _value(plain: Any) -> Any:
    if isinstance(plain, list):
        return [_inner(member) for member in plain]
    if not isinstance(plain, dict):
        return plain
    if len(plain) != 1:
        raise _no_edit("a value of a kind JSON lacks is an object of one key")
    kind, held = next(iter(plain.items()))
    if kind == "table":
        return {key: _inner(member) for key, member in _object(held).items()}
    if kind not in _SPECIAL:
        raise _no_edit("there is a value of a kind that no job has")
    try:
        return _SPECIAL[kind](_text(held))
    except ValueError:
        raise _no_edit(f"there is a {kind} that is none") from None


def _inner(plain: Any) -> Any:
    """A member of a list or table: there only whole edits know nothing, or TOML as written."""
    value = _value(plain)
    if value is None or isinstance(value, Written):
        raise _no_edit("a list or table holds what it can't")
    return value


def _words(plain: object) -> str | Written:
    value = _value(plain)
    if not isinstance(value, str | Written):
        raise _no_edit("words are text")
    return value


_SPECIAL: Final[dict[str, Callable[[str], Any]]] = {
    "toml": Written,
    "date": datetime.date.fromisoformat,
    "datetime": datetime.datetime.fromisoformat,
    "float": lambda text: float(text) if text in ("inf", "-inf", "nan") else float("none"),
}
_AT: Final[_Codec] = (_plain_at, _at)
_TEXT: Final[_Codec] = (_same, _text)
_COUNT: Final[_Codec] = (_same, _count)
_VALUE: Final[_Codec] = (_plain_value, _value)
_KINDS: Final[dict[str, tuple[Callable[..., Edit], dict[str, _Codec]]]] = {
    "set-key": (SetKey, {"at": _AT, "key": _TEXT, "value": _VALUE}),
    "set-words": (SetWords, {"at": _AT, "words": (_plain_value, _words), "renumber": (_plain_renumber, _renumber)}),
    "set-shift": (SetShift, {"at": _AT, "pair": _TEXT, "nth": _COUNT, "by": _VALUE}),
    "add-table": (AddTable, {"table": _TEXT, "number": _COUNT, "toml": _TEXT}),
    "remove-table": (RemoveTable, {"at": _AT}),
    "move-table": (MoveTable, {"at": _AT, "to": _COUNT}),
    "replace-text": (ReplaceText, {"text": _TEXT}),
    "put-key-back": (PutKeyBack, {"at": _AT, "after": _TEXT, "lines": _TEXT}),
    "put-shift-back": (PutShiftBack, {"at": _AT, "place": _COUNT, "piece": _TEXT}),
    "put-text-back": (PutTextBack, {"text": _TEXT, "saw": _TEXT}),
}
_NAMES: Final = {made: kind for kind, (made, _) in _KINDS.items()}
