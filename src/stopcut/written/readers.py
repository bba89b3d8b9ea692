"""Readers of single values: from what the TOML holds to a checked value, or an error that says what would do.

Each reader is a small factory for a pydantic validator, so that a document's tables read like its format. The units of
the document come in as pydantic's context. The checks themselves (bounded_length and the like) are there for readers of
one room's own.
"""

from __future__ import annotations

import datetime
import difflib
import math
import re
import unicodedata
from collections.abc import Sequence
from typing import Any, Final

from pydantic import BaseModel, ConfigDict, PlainValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from stopcut.units import Units, format_angle, format_length, parse_angle, parse_length

__all__ = [
    "LENGTH_FORMS",
    "NEEDED_FORMAT_CHARACTERS",
    "WRONG",
    "StrictTable",
    "angle",
    "bounded_length",
    "bounded_number",
    "choice",
    "date",
    "length",
    "length_or",
    "meant",
    "number",
    "refuse_unseen",
    "shown",
    "text",
    "units_of",
    "version",
    "whole_number",
    "wrong",
    "yes_or_no",
]

WRONG: Final = "wrong_value"  # the type of our pydantic errors: their context holds what was found and what would do

LENGTH_FORMS: Final = 'write a number, or "55 mm", "5.5 cm", "2 1/4 in" or "1 ft 3 in"'

# Characters without ink that scripts need: joiners and direction marks, and Arabic and Syriac signs that span digits.
NEEDED_FORMAT_CHARACTERS: Final = frozenset(
    "\u200c\u200d\u200e\u200f\u0600\u0601\u0602\u0603\u0604\u0605\u06dd\u070f\u0890\u0891\u08e2"
)

LEAST_WRITTEN_MM: Final = 0.25
"""A bound below this is written in mm to its last digit. [mm] Our choice: tenths and 64ths of an inch would say 0."""


class StrictTable(BaseModel):
    """A table of a document: no key but its own. Its checks are built when somebody first reads such a document."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)


def wrong(found: str, remedy: str) -> PydanticCustomError:
    """An error that carries what was found and what would do."""
    return PydanticCustomError(WRONG, "{found}; {remedy}", {"found": found, "remedy": remedy})


ABSURD_MM: Final = 1e9
"""A length from here on is not written out. [mm] Our choice: a thousand kilometres is no board."""


def shown(value: object) -> str:
    """A value as the carver may recognise it, on one line and not too long."""
    if isinstance(value, str):
        written = '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in value) + '"'
    elif isinstance(value, bool):
        written = "true" if value else "false"
    elif isinstance(value, dict):
        written = "a table"
    elif isinstance(value, list):
        written = "a list"
    else:
        try:
            written = str(value)
        except ValueError:  # Python will not write out a whole number of thousands of digits
            written = "a number of thousands of digits"
    return written if len(written) <= 60 else written[:58] + "…" + ('"' if isinstance(value, str) else "")


def meant(word: str, known: Sequence[str], cutoff: float = 0.6) -> str:
    """The known word that somebody who wrote this one probably meant, or "". cutoff is difflib's likeness, 0 to 1."""
    close = difflib.get_close_matches(word.lower(), known, n=1, cutoff=cutoff)
    return close[0] if close else ""


def length(least_mm: float, most_mm: float) -> PlainValidator:
    """A length between two bounds, in mm."""

    def read(value: Any, info: ValidationInfo) -> float:
        return bounded_length(value, units_of(info), least_mm, most_mm)

    return PlainValidator(read)


def length_or(word: str, least_mm: float, most_mm: float) -> PlainValidator:
    """A length between two bounds, in mm, or one word ("fit", "none") that stands for itself."""

    def read(value: Any, info: ValidationInfo) -> float | str:
        if isinstance(value, str) and not any(c.isdigit() for c in value):
            if value == word:
                return word
            raise wrong(f"{shown(value)} is no length", f'{LENGTH_FORMS}, or "{word}"')
        return bounded_length(value, units_of(info), least_mm, most_mm)

    return PlainValidator(read)


def number(least: float, most: float) -> PlainValidator:
    """A bare number between two bounds."""
    return PlainValidator(lambda value: bounded_number(value, least, most))


def whole_number(least: int, most: int) -> PlainValidator:
    """A whole number between two bounds."""

    def read(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise wrong(f"{shown(value)} is no whole number", f"write a whole number from {least} to {most}")
        if not least <= value <= most:
            raise wrong(f"{shown(value)} is out of range", f"write a whole number from {least} to {most}")
        return value

    return PlainValidator(read)


def angle(least_deg: float, most_deg: float, remedy: str) -> PlainValidator:
    """An angle between two bounds, in degrees."""

    def read(value: Any) -> float:
        try:
            degrees = parse_angle(value)
        except ValueError as problem:
            raise wrong(str(problem), "write degrees as a number") from None
        if not least_deg <= degrees <= most_deg:
            raise wrong(f"{format_angle(degrees)} is out of range", remedy)
        return degrees

    return PlainValidator(read)


def choice(*known: str) -> PlainValidator:
    """One of a few words."""
    listed = ", ".join(f'"{word}"' for word in known[:-1]) + f' or "{known[-1]}"'

    def read(value: Any) -> str:
        if isinstance(value, str) and value in known:
            return value
        close = meant(value, known) if isinstance(value, str) else ""
        guess = f'did you mean "{close}"?' if close else f"write {listed}"
        raise wrong(f"{shown(value)} is none of {listed}", guess)

    return PlainValidator(read)


def text(what: str, longest: int) -> PlainValidator:
    """A text of one line that is not blank."""

    def read(value: Any) -> str:
        if not isinstance(value, str):
            raise wrong(f"{shown(value)} is no text", f"write {what} in quotes")
        refuse_unseen(value, f"write {what} on one line, with nothing but what can be seen")
        if not value.strip():
            raise wrong("it is blank", f"write {what}")
        if len(value) > longest:
            raise wrong(f"it has {len(value)} characters", f"keep to {longest}")
        return value

    return PlainValidator(read)


def yes_or_no() -> PlainValidator:
    """True or false."""

    def check(value: Any) -> bool:
        if not isinstance(value, bool):
            raise wrong(f"{shown(value)} is neither true nor false", "write true or false, without quotes")
        return value

    return PlainValidator(check)


def date() -> PlainValidator:
    """A day, as TOML writes one."""

    def read(value: Any) -> datetime.date:
        if isinstance(value, datetime.datetime) or not isinstance(value, datetime.date):
            raise wrong(f"{shown(value)} is no day", "write year, month and day without quotes: 2027-03-04")
        return value

    return PlainValidator(read)


def version(known: int) -> PlainValidator:
    """The version of the format."""

    def read(value: Any) -> int:
        if isinstance(value, bool) or value != known or not isinstance(value, int):
            newer = isinstance(value, int) and not isinstance(value, bool) and value > known
            remedy = "a newer stopcut wrote this job: get that version" if newer else f"write format = {known}"
            raise wrong(f"{shown(value)} is no format that this stopcut knows", remedy)
        return value

    return PlainValidator(read)


def units_of(info: ValidationInfo) -> Units:
    """The units of the document that is being read."""
    return "in" if (info.context or {}).get("units") == "in" else "mm"


def bounded_length(value: Any, units: Units, least_mm: float, most_mm: float) -> float:
    """A length in mm, or the error that says why not."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise wrong(f"{shown(value)} is no length", LENGTH_FORMS)
    try:
        mm = parse_length(value, units)
    except ValueError as problem:
        raise wrong(str(problem), LENGTH_FORMS) from None
    if mm <= 0 < least_mm:
        raise wrong(f"{shown(value)} is {'zero' if mm == 0 else 'below zero'}", "write a length above zero")
    if not least_mm <= mm <= most_mm:
        little = "little" if mm < least_mm else "much"
        bounds = f"from {_bound(least_mm, units)} to {_bound(most_mm, units)}"
        length = f" ({format_length(mm, units)})" if mm < ABSURD_MM else ""
        raise wrong(f"{shown(value)}{length} is too {little}", f"stay {bounds}")
    return mm


def bounded_number(value: Any, least: float, most: float) -> float:
    """A number between two bounds, or the error that says why not."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise wrong(f"{shown(value)} is no number", f"write a number from {least:g} to {most:g}, without quotes")
    if not (math.isfinite(value) if isinstance(value, float) else True) or not least <= value <= most:
        raise wrong(f"{shown(value)} is out of range", f"write a number from {least:g} to {most:g}")
    return float(value)


FORWARD = "put the text in 'single quotes', or write a path with forward slashes: C:/Fonts/gate.ttf"
_PATH = re.compile(r"[A-Za-z]:[\\\x00-\x1f]|\\")
"""A path with a drive or a machine before it, as Windows has them, whose backslashes TOML took for something else."""


def refuse_unseen(value: str, remedy: str) -> None:
    """Raise the error for the first character of a text that cannot be seen and that no script needs."""
    for place, character in enumerate(value, 1):
        kind = unicodedata.category(character)
        if kind in ("Cc", "Cs", "Zl", "Zp") or (kind == "Cf" and character not in NEEDED_FORMAT_CHARACTERS):
            if kind == "Cs":
                raise wrong(f"half a character (U+{ord(character):04X}) stands at place {place}", "write it anew")
            name = (
                "a line break" if character in "\r\n" else "a tab" if character == "\t" else f"U+{ord(character):04X}"
            )
            if _PATH.match(value):
                raise wrong(f"a backslash made a control character ({name}) at place {place}", FORWARD)
            raise wrong(f"a control character ({name}) stands at place {place}", remedy)


def _bound(mm: float, units: Units) -> str:
    if units == "mm" and abs(mm) >= 1000 and mm % 1000 == 0:
        return f"{mm / 1000:g} m"
    if 0 < abs(mm) < LEAST_WRITTEN_MM:
        return f"{mm:g} mm"
    return format_length(mm, units, finest=64)
