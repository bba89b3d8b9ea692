"""Readers of the values that only a job has: words to carve, pairs of letters, shifts by hand, font features."""

from __future__ import annotations

import re
import unicodedata
from typing import Any, Final

import regex
from pydantic import PlainValidator, ValidationInfo

from stopcut.job.pairs import Pair, letters_of, split_pair
from stopcut.units import parse_share
from stopcut.written.readers import (
    bounded_length,
    bounded_number,
    refuse_unseen,
    shown,
    units_of,
    wrong,
)

__all__ = [
    "features",
    "letter",
    "pair",
    "plain_letter",
    "plain_pair",
    "scale_or_length",
    "shift_by",
    "words",
]

MOST_MARKS: Final = 8
"""Marks on one letter. Our choice: pointed and sung Hebrew has four or five, and more is a slip of the keys."""

MOST_IN_LIGATURE: Final = 4
"""Letters in one ligature. Our choice: ffi has three."""

_INK: Final = regex.compile(r"(?!\u2800)[^\p{White_Space}\p{Default_Ignorable_Code_Point}\p{M}\p{C}]")
"""What has ink and stands by itself (Unicode's own classes); the blank of Braille has none."""

_FEATURE: Final = re.compile(r"[+-]?[A-Za-z0-9]{4}(?:=[0-9]{1,3})?")


def words(longest: int) -> PlainValidator:
    """The words of a line to carve: at least one letter, nothing that has no ink and is not needed."""

    def read(value: Any) -> str:
        if not isinstance(value, str):
            raise wrong(f"{shown(value)} is no text", 'write the words in quotes, house numbers too: "12"')
        _check_tabs(value)
        refuse_unseen(
            value.replace("\t", " "), "carve each line as its own [[line]], with nothing but what can be seen"
        )
        if not _INK.search(value):
            raise wrong("the words are blank", "write what is to be carved, or take this [[line]] out")
        if len(value) > longest:
            raise wrong(f"the line has {len(value)} characters", f"break it into lines of at most {longest}")
        piled = max((sum(1 for c in letter if unicodedata.combining(c)) for letter in letters_of(value)), default=0)
        if piled > MOST_MARKS:
            raise wrong(f"a letter has {piled} marks", f"no script piles up more than {MOST_MARKS} on one letter")
        return value

    return PlainValidator(read)


def _check_tabs(value: str) -> None:
    """A tab parts a name from its year: one at most, with something to carve on both sides of it."""
    parts = value.split("\t")
    if len(parts) > 2:
        raise wrong(f"the words have {len(parts) - 1} tabs", 'one tab parts a name from its year: "Ada Fenn\\t1998"')
    if len(parts) == 2 and _INK.search(value):
        for side, part in zip(("before", "after"), parts, strict=True):
            if not _INK.search(part):
                raise wrong(f"nothing to carve stands {side} the tab", "take the tab out, or write what stands there")


def pair() -> PlainValidator:
    """Two letters that stand side by side in a word."""

    def read(value: Any) -> str:
        if not isinstance(value, str) or split_pair(value) is None:
            raise wrong(
                f"{shown(value)} is no pair", 'write two letters of one word: "RO"; word_space sets words apart'
            )
        return value

    return PlainValidator(read)


def letter() -> PlainValidator:
    """A letter as it is carved: one with its marks, or the few of a ligature."""

    def read(value: Any) -> str:
        found = letters_of(value) if isinstance(value, str) else ()
        if not 1 <= len(found) <= MOST_IN_LIGATURE or any(c.isspace() for c in value):
            raise wrong(f"{shown(value)} is no letter", 'write one letter of the line: "R"')
        return "".join(found)

    return PlainValidator(read)


def shift_by(most_mm: float, most_share: float) -> PlainValidator:
    """A signed length, or a percentage of the cap height. Gives ("mm", length) or ("share", fraction of cap height)."""

    def read(value: Any, info: ValidationInfo) -> tuple[str, float]:
        if isinstance(value, str) and "%" in value:
            try:
                share = parse_share(value)
            except ValueError as problem:
                raise wrong(str(problem), 'write "1.2 %" of the cap height, or "0.4 mm"') from None
            if abs(share) > most_share:
                raise wrong(
                    f"{shown(value)} is more than a gap can take", f"stay within {most_share:.0%} of cap height"
                )
            return ("share", share)
        return ("mm", bounded_length(value, units_of(info), -most_mm, most_mm))

    return PlainValidator(read)


def scale_or_length(most: float, most_mm: float) -> PlainValidator:
    """A bare number from 0 to most, which scales what the model gives, or a length with its unit, which sets it.

    Gives the number, or ("mm", length).
    """

    def read(value: Any, info: ValidationInfo) -> float | tuple[str, float]:
        if isinstance(value, str):
            return ("mm", bounded_length(value, units_of(info), 0, most_mm))
        return bounded_number(value, 0, most)

    return PlainValidator(read)


def features() -> PlainValidator:
    """A list of OpenType feature tags, in the form that HarfBuzz takes: "smcp", "-liga", "salt=2"."""

    def read(value: Any) -> tuple[str, ...]:
        if not isinstance(value, list):
            raise wrong(f"{shown(value)} is no list", 'write ["smcp"], in brackets')
        for tag in value:
            if not isinstance(tag, str) or not _FEATURE.fullmatch(tag):
                raise wrong(
                    f"{shown(tag)} is no feature", 'a feature has four letters: "smcp", "onum", "ss01", "-liga"'
                )
        return tuple(value)

    return PlainValidator(read)


def plain_pair(shift: object) -> Pair | None:
    """The pair that one of a line's shifts names, as the TOML holds it (the first, without nth); None if none."""
    return _named(shift, "pair")


def plain_letter(table: object) -> Pair | None:
    """The letter that a stroke's name or a widening names, as the TOML holds it (the first, without nth); None if
    none."""
    return _named(table, "letter")


def _named(table: object, key: str) -> Pair | None:
    if not isinstance(table, dict):
        return None
    letters, nth = table.get(key), table.get("nth", 1)
    if not isinstance(letters, str) or isinstance(nth, bool) or not isinstance(nth, int):
        return None
    return Pair(unicodedata.normalize("NFC", letters), nth)
