"""Letters of a line by what they are and which of their kind: how a job names one, and how it is found again."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from stopcut.errors import CarverError, Finding, Severity, Where
from stopcut.lettering.letters import Lettered
from stopcut.shape.offset import BadOffset, mitred

__all__ = ["TOLERANCE_MM", "letter_named", "name_of", "no_such_letter", "widened_letter"]

TOLERANCE_MM = 0.02
"""How far a widened letter's edges may lie off the curves. [mm] Our choice: a fifth of a pencil line's breadth."""


def letter_named(lettered: Lettered, char: str, nth: int) -> int | None:
    """Which letter of a line, from 1 in reading order, is its nth such one; None where there is none."""
    wanted = unicodedata.normalize("NFC", char)
    same = [number for number, own in enumerate(_reading(lettered), 1) if own == wanted]
    return same[nth - 1] if nth <= len(same) else None


def name_of(lettered: Lettered, number: int) -> tuple[str, int]:
    """How a job names the number-th letter, from 1: what it is, and which such letter of the line."""
    chars = _reading(lettered)
    if not 1 <= number <= len(chars):
        raise CarverError(f"{lettered.words} has {len(chars)} letters: there is no letter {number}.")
    char = chars[number - 1]
    return char, chars[:number].count(char)


def no_such_letter(char: str, nth: int, line: int, what: str) -> Finding:
    """What to say of something in the job whose letter is gone: what names it, "the name of a stroke" say."""
    ordinal = {1: "", 2: "second ", 3: "third "}.get(nth, f"{nth}th ")
    return Finding(
        "no-such-letter",
        Severity.LOOK,
        f"Line {line} has no {ordinal}“{char}”, so {what} there does nothing.",
        "Give it its new letter or number, or take it out.",
        Where(line=line),
    )


def widened_letter(lettered: Lettered, number: int, by_em: float, tolerance_em: float) -> Lettered:
    """The line with every stroke of its number-th letter (from 1, in reading order) wider by by_em. [em]

    Each edge is moved out by half of it, corners mitred. Raises CarverError where that cannot be drawn.
    """
    place = lettered.order.index(number - 1)
    letter = lettered.letters[place]
    try:
        outline = mitred(letter.outline, by_em / 2, tolerance_em)
    except BadOffset as problem:
        raise CarverError(f"'{letter.char}' (letter {number}) cannot be drawn so much wider.") from problem
    stem = None if letter.stem is None else letter.stem + by_em
    wider = replace(letter, outline=outline, stem=stem)
    return replace(lettered, letters=(*lettered.letters[:place], wider, *lettered.letters[place + 1 :]))


def _reading(lettered: Lettered) -> list[str]:
    places = sorted(range(len(lettered.letters)), key=lambda place: lettered.order[place])
    return [unicodedata.normalize("NFC", lettered.letters[place].char) for place in places]
