"""Lengths and angles as people write them, and back.

Inside the house everything is millimetres and degrees. Carvers write "55 mm", "2 1/4 in", "1 ft 3 in" or "5.5 cm", or a
bare number in the units of their job. This module is the only place that knows about inches.
"""

from __future__ import annotations

import itertools
import math
import re
from fractions import Fraction
from typing import Final, Literal

__all__ = [
    "MM_PER_FOOT",
    "MM_PER_INCH",
    "Units",
    "format_angle",
    "format_length",
    "format_volume",
    "parse_angle",
    "parse_length",
    "parse_share",
]

Units = Literal["mm", "in"]

MM_PER_INCH: Final = 25.4  # exact: the international inch of 1959
MM_PER_FOOT: Final = 12 * MM_PER_INCH

_INCH: Final = Fraction(254, 10)  # in mm; kept exact, so that 1 ft 3 in is 381 mm and not a hair less
_MM_PER: Final[dict[str, Fraction]] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": _INCH,
    "inch": _INCH,
    "inches": _INCH,
    '"': _INCH,
    "″": _INCH,
    "”": _INCH,
    "ft": 12 * _INCH,
    "foot": 12 * _INCH,
    "feet": 12 * _INCH,
    "'": 12 * _INCH,
    "′": 12 * _INCH,
    "’": 12 * _INCH,
}
_ONE_CHARACTER_FRACTIONS: Final = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅓": "1/3",
    "⅔": "2/3",
}

# A decimal, a fraction, or a whole number and a fraction ("2 1/4", and "2-1/4" as it is written on drawings in inches).
# ASCII digits only, and no more of them than a length can need: a longer number is a slip, not a board.
_NUMBER: Final = (
    r"(?:(?P<whole>[0-9]{1,9})(?:\s+|-))?(?P<top>[0-9]{1,9})/(?P<bottom>[0-9]{1,9})"
    r"|(?P<decimal>[0-9]{1,12}(?:\.[0-9]{1,12})?|\.[0-9]{1,12})"
)
_NAMES: Final = "|".join(sorted((re.escape(name) for name in _MM_PER), key=len, reverse=True))
_PART: Final = re.compile(rf"\s*(?:{_NUMBER})\s*(?P<unit>{_NAMES})?(?![a-z])\s*", re.IGNORECASE)
_ANGLE: Final = re.compile(r"\s*([+\-−]?[0-9]{1,9}(?:\.[0-9]{1,12})?)\s*(?:°|deg|degree|degrees)?\s*", re.IGNORECASE)
_SHARE: Final = re.compile(r"\s*([+\-−]?)\s*([0-9]{1,9}(?:\.[0-9]{1,12})?|\.[0-9]{1,12})\s*%\s*")
_MINUS: Final = "-−"  # the hyphen, and the true minus sign that a word processor puts


def parse_length(value: object, default_unit: Units = "mm") -> float:
    """A length as a person wrote it, in mm. May be zero or negative: whether that is sensible is the caller's to say.

    value is a finite number in default_unit, or words: "55 mm", "5.5 cm", "0.5 m", "2 1/4 in", '7/8"', "1 ft 3 in",
    "2½ in". Raises ValueError, saying what was found, for anything else.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"{_shown(value)} is no length")
    if isinstance(value, str):
        return _length_in_words(value, default_unit)
    try:
        return float(Fraction(_finite(value, "length")) * _MM_PER[default_unit])
    except OverflowError:
        raise ValueError(f"{_shown(value)} is no length") from None


def format_length(mm: float, units: Units = "mm", *, finest: int = 32) -> str:
    """A length for people: mm to a tenth ("55 mm", "8.7 mm"), inches as fractions to 1/finest ("2 1/4 in").

    finest is a power of two: 32 for a rule, 64 for a fine one. parse_length reads it back, to half of the last place.
    """
    if units == "mm":
        return f"{_tidy(mm, 1)} mm"
    steps = round(mm / MM_PER_INCH * finest)
    sign = "-" if steps < 0 else ""
    whole, rest = divmod(abs(steps), finest)
    part = Fraction(rest, finest)
    fraction = f"{part.numerator}/{part.denominator}" if part else ""
    number = " ".join(piece for piece in (str(whole) if whole or not part else "", fraction) if piece)
    return f"{sign}{number} in"


def format_volume(mm3: float, units: Units = "mm") -> str:
    """A volume for people, to a tenth: cubic centimetres ("35.2 cm³"), or cubic inches ("2.1 in³")."""
    if units == "mm":
        return f"{mm3 / 1000:.1f} cm³"
    return f"{mm3 / MM_PER_INCH**3:.1f} in³"


def parse_angle(value: object) -> float:
    """An angle in degrees, from a finite number or from "60", "60°", "60 deg". Raises ValueError for anything else."""
    if isinstance(value, str):
        match = _ANGLE.fullmatch(value)
        if not match:
            raise ValueError(f"{_shown(value)} is no angle")
        return float(match[1].replace("−", "-"))
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{_shown(value)} is no angle")
    return _finite(value, "angle")


def format_angle(degrees: float) -> str:
    """An angle for people, to a tenth of a degree: "60°"."""
    return f"{_tidy(degrees, 1)}°"


def parse_share(value: str) -> float:
    """A share written in percent ("1.2 %", "-3%") as a fraction of one. Raises ValueError for anything else."""
    match = _SHARE.fullmatch(value)
    if not match:
        raise ValueError(f"{_shown(value)} is no percentage")
    share = float(match[2]) / 100
    return -share if match[1] in tuple(_MINUS) else share


def _length_in_words(text: str, default_unit: Units) -> float:
    plain = text.strip()
    for character, fraction in _ONE_CHARACTER_FRACTIONS.items():
        plain = plain.replace(character, f" {fraction}")
    sign = -1.0 if plain[:1] in tuple(_MINUS) else 1.0
    plain = plain[1:].strip() if plain[:1] in ("+", *_MINUS) else plain.strip()
    if re.search(r"[0-9],[0-9]", plain):
        raise ValueError(f"{_shown(text)} has a comma in its number: write it with a point")
    parts = _parts(plain)
    if not parts:
        raise ValueError(f"{_shown(text)} is no length")
    if len(parts) == 1 and not parts[0][1]:
        parts = [(parts[0][0], default_unit)]
    sizes = [_MM_PER.get(unit) for _, unit in parts]
    known = [size for size in sizes if size is not None]
    if len(known) < len(sizes) or any(small >= large for large, small in itertools.pairwise(known)):
        raise ValueError(f"{_shown(text)} is no length: each number needs its unit, the largest first")
    return sign * float(sum(number * size for (number, _), size in zip(parts, known, strict=True)))


def _parts(plain: str) -> list[tuple[Fraction, str]]:
    """The numbers of a length with their units ("" where none is given); empty if it does not read as a length."""
    parts: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(plain):
        match = _PART.match(plain, at)
        if not match:
            return []
        if match["decimal"] is not None:
            number = Fraction(match["decimal"])
        elif int(match["bottom"]) == 0:
            return []
        else:
            number = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
        parts.append((number, (match["unit"] or "").lower()))
        at = match.end()
    return parts


def _finite(value: int | float, what: str) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ValueError(f"{_shown(value)} is no {what}")
    return number


def _tidy(number: float, places: int) -> str:
    text = f"{number:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _shown(value: object) -> str:
    try:
        text = f'"{value}"' if isinstance(value, str) else str(value)
    except ValueError:  # Python will not write out a whole number of thousands of digits
        text = "a number of thousands of digits"
    return text if len(text) <= 60 else text[:57] + "…" + ('"' if isinstance(value, str) else "")
