"""Edits to and from JSON: how a store keeps them and a page sends them.

Every edit becomes one object whose "edit" says its kind; nothing is left out and nothing else may be in it. Values
keep their kinds: a date, a table or a value as TOML writes it is an object of one key that names it ({"date":
"2027-03-04"}), so that no table of a carver's can be taken for one.
"""

from __future__ import annotations

import dataclasses
import datetime
import json
import math
from collections.abc import Callable
from functools import cache
from operator import attrgetter
from typing import Annotated, Any, ClassVar, Final, Literal, TypeAlias, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Discriminator,
    Field,
    InstanceOf,
    RootModel,
    StrictBool,
    StrictFloat,
    StrictInt,
    Tag,
    TypeAdapter,
    ValidationError,
)

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


def edit_json(edit: Edit) -> str:
    """An edit as JSON, in ASCII. Raises Refused for a value in it that no job could hold."""
    return _dumped(_plain(edit))


def edit_of(text: str) -> Edit:
    """The edit that edit_json wrote. Raises Refused for anything else."""
    return _made([_loaded(text)])[0]


def edits_json(edits: tuple[Edit, ...]) -> str:
    """Several edits, to be made one after the other, as JSON."""
    return _dumped([_plain(edit) for edit in edits])


def edits_of(text: str) -> tuple[Edit, ...]:
    """The edits that edits_json wrote. Raises Refused for anything else."""
    return _made(_loaded(text))


# Writing.


def _dumped(plain: object) -> str:
    try:
        return json.dumps(plain, allow_nan=False, separators=(",", ":"))
    except (TypeError, ValueError, RecursionError) as problem:
        raise Refused(f"This edit cannot be kept: {problem}") from None


def _plain(edit: Edit) -> dict[str, object]:
    writers: dict[str, Callable[[Any], object]] = {"at": _plain_at, "renumber": _plain_renumber}
    names = [field.name for field in dataclasses.fields(edit)]
    return {"edit": _NAMES[type(edit)]} | {name: writers.get(name, _plain_value)(getattr(edit, name)) for name in names}


def _plain_at(at: At) -> list[object]:
    return [at.table, at.number, at.saw]


def _plain_renumber(renumber: tuple[tuple[Pair, Pair], ...]) -> list[object]:
    return [[old.letters, old.nth, new.letters, new.nth] for old, new in renumber]


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
        case dict() if all(isinstance(key, str) for key in value):
            return {"table": {key: _plain_value(member) for key, member in value.items()}}
    raise Refused(f"This edit cannot be kept: {type(value).__name__} is no value of a job.")


# Reading.


def _loaded(text: str) -> Any:
    try:
        return json.loads(text, parse_constant=_no_number)
    except (TypeError, ValueError, RecursionError):
        raise Refused("This is no edit of a job: it is no JSON.") from None


def _made(plain: Any) -> tuple[Edit, ...]:
    try:
        return tuple(form.made() for form in _forms().validate_python(plain))
    except ValidationError as problem:
        first = problem.errors(include_url=False)[0]
        place = ".".join(str(part) for part in first["loc"][1:])
        raise Refused(f"This is no edit of a job: {place + ': ' if place else ''}{first['msg']}.") from None


def _no_number(name: str) -> float:
    raise ValueError(name)


# Forms: what may be in a value, what in an edit.


def _kind(plain: object) -> str | None:
    """Which of the forms below a value has."""
    match plain:
        case None | bool() | int() | float() | str():
            return "plain"
        case list():
            return "list"
        case dict() if len(plain) == 1:
            return str(next(iter(plain)))
    return None


def _odd_number(text: str) -> float:
    if text not in ("inf", "-inf", "nan"):
        raise ValueError("JSON has a word for this number")
    return float(text)


# Text in memory may be half of a surrogate pair, which pydantic's own kind of text may not.
_Text: TypeAlias = InstanceOf[str]
_Day: TypeAlias = Annotated[_Text, AfterValidator(datetime.date.fromisoformat)]
_Moment: TypeAlias = Annotated[_Text, AfterValidator(datetime.datetime.fromisoformat)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class _Toml(_Strict):
    toml: Annotated[_Text, AfterValidator(Written)]


class _Table(_Strict):
    table: dict[_Text, _Inner]


class _Date(_Strict):
    date: _Day


class _Datetime(_Strict):
    datetime: _Moment


class _Float(_Strict):
    float: Annotated[_Text, AfterValidator(_odd_number)]


class _Member(
    RootModel[
        Annotated[
            Annotated[StrictBool | StrictInt | StrictFloat | _Text, Tag("plain")]
            | Annotated[list["_Inner"], Tag("list")]
            | Annotated[_Table, AfterValidator(attrgetter("table")), Tag("table")]
            | Annotated[_Date, AfterValidator(attrgetter("date")), Tag("date")]
            | Annotated[_Datetime, AfterValidator(attrgetter("datetime")), Tag("datetime")]
            | Annotated[_Float, AfterValidator(attrgetter("float")), Tag("float")],
            Discriminator(_kind),
        ]
    ]
):
    """A value that may stand in a list or table: there nothing is given as TOML writes it, and nothing is left out."""


_Inner: TypeAlias = Annotated[_Member, AfterValidator(attrgetter("root"))]
_Written: TypeAlias = Annotated[_Toml, AfterValidator(attrgetter("toml"))]
_Value: TypeAlias = _Written | _Inner | None
_At: TypeAlias = Annotated[tuple[_Text, StrictInt, _Text], AfterValidator(lambda parts: At(*parts))]
_Row: TypeAlias = Annotated[
    tuple[_Text, StrictInt, _Text, StrictInt], AfterValidator(lambda row: (Pair(*row[:2]), Pair(*row[2:])))
]


class _Form(_Strict):
    """An edit as JSON has it; makes is the kind of edit that comes of it."""

    makes: ClassVar[type[Edit]]

    def made(self) -> Edit:
        held = {name: getattr(self, name) for name in type(self).model_fields if name != "edit"}
        edit: Edit = self.makes(**held)
        return edit


class _SetKey(_Form):
    makes = SetKey
    edit: Literal["set-key"]
    at: _At
    key: _Text
    value: _Value


class _SetWords(_Form):
    makes = SetWords
    edit: Literal["set-words"]
    at: _At
    words: _Text | _Written
    renumber: Annotated[list[_Row], AfterValidator(tuple)]


class _SetShift(_Form):
    makes = SetShift
    edit: Literal["set-shift"]
    at: _At
    pair: _Text
    nth: StrictInt
    by: _Value


class _AddTable(_Form):
    makes = AddTable
    edit: Literal["add-table"]
    table: _Text
    number: StrictInt
    toml: _Text


class _RemoveTable(_Form):
    makes = RemoveTable
    edit: Literal["remove-table"]
    at: _At


class _MoveTable(_Form):
    makes = MoveTable
    edit: Literal["move-table"]
    at: _At
    to: StrictInt


class _ReplaceText(_Form):
    makes = ReplaceText
    edit: Literal["replace-text"]
    text: _Text


class _PutKeyBack(_Form):
    makes = PutKeyBack
    edit: Literal["put-key-back"]
    at: _At
    after: _Text
    lines: _Text


class _PutShiftBack(_Form):
    makes = PutShiftBack
    edit: Literal["put-shift-back"]
    at: _At
    place: StrictInt
    piece: _Text


class _PutTextBack(_Form):
    makes = PutTextBack
    edit: Literal["put-text-back"]
    text: _Text
    saw: _Text


_FirstForms: TypeAlias = _SetKey | _SetWords | _SetShift | _AddTable | _RemoveTable | _MoveTable | _ReplaceText
_AnyForm: TypeAlias = Annotated[_FirstForms | _PutKeyBack | _PutShiftBack | _PutTextBack, Field(discriminator="edit")]
_NAMES: Final = {form.makes: get_args(form.model_fields["edit"].annotation)[0] for form in _Form.__subclasses__()}


@cache
def _forms() -> TypeAdapter[list[_AnyForm]]:
    """What reads edits, made once somebody reads one."""
    return TypeAdapter(list[_AnyForm])
