"""What the page's board tells: one small value for each thing that a hand can do on it.

The browser is not to be trusted: `read_event` takes what it sent and gives the value, or raises ValueError.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

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

_KEY = re.compile(r"[0-9]{1,6}:[0-9]{1,6}")
_GESTURE = re.compile(r"[0-9a-z-]{1,64}")


@dataclass(frozen=True, slots=True)
class Chosen:
    """Letters chosen ("1:3" is the third of the first line); the one that keys move comes first. Empty: let go."""

    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """A letter dragged along its line and let go. dx_mm to the right, or clockwise along an arc that bends up."""

    key: str
    dx: float
    gesture: str


@dataclass(frozen=True, slots=True)
class Nudged:
    """A letter moved by keys: dir steps, to the left if negative. A key held down is one gesture."""

    key: str
    dir: int
    coarse: bool
    gesture: str


@dataclass(frozen=True, slots=True)
class ResetAsked:
    """A letter to go back to where the model had it."""

    key: str


@dataclass(frozen=True, slots=True)
class Measured:
    """Two points to be measured between. [mm]"""

    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class Probed:
    """A point through which a section is wanted. [mm]"""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class PinPressed:
    """A finding's pin, by its figure."""

    number: int


@dataclass(frozen=True, slots=True)
class LampMoved:
    """Where the lamp has been pushed. [degrees, anticlockwise from the right; from the board's face]"""

    azimuth: float
    elevation: float


BoardEvent: TypeAlias = Chosen | Moved | Nudged | ResetAsked | Measured | Probed | PinPressed | LampMoved


def read_event(args: Any) -> BoardEvent:
    """The value of what a browser sent: {"what": …, …}. Raises ValueError for what no board sends."""
    if not isinstance(args, Mapping) or args.get("what") not in _READERS:
        raise ValueError("the board tells nothing of that kind")
    return _READERS[args["what"]](args)


def _chosen(args: Mapping[str, Any]) -> BoardEvent:
    keys = args.get("keys")
    if not isinstance(keys, list) or len(keys) > MOST_KEYS:
        raise ValueError("keys is a list of letters")
    return Chosen(tuple(_key(key) for key in keys))


def _key(value: Any) -> str:
    if not isinstance(value, str) or not _KEY.fullmatch(value):
        raise ValueError("a letter is named by line and place")
    return value


def _gesture(args: Mapping[str, Any]) -> str:
    value = args.get("gesture")
    if not isinstance(value, str) or not _GESTURE.fullmatch(value):
        raise ValueError("a gesture's name is of small letters and figures")
    return value


def _number(args: Mapping[str, Any], name: str, most: float = MOST_MM) -> float:
    value = args.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{name} is a number")
    if not math.isfinite(value) or abs(value) > most:
        raise ValueError(f"{name} is out of reach")
    return float(value)


def _whole(args: Mapping[str, Any], name: str, most: int) -> int:
    value = _number(args, name, most)
    if value != int(value):
        raise ValueError(f"{name} is a whole number")
    return int(value)


_READERS: dict[str, Callable[[Mapping[str, Any]], BoardEvent]] = {
    "choose": _chosen,
    "move": lambda args: Moved(_key(args.get("key")), _number(args, "dx"), _gesture(args)),
    "nudge": lambda args: Nudged(
        _key(args.get("key")), _whole(args, "dir", MOST_STEPS), args.get("coarse") is True, _gesture(args)
    ),
    "reset": lambda args: ResetAsked(_key(args.get("key"))),
    "measured": lambda args: Measured(*(_number(args, name) for name in ("x0", "y0", "x1", "y1"))),
    "probe": lambda args: Probed(_number(args, "x"), _number(args, "y")),
    "pin": lambda args: PinPressed(_whole(args, "number", MOST_KEYS)),
    "lamp": lambda args: LampMoved(_number(args, "azimuth", 360.0), _number(args, "elevation", 90.0)),
}
