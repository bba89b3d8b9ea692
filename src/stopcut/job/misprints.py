"""What looks wrong in the words themselves, with no message to compare them with: slips that are carved once for all.

Nothing here knows how a word is spelt, so no name is ever called wrong: a word is marked for how it is typed (twice
running, a figure among letters, two kinds of apostrophe), never for what it says.
"""

from __future__ import annotations

import itertools
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

import regex

from stopcut.job.remarks import LOOKS_LATIN, Remark, Word, quoted, words_of

__all__ = ["misprints"]

CharPlace = tuple[int, int, str]
"""A character by its line (from 1), its place in the line (from 0) and itself."""

_STRAIGHT, _CURLY = "'\"", "‘’“”"
_NO_APOSTROPHE: Final = {"`": "a grave accent", "´": "an acute accent", "′": "a prime (feet)", "″": "a prime (inches)"}
_BRACKETS: Final = {"(": ")", "[": "]", "{": "}", "«": "»"}
_DASH_NAMES: Final = {
    "-": "hyphen",
    "\u2010": "hyphen",
    "\u2011": "hyphen",
    "\u2012": "figure dash",
    "–": "en dash",
    "—": "em dash",
    "―": "bar",
    "−": "minus",
}
_DASH: Final = regex.compile("--+|[" + "".join(_DASH_NAMES).replace("-", r"\-") + "]")
_SPACES: Final = regex.compile(r"(?<=\S)\s{2,}(?=\S)")
_BEFORE_POINT: Final = regex.compile(r"(?<=\S)[ \t]+(?=[,;:!?)\]}»]|\.(?![\d.])|…)")
_AFTER_OPENING: Final = regex.compile(r"(?<=[(\[{])\s+(?=\S)")
_RUN: Final = regex.compile(r"[0-9IlOo|]*[0-9][0-9IlOo|]*")
_ORDINAL: Final = regex.compile(r"(st|nd|rd|th|ST|ND|RD|TH)\b")
_LETTER_FOR: Final = {"I": "1", "l": "1", "|": "1", "O": "0", "o": "0"}
_NAME_BEGINNINGS: Final = frozenset(
    {"ap", "de", "di", "du", "fitz", "la", "le", "mac", "mc", "ni", "nic", "van", "von"}
)
"""What may stand before a capital within a name. Common practice in names of Britain and Europe."""
_FIGURE_FOR: Final = {"1": "the letter I or l", "0": "the letter O"}


def misprints(lines: Sequence[str]) -> tuple[Remark, ...]:
    """All that is remarkable in a board's lines of words, in reading order.

    Kinds: doubled, quotes, figures, spaces, dashes, scripts, brackets.
    """
    found = [
        *_doubled(lines),
        *_quotes(lines),
        *_figures(lines),
        *_spaces(lines),
        *_dashes(lines),
        *_scripts(lines),
        *_brackets(lines),
    ]
    return tuple(sorted(found, key=lambda remark: (remark.line, remark.start, remark.end)))


def _words(lines: Sequence[str]) -> Iterator[Word]:
    for number, line in enumerate(lines, 1):
        yield from words_of(line, number)


def _places(lines: Sequence[str]) -> Iterator[CharPlace]:
    for number, line in enumerate(lines, 1):
        for place, char in enumerate(line):
            yield number, place, char


def _doubled(lines: Sequence[str]) -> Iterator[Remark]:
    """The same word twice running, over the end of a line too."""
    for first, second in itertools.pairwise(_words(lines)):
        if first.folded == second.folded:
            where = "" if first.line == second.line else f", at the end of line {first.line} and here"
            says = f"{quoted(second.text)} stands twice running{where}."
            yield Remark("doubled", second.line, second.start, second.end, says, first.text)


def _quotes(lines: Sequence[str]) -> Iterator[Remark]:
    """Straight quotation marks among curly ones (the rarer kind is marked), and accents set for apostrophes."""
    marks = [place for place in _places(lines) if place[2] in _STRAIGHT + _CURLY]
    straight = [place for place in marks if place[2] in _STRAIGHT]
    curly = [place for place in marks if place[2] in _CURLY]
    if straight and curly:
        few, many, what = (curly, straight, "Curly") if len(curly) < len(straight) else (straight, curly, "Straight")
        line, _, like = many[0]
        for number, place, char in few:
            says = f"{what} {char} here, {like} in line {line}: one kind throughout looks meant."
            yield Remark("quotes", number, place, place + 1, says, like)
    for number, place, char in _places(lines):
        if char in _NO_APOSTROPHE:
            says = f"{char} is {_NO_APOSTROPHE[char]}; an apostrophe is ’."
            yield Remark("quotes", number, place, place + 1, says)


def _figures(lines: Sequence[str]) -> Iterator[Remark]:
    """Letters that stand for figures, figures that stand for letters, and I among small letters, l among capitals."""
    for word in _words(lines):
        for at, char, says in _mistaken(word.text):
            whole = f"{says} in {quoted(word.text)}?"
            yield Remark("figures", word.line, word.start + at, word.start + at + 1, whole, char)


def _mistaken(word: str) -> Iterator[tuple[int, str, str]]:
    """Each doubtful character of a word: its place, what it may be meant for, and the question."""
    among_figures = list(_letters_among_figures(word))
    yield from among_figures or _figures_among_letters(word)
    for at, char in enumerate(word):
        left, right = word[at - 1 : at], word[at + 1 : at + 2]
        if char == "I" and left.islower() and not right.isupper() and word[:at].lower() not in _NAME_BEGINNINGS:
            yield at, "l", "Is the capital I a small l"
        elif char == "l" and (left.isupper() or right.isupper()) and word.replace("l", "").isupper():
            yield at, "I", "Is the small l a capital"


def _letters_among_figures(word: str) -> Iterator[tuple[int, str, str]]:
    for run in _RUN.finditer(word):
        before, after = word[: run.start()], word[run.end() :]
        part, start = run[0], run.start()
        if before[-1:].isalpha():  # "No1" is letters and then a figure
            part = part.lstrip("".join(_LETTER_FOR))
            start = run.end() - len(part)
        if after[:1].isalpha() and not _ORDINAL.match(after):  # "1lb"
            part = part.rstrip("".join(_LETTER_FOR))
        for at, char in enumerate(part, start):
            if char in _LETTER_FOR:
                yield at, _LETTER_FOR[char], f"Is {char} the figure {_LETTER_FOR[char]}"


def _figures_among_letters(word: str) -> Iterator[tuple[int, str, str]]:
    letters = sum(char.isalpha() for char in word)
    for at, char in enumerate(word):
        left, right = word[at - 1 : at], word[at + 1 : at + 2]
        if char in _FIGURE_FOR:
            enough = 2 if word.isupper() else 3  # "1kg" and "1lb" are figure and unit
            leads = at == 0 and letters == len(word) - 1 >= enough and not _ORDINAL.match(word, 1)
            if leads or (left.isalpha() and right.isalpha() and (left + right).strip("IlOo")):
                yield at, "I" if char == "1" else "O", f"Is {char} {_FIGURE_FOR[char]}"


def _spaces(lines: Sequence[str]) -> Iterator[Remark]:
    for number, line in enumerate(lines, 1):
        for pattern, says in (
            (_SPACES, "Two spaces or more where one would do."),
            (_BEFORE_POINT, "A space before the punctuation."),
            (_AFTER_OPENING, "A space after the opening bracket."),
        ):
            for match in pattern.finditer(line):
                yield Remark("spaces", number, *match.span(), says)


def _dashes(lines: Sequence[str]) -> Iterator[Remark]:
    """Dashes of several kinds doing one work (the rarer are marked), and hyphens typed twice for a dash."""
    by_work: dict[str, list[tuple[int, int, str]]] = {}
    for number, line in enumerate(lines, 1):
        for match in _DASH.finditer(line):
            if len(match[0]) > 1:
                yield Remark("dashes", number, *match.span(), f"{match[0]} is hyphens: a dash is – or —.", "–")
                continue
            left, right = line[: match.start()][-1:], line[match.end() :][:1]
            by_work.setdefault(_work_of(left, right), []).append((number, match.start(), match[0]))
    for work, dashes in by_work.items():
        counts = Counter(_DASH_NAMES[dash] for *_, dash in dashes)
        common = counts.most_common(1)[0][0]
        like = next((line, dash) for line, _, dash in dashes if _DASH_NAMES[dash] == common)
        for number, place, dash in dashes:
            if _DASH_NAMES[dash] != common:
                says = (
                    f"{_DASH_NAMES[dash].capitalize()} {dash} here, {common} {like[1]} in line {like[0]}, both {work}."
                )
                yield Remark("dashes", number, place, place + 1, says, like[1])


def _work_of(left: str, right: str) -> str:
    if left.isdigit() and right.isdigit():
        return "between figures"
    return "within words" if left.strip() and right.strip() else "between words"


def _scripts(lines: Sequence[str]) -> Iterator[Remark]:
    """Letters of another script within a word, and whole words of look-alikes on a board that is Latin otherwise."""
    words = [(word, Counter(filter(None, map(_script, word.text)))) for word in _words(lines)]
    board = sum((scripts for _, scripts in words), Counter[str]())
    for word, scripts in words:
        if not scripts:
            continue
        # Where a word is half and half, its own letters are those of most of the board.
        own = max(scripts, key=lambda script: (scripts[script], board[script]))
        alike = all(char in LOOKS_LATIN for char in word.text if _script(char))
        if len(scripts) == 1 and own != "Latin" and alike and board["Latin"] > board[own]:
            own = "Latin"
        for at, char in enumerate(word.text):
            if _script(char) not in ("", own):
                twin = LOOKS_LATIN.get(char, "")
                looks = f" though it looks like the Latin {twin}" if twin and own == "Latin" else ""
                says = f"{char} in {quoted(word.text)} is a {_script(char)} letter{looks}: type it again."
                yield Remark("scripts", word.line, word.start + at, word.start + at + 1, says, twin)


def _script(char: str) -> str:
    """Latin, Cyrillic or Greek for their letters, "" for all else: other scripts are not taken for one another."""
    name = unicodedata.name(char, "") if char.isalpha() else ""
    return next((script for script in ("Latin", "Cyrillic", "Greek") if name.startswith(script.upper())), "")


def _brackets(lines: Sequence[str]) -> Iterator[Remark]:
    """Brackets that nothing closes or opens, over the whole board; and a straight double quotation mark left over."""
    opened: list[CharPlace] = []
    for number, place, char in _places(lines):
        if char in _BRACKETS:
            opened.append((number, place, char))
        elif char in _BRACKETS.values():
            if opened and _BRACKETS[opened[-1][2]] == char:
                opened.pop()
            else:
                yield Remark("brackets", number, place, place + 1, f"Nothing opens this {char}.")
    for number, place, char in opened:
        yield Remark("brackets", number, place, place + 1, f"Nothing closes this {char}.", _BRACKETS[char])
    double = [place for place in _places(lines) if place[2] == '"']
    inches = [(line, at, char) for line, at, char in double if lines[line - 1][:at][-1:].isdigit()]
    rest = [place for place in double if place not in inches]
    if len(rest) % 2:
        number, place, char = rest[-1]
        yield Remark("brackets", number, place, place + 1, f"This {char} has no fellow.", char)
