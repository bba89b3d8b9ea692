"""Whether a line's letters are those that its writing wants: joined where it joins them, figures that suit capitals."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import regex

from stopcut.lettering.letters import Letter
from stopcut.shape.outline import Outline

__all__ = ["has_small_figures", "is_unjoined"]

SMALL_FIGURE = 0.87
"""A figure lower than this share of the cap height is old-style. Our choice: lining ones stand from 0.9 to 1.05."""

_JOINS_ON = regex.compile(r"[\p{Joining_Type=Dual_Joining}\p{Joining_Type=Left_Joining}]")
_JOINS_BACK = regex.compile(r"[\p{Joining_Type=Dual_Joining}\p{Joining_Type=Right_Joining}]")


def is_unjoined(reading: Sequence[Letter], texts: Sequence[str], alone: Callable[[str], dict[str, Outline]]) -> bool:
    """Whether letters that the writing joins on to the next (Unicode's Joining_Type) all stand as they do alone.

    reading are a line's letters as they are read, texts what each was written as (some with a non-joiner); alone gives
    the outlines of single characters each shaped by itself.
    A face that joins gives at least one of them another shape.
    """
    joining = [
        one
        for (one, text), (other, _) in pairwise(zip(reading, texts, strict=True))
        if one.word == other.word and len(text) == 1 and _JOINS_ON.match(text) and _JOINS_BACK.match(other.char)
    ]
    if not joining:
        return False
    shapes = alone("".join(sorted({letter.char for letter in joining})))
    return all(letter.char in shapes and shapes[letter.char].digest == letter.outline.digest for letter in joining)


def has_small_figures(letters: Sequence[Letter], cap_height: float) -> bool:
    """Whether old-style figures stand on a line with a capital. cap_height in em."""
    capitals = any(len(letter.char) == 1 and letter.char.isupper() for letter in letters)
    figures = [letter for letter in letters if letter.char.isdecimal()]
    return capitals and any(letter.outline.bounds.top < SMALL_FIGURE * cap_height for letter in figures)
