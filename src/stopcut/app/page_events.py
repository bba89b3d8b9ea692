"""What the fields and slides of a page tell: one small value for each, as board/events.py has them for the board.

The browser is not to be trusted: `told` takes what it sent and gives the value, or None for what no page of ours sends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, TypeVar

from pydantic import Field, TypeAdapter, ValidationError

__all__ = ["HandedOn", "LetterInHand", "Pushed", "Typed", "told"]

_Value = TypeVar("_Value")
_Text = Annotated[str, Field(strict=True)]


@dataclass(frozen=True, slots=True)
class Typed:
    """A keystroke in a field: what stands in it now, and what stood in it before, if the page has noted that."""

    value: _Text
    before: _Text | None = None


@dataclass(frozen=True, slots=True)
class HandedOn:
    """A field left or entered: what stands in it, and what was last put there or handed on."""

    value: _Text
    put: _Text | None = None


@dataclass(frozen=True, slots=True)
class Pushed:
    """A slide pushed to a value; done once it is let go. One push is one gesture."""

    value: Annotated[float, Field(strict=True, allow_inf_nan=False)]
    gesture: Annotated[str, Field(strict=True, pattern=r"^[0-9a-z-]{1,64}$")]
    done: Annotated[bool, Field(strict=True)] = False


@dataclass(frozen=True, slots=True)
class LetterInHand:
    """Which letter is worked on at the bench: "1:3" is the third of the first line."""

    key: Annotated[str, Field(strict=True, pattern=r"^[0-9]{1,6}:[0-9]{1,6}$")]


def told(kind: type[_Value], args: Any) -> _Value | None:
    """The value of that kind that a browser sent, or None."""
    try:
        value: _Value = _READS[kind].validate_python(args)
    except ValidationError:
        return None
    return value


_READS: dict[type[Any], TypeAdapter[Any]] = {
    kind: TypeAdapter(kind) for kind in (Typed, HandedOn, Pushed, LetterInHand)
}
