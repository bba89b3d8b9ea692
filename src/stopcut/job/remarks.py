"""Words as a proof-reader takes them, and what is remarked about them.

A word here is what stands between blanks, dashes, dots and strokes, without the punctuation at its ends; two words are
the same when their folds are: capitals or not, straight apostrophe or curly, a Cyrillic letter that looks Latin or not.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import regex

__all__ = ["LOOKS_LATIN", "Remark", "RemarkKind", "Word", "fold", "quoted", "words_of"]

RemarkKind = Literal[
    "differs",
    "added",
    "missing",
    "order",
    "case",
    "doubled",
    "quotes",
    "figures",
    "spaces",
    "dashes",
    "scripts",
    "brackets",
]

_CAPITALS = dict(zip("АВЕЅІЈКМНОРСТУХΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABESIJKMHOPCTYXABEZHIKMNOPTYX", strict=True))
_SMALL = dict(zip("аеѕіјорсухο", "aesijopcyxo", strict=True))
LOOKS_LATIN: Final[dict[str, str]] = {**_CAPITALS, **_SMALL}
"""Cyrillic and Greek letters drawn as a Latin one. Unicode Technical Standard #39, confusables, those that inscriptions
use; the tests lay their outlines over each other."""

_APOSTROPHES: Final = dict.fromkeys(map(ord, "‘’ʼ`´′"), "'")
_UNSEEN: Final = regex.compile(r"\p{Default_Ignorable_Code_Point}")
_WORD: Final = regex.compile(r"[^\s\p{Pd}−/•·|]+")
_ENDS: Final = regex.compile(r"^[^\p{L}\p{M}\p{N}&@%#£$€°]+|[^\p{L}\p{M}\p{N}&@%#£$€°]+$")


@dataclass(frozen=True, slots=True)
class Remark:
    """Something to look at before the words are cut; nothing is ever put right by itself.

    line counts from 1 as the job's lines do, start and end are characters of its words from 0 (equal where something is
    missing between them). says is a sentence; other what stands in its stead elsewhere: the message's words for
    differs, missing and case, else the like of it on the board, or "".
    """

    kind: RemarkKind
    line: int
    start: int
    end: int
    says: str
    other: str = ""


@dataclass(frozen=True, slots=True)
class Word:
    """A word without the punctuation at its ends, where it stands in its line (from 1; 0 in a message), its fold."""

    text: str
    line: int
    start: int
    end: int
    folded: str


def words_of(text: str, line: int = 0) -> tuple[Word, ...]:
    """The words of a text in order; what is punctuation alone is none."""
    out = []
    for match in _WORD.finditer(text):
        start, end = match.span()
        bare = match[0]
        for edge in _ENDS.finditer(match[0]):
            if edge.start() == 0:
                start += len(edge[0])
            else:
                end -= len(edge[0])
        bare = text[start:end]
        if bare:
            out.append(Word(bare, line, start, end, fold(bare)))
    return tuple(out)


def fold(text: str) -> str:
    """A text without what two readers would not call a difference of words: case, kinds of apostrophe, look-alikes."""
    latin = "".join(LOOKS_LATIN.get(char, char) for char in unicodedata.normalize("NFC", _UNSEEN.sub("", text)))
    return unicodedata.normalize("NFKC", latin).casefold().translate(_APOSTROPHES)


def quoted(words: str | Sequence[Word]) -> str:
    """Words in quotation marks, as they are shown in a sentence."""
    return f"“{words if isinstance(words, str) else ' '.join(word.text for word in words)}”"
