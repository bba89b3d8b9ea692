"""What the pages say: days, lengths and lists as one says them, and why something was refused, for beside its field."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Sequence

from stopcut.errors import Fault, WrongJob
from stopcut.job.edit_values import Refused
from stopcut.units import Units, format_length

__all__ = [
    "ago",
    "as_written",
    "day",
    "fault_on_screen",
    "hours",
    "less_more",
    "numbered_words",
    "on_screen",
    "why_refused",
]

MINUTES_AN_HOUR = 60
_KEY_PART = re.compile(r"(?P<name>\w+)(?:\[(?P<number>\d+)\])?")
"""One part of a dotted key: "line[2]", "cap_height"."""

KEYS = (
    "after_tab", "cap_height", "draw_in", "face_off", "flat_bottom", "in_columns", "line_gap", "wanted_by",
    "word_space",
)  # fmt: skip
"""Keys of a job's file that are no plain words (docs/job.md)."""

TABLES = {
    "board": "the board", "border": "the border", "columns": "the columns", "groove": "the groove",
    "lettering": "the lettering", "match": "the lettering already there",
}  # fmt: skip
"""What a carver calls the tables of a job's file; the others by their names."""

_KEY = re.compile(rf"\b(?:{'|'.join(KEYS)})\b")
_TABLE = re.compile(r"\[\[?([a-z]+)\]\]?")


def day(date: datetime.date) -> str:
    """A day as a person would say it: "Thursday 4 March", with the year where it is far off."""
    near = abs((date - datetime.datetime.now().date()).days) < 300
    return f"{date:%A} {date.day} {date:%B}" + ("" if near else f" {date.year}")


def ago(moment: datetime.datetime) -> str:
    """When something was changed: the hour today, the day before that."""
    local = moment.astimezone()
    if local.date() == datetime.datetime.now().date():
        return f"today {local:%H:%M}"
    return day(local.date())


def hours(minutes: int) -> str:
    """Minutes as one says them: "45 min", "3 h 30"."""
    whole, rest = divmod(minutes, MINUTES_AN_HOUR)
    return f"{whole} h {rest:02}" if whole else f"{rest} min"


def numbered_words(said: Sequence[str]) -> str:
    """Sentences one after another."""
    return " ".join(one if one.endswith((".", "?", "!")) else one + "." for one in said)


def less_more(shift_mm: float, units: Units) -> str:
    """What a shift by hand does: "0.4 mm tighter than worked out"."""
    if abs(shift_mm) < 0.005:
        return "as worked out"
    return f"{format_length(abs(shift_mm), units, finest=64)} {'wider' if shift_mm > 0 else 'tighter'} than worked out"


def as_written(value: str) -> str | int | float | None:
    """What somebody wrote into a field as a job has it: a number where it is one, else words; None for nothing."""
    plain = value.strip()
    if not plain:
        return None
    try:
        return int(plain)
    except ValueError:
        pass
    try:
        number = float(plain)
    except ValueError:
        return plain
    return number if math.isfinite(number) else plain


def why_refused(problem: Exception) -> str:
    """The reason without the file's keys and lines, which the field beside it stands for."""
    faults: tuple[Fault, ...] = problem.faults if isinstance(problem, Refused | WrongJob) else ()
    if not faults:
        return str(problem)
    return " ".join(on_screen(f"{_sentence(fault.found)}; {fault.remedy.rstrip('.')}.") for fault in faults)


def fault_on_screen(fault: Fault) -> str:
    """A fault in a job as it is said where the job's file is not seen: its place in words, no line of the file.

    "line[2].words" is line 2, "board.cap_height" the board's cap height.
    """
    named = [(found["name"].replace("_", " "), found["number"]) for found in _KEY_PART.finditer(fault.key)]
    place = ", ".join(f"{name} {number}" if number else name for name, number in named if name != "words")
    said = on_screen(f"{fault.found}; {fault.remedy}")
    return f"{_sentence(place)}: {said}" if place else _sentence(said)


def on_screen(said: str) -> str:
    """What is said of a job's file for somebody who does not see it: its keys and tables as a carver calls them."""
    plain = _TABLE.sub(lambda found: TABLES.get(found[1], found[1]), said)
    plain = _KEY.sub(lambda found: found[0].replace("_", " "), plain)
    return plain.replace("`stopcut faces` lists", "the Brief lists")


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
