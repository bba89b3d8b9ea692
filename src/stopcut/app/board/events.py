"""What the page's board tells: one small value for each thing that a hand can do on it.

The browser is not to be trusted: `read_event` takes what it sent and gives the value, or raises ValueError.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, TypeAlias

from pydantic import Field, TypeAdapter

__all__ = [
    "BoardEvent",
    "Chosen",
    "LampMoved",
    "Measured",
    "Moved",
    "Nudged",
    "PinPressed",
    "Probed",
    "ResetAsked",
    "read_event",
]

MOST_KEYS = 5000
"""Letters chosen at once. Our choice, far above the most a board holds."""

MOST_MM = 100_000.0
"""The farthest anything lies or moves. [mm] Our choice: a hundred metres."""

MOST_STEPS = 10_000
"""Steps of one nudge. Our choice."""

_Key = Annotated[str, Field(pattern=r"^[0-9]{1,6}:[0-9]{1,6}$", strict=True)]
_Gesture = Annotated[str, Field(pattern=r"^[0-9a-z-]{1,64}$", strict=True)]
_Mm = Annotated[float, Field(ge=-MOST_MM, le=MOST_MM, allow_inf_nan=False, strict=True)]


@dataclass(frozen=True, slots=True)
class Chosen:
    """Letters chosen ("1:3" is the third of the first line); the one that keys move comes first. Empty: let go."""

    keys: Annotated[tuple[_Key, ...], Field(max_length=MOST_KEYS)]


@dataclass(frozen=True, slots=True)
class Moved:
    """A letter dragged along its line and let go. dx_mm to the right, or clockwise along an arc that bends up."""

    key: _Key
    dx: _Mm
    gesture: _Gesture


@dataclass(frozen=True, slots=True)
class Nudged:
    """A letter moved by keys: dir steps, to the left if negative. A key held down is one gesture."""

    key: _Key
    dir: Annotated[int, Field(ge=-MOST_STEPS, le=MOST_STEPS, strict=True)]
    coarse: Annotated[bool, Field(strict=True)]
    gesture: _Gesture


@dataclass(frozen=True, slots=True)
class ResetAsked:
    """A letter to go back to where the model had it."""

    key: _Key


@dataclass(frozen=True, slots=True)
class Measured:
    """Two points to be measured between. [mm]"""

    x0: _Mm
    y0: _Mm
    x1: _Mm
    y1: _Mm


@dataclass(frozen=True, slots=True)
class Probed:
    """A point through which a section is wanted. [mm]"""

    x: _Mm
    y: _Mm


@dataclass(frozen=True, slots=True)
class PinPressed:
    """A finding's pin, by its figure."""

    number: Annotated[int, Field(ge=-MOST_KEYS, le=MOST_KEYS, strict=True)]


@dataclass(frozen=True, slots=True)
class LampMoved:
    """Where the lamp has been pushed. [degrees, anticlockwise from the right; from the board's face]"""

    azimuth: Annotated[float, Field(ge=-360, le=360, allow_inf_nan=False, strict=True)]
    elevation: Annotated[float, Field(ge=-90, le=90, allow_inf_nan=False, strict=True)]


BoardEvent: TypeAlias = Chosen | Moved | Nudged | ResetAsked | Measured | Probed | PinPressed | LampMoved

_EVENTS: dict[str, TypeAdapter[Any]] = {
    "choose": TypeAdapter(Chosen),
    "move": TypeAdapter(Moved),
    "nudge": TypeAdapter(Nudged),
    "reset": TypeAdapter(ResetAsked),
    "measured": TypeAdapter(Measured),
    "probe": TypeAdapter(Probed),
    "pin": TypeAdapter(PinPressed),
    "lamp": TypeAdapter(LampMoved),
}


def read_event(args: Any) -> BoardEvent:
    """The value of what a browser sent: {"what": …, …}. Raises ValueError for what no board sends."""
    what = args.get("what") if isinstance(args, Mapping) else None
    if not isinstance(what, str) or what not in _EVENTS:
        raise ValueError("the board tells nothing of that kind")
    event: BoardEvent = _EVENTS[what].validate_python(args)
    return event
