"""The board's words laid beside the client's message: which differ, which were added, which are missing.

A message is a letter with prose round the words to carve, so the board's words are sought in it in order, at the least
cost: a word that differs a little costs little, one that the message lacks costs more, and the message's own words cost
only where they interrupt a line of the board. What a carver reads of it: marks, never corrections.
"""

from __future__ import annotations

import itertools
import math
import unicodedata
from collections import Counter
from collections.abc import Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import regex

from stopcut.job.remarks import Remark, Word, quoted, words_of

__all__ = ["against_message"]

# Costs of laying words side by side. Our choice: two words that share half of their letters are one word written two
# ways; unlike ones are rather one left out and one put in, unless both stand in the same place of a line.
_ADDED: Final = 1.0
_SKIPPED: Final = 0.5
_BETWEEN_LINES: Final = 0.02
_ALTERED: Final = 0.4
_UNLIKE: Final = 1.4
_LIKENESS: Final = 0.5
_SLIP: Final = 0.3  # one letter in four; our choice

MOST_STEPS: Final = 1_000_000  # board's words times message's; our choice: about a second's work
LONGEST_ASIDE: Final = 3  # words beside a match that may belong to it; our choice: longer ones are the letter's prose

_QUOTE: Final = regex.compile(r"[\"“”„«»]|(?<![\p{L}\p{N}])['‘’]|['‘’](?![\p{L}\p{N}])")
_STOP: Final = regex.compile("[:.;!?]")


@dataclass(frozen=True, slots=True)
class _Message:
    """The client's words; breaks[i] is what parts word i from the one before: "quote", "line", "stop" or nothing, "".

    There is one more break than words: the last follows the last word.
    """

    words: tuple[Word, ...]
    breaks: tuple[str, ...]


def against_message(message: str, lines: Sequence[str]) -> tuple[Remark, ...]:
    """What differs between a message (free text) and a board's lines. Kinds: differs, added, missing, order, case.

    Nothing is remarked where either has no words. Where they have no word in common, one remark says so.
    """
    board = [word for number, line in enumerate(lines, 1) for word in words_of(line, number)]
    told = _told(message)
    if not board or not told.words:
        return ()
    if len(board) * len(told.words) > MOST_STEPS:
        return (Remark("differs", board[0].line, 0, 0, "The message is too long to be laid beside the board's words."),)
    partners = _partners(board, told.words)
    if not any(_alike(word, told.words, partner) for word, partner in zip(board, partners, strict=True)):
        return (Remark("differs", board[0].line, 0, 0, "The message has none of the board's words."),)
    remarks = [*_beside(board, told, partners), *_asides(board, told, partners), *_order(board, partners)]
    return tuple(sorted(remarks, key=lambda remark: (remark.line, remark.start, remark.end)))


def _told(message: str) -> _Message:
    words = words_of(message)
    if not words:
        return _Message((), ())
    between = [message[a.end : b.start] for a, b in itertools.pairwise(words)]
    first, last = _break(message[: words[0].start]), _break(message[words[-1].end :])
    return _Message(words, (first or "stop", *map(_break, between), last or "stop"))


def _break(between: str) -> str:
    """What parts two words of a message."""
    if _QUOTE.search(between):
        return "quote"
    return "line" if "\n" in between else "stop" if _STOP.search(between) else ""


def _partners(board: Sequence[Word], told: Sequence[Word]) -> list[int | None]:
    """The message's word beside each of the board's; lines that the message has elsewhere are sought by themselves."""
    partners = _aligned(board, told)
    for _, group in itertools.groupby(range(len(board)), key=lambda i: board[i].line):
        here = list(group)
        as_told = sum(_same(board[i], told, partners[i]) for i in here)
        if as_told == len(here) or len(here) == len(board):
            continue
        alone = _aligned([board[i] for i in here], told)
        taken = {partner for i, partner in enumerate(partners) if i not in here}
        better = sum(_same(board[i], told, p) and p not in taken for i, p in zip(here, alone, strict=True))
        if better > as_told and better * 2 > len(here):
            for i, partner in zip(here, alone, strict=True):
                partners[i] = None if partner in taken else partner
    return partners


def _aligned(board: Sequence[Word], told: Sequence[Word]) -> list[int | None]:
    """The partners at the least cost, the board's words kept in order."""
    skip = [0.0, *(_SKIPPED if a.line == b.line else _BETWEEN_LINES for a, b in itertools.pairwise(board)), 0.0]
    costs = [0.0] * (len(told) + 1)
    came: list[list[int]] = []  # 0 side by side, 1 added on the board, 2 skipped in the message
    for i, word in enumerate(board, 1):
        row, ways = [costs[0] + _ADDED], [1]
        for j, other in enumerate(told, 1):
            choices = (costs[j - 1] + _cost(word.folded, other.folded), costs[j] + _ADDED, row[j - 1] + skip[i])
            way = choices.index(min(choices))
            row.append(choices[way])
            ways.append(way)
        came.append(ways)
        costs = row
    partners: list[int | None] = [None] * len(board)
    i, j = len(board), min(range(len(told) + 1), key=costs.__getitem__)
    while i > 0:
        way = came[i - 1][j]
        if way == 0:
            partners[i - 1] = j - 1
        i, j = (i if way == 2 else i - 1), (j if way == 1 else j - 1)
    return partners


def _cost(one: str, other: str) -> float:
    """What it costs to lay two folded words side by side."""
    if one == other:
        return 0.0
    apart = _apart(one, other)
    return _ALTERED + apart if apart <= _LIKENESS else _UNLIKE


@lru_cache(maxsize=65536)
def _apart(one: str, other: str) -> float:
    """Letters put in, left out, changed or swapped, against the longer word; 1 for what has too few in common."""
    longest = max(len(one), len(other))
    shared = (Counter(one) & Counter(other)).total()
    if longest - shared > _LIKENESS * longest:
        return 1.0
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one):
        after = [i + 1]
        for j, b in enumerate(other):
            step = min(row[j] + (a != b), row[j + 1] + 1, after[j] + 1)
            if i and j and a == other[j - 1] and b == one[i - 1]:
                step = min(step, before[j - 1] + 1)
            after.append(step)
        before, row = row, after
    return row[-1] / longest


def _same(word: Word, told: Sequence[Word], partner: int | None) -> bool:
    return partner is not None and told[partner].folded == word.folded


def _alike(word: Word, told: Sequence[Word], partner: int | None) -> bool:
    """Whether a word is its partner, perhaps with a slip."""
    return partner is not None and _apart(word.folded, told[partner].folded) <= _SLIP


def _beside(board: Sequence[Word], told: _Message, partners: Sequence[int | None]) -> list[Remark]:
    """Each of the board's words that is not as the message has it."""
    out = []
    for word, partner in zip(board, partners, strict=True):
        if partner is None:
            says = f"{quoted(word.text)} is not in the message here."
            out.append(Remark("added", word.line, word.start, word.end, says))
            continue
        other = told.words[partner].text
        if not _same(word, told.words, partner):
            says = f"{quoted(word.text)} here, {quoted(other)} in the message{_how(word.text, other)}."
            out.append(Remark("differs", word.line, word.start, word.end, says, other))
        elif _cased_otherwise(word.text, other):
            says = f"{quoted(word.text)} here, {quoted(other)} in the message: capitals differ."
            out.append(Remark("case", word.line, word.start, word.end, says, other))
    return out


def _cased_otherwise(here: str, there: str) -> bool:
    """Whether both are set in small letters and capitals, but not the same ones after the first."""
    mixed = all(not text.isupper() and not text.islower() for text in (here, there))
    return mixed and [c.isupper() for c in here[1:]] != [c.isupper() for c in there[1:]]


def _how(here: str, there: str) -> str:
    """In what two words differ, where it is one letter."""
    here, there = unicodedata.normalize("NFC", here), unicodedata.normalize("NFC", there)
    a, b = here.casefold(), there.casefold()
    if (len(a), len(b)) != (len(here), len(there)):
        return ""
    head = next((i for i, (p, q) in enumerate(zip(a, b, strict=False)) if p != q), min(len(a), len(b)))
    tail = next(
        (i for i, (p, q) in enumerate(zip(reversed(a[head:]), reversed(b[head:]), strict=False)) if p != q),
        min(len(a), len(b)) - head,
    )
    left, right = here[head : len(here) - tail], there[head : len(there) - tail]
    if len(left) == len(right) == 1:
        return f": letter {head + 1} is {left} here, {right} there"
    if len(left) == len(right) == 2 and left.casefold() == right[::-1].casefold():
        return f": letters {head + 1} and {head + 2} have changed places"
    if not left and len(right) == 1:
        return f": {right} is left out after letter {head}" if head else f": {right} is left out at the front"
    if not right and len(left) == 1:
        return f": letter {head + 1}, {left}, is one too many"
    return ""


def _asides(board: Sequence[Word], told: _Message, partners: Sequence[int | None]) -> list[Remark]:
    """The message's words between and beside the board's that may have been left out."""
    out = []
    used = {partner for partner in partners if partner is not None}
    matched = [(word, partner) for word, partner in zip(board, partners, strict=True) if partner is not None]
    for (word, at), (following, there) in itertools.pairwise([*matched, (None, math.inf)]):
        assert word is not None
        stop = next((k for k in sorted(used) if k > at), len(told.words))
        if following is not None and stop == there and following.line == word.line:
            out += _missing(word, told.words[int(at) + 1 : stop])
        else:
            out += _missing(word, told.words[int(at) + 1 : _run_end(told, int(at), stop, used)])
    for word, at in _line_starts(matched):
        start = max((k for k in used if k < at), default=-1) + 1
        begin = _run_start(told, at, start, used)
        if begin > start or start == 0:  # what begins right after another match was looked at from there
            out += _missing(word, told.words[begin:at], before=True)
    return out


def _line_starts(matched: Sequence[tuple[Word, int]]) -> list[tuple[Word, int]]:
    return [next(group) for _, group in itertools.groupby(matched, key=lambda pair: pair[0].line)]


def _run_end(told: _Message, at: int, stop: int, used: Set[int]) -> int:
    """Where the words that go on after a match end, at + 1 if they are prose: they must be few and belong to it."""
    end = next((k for k in range(at + 1, stop) if told.breaks[k]), stop)
    few = end - at - 1 <= LONGEST_ASIDE
    shouted = told.words[at].text.isupper()
    reaches = end == stop < len(told.words) and not told.breaks[end]  # to the next of the board's words without a break
    begin = next(k for k in range(at, -1, -1) if told.breaks[k] or k - 1 not in used)
    edges = (told.breaks[end], told.breaks[begin])
    if few and ((reaches and not shouted) or _belongs(told, at, range(at + 1, end), edges)):
        return end
    return at + 1


def _run_start(told: _Message, at: int, start: int, used: Set[int]) -> int:
    """Where the words that lead up to a match begin, at itself if they are prose."""
    begin = next((k for k in range(at, start, -1) if told.breaks[k]), start)
    end = next(k for k in range(at + 1, len(told.words) + 1) if told.breaks[k] or k not in used)
    edges = (told.breaks[begin], told.breaks[end])
    return begin if at - begin <= LONGEST_ASIDE and _belongs(told, at, range(begin, at), edges) else at


def _belongs(told: _Message, at: int, beside: range, edges: tuple[str, str]) -> bool:
    """Whether words beside a match are of a piece with it, by what parts them and the match from the rest.

    They are within the same quotation marks, or fill a line of the message with it, or are capitalised like it.
    """
    if edges[0] == "quote" or edges == ("line", "line"):
        return True
    match, others = told.words[at].text, [told.words[k].text for k in beside]
    if match.isupper() and len(match) > 1:
        return all(text.isupper() for text in others)
    return match[:1].isupper() and all(text[:1].isupper() and not (len(text) > 1 and text.isupper()) for text in others)


def _missing(word: Word, left_out: Sequence[Word], *, before: bool = False) -> list[Remark]:
    if not left_out:
        return []
    place = word.start if before else word.end
    says = f"The message has {quoted(left_out)} {'before' if before else 'after'} {quoted(word.text)}."
    return [Remark("missing", word.line, place, place, says, " ".join(one.text for one in left_out))]


def _order(board: Sequence[Word], partners: Sequence[int | None]) -> list[Remark]:
    """Lines that the message has in another order."""
    starts = _line_starts([(w, p) for w, p in zip(board, partners, strict=True) if p is not None])
    return [
        Remark("order", word.line, 0, 0, f"The message has line {word.line}'s words before line {above.line}'s.")
        for (above, earlier), (word, later) in itertools.pairwise(starts)
        if later < earlier
    ]
