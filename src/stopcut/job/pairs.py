"""Letters and pairs of letters in a line's words: what a shift by hand, or a stroke's name, belongs to.

A letter is a grapheme cluster (a base with its marks); blanks are not letters. Two letters make a pair when they stand
side by side in one word. Pairs of the same letters are told apart by their place in reading order: nth, from 1. Letters
are compared in Unicode's composed form (NFC), so that it does not matter how an accent was typed. What belongs to a
single letter (or to a ligature's) is found and renumbered in the same way.
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import regex

__all__ = ["Pair", "letters_of", "pairs_after", "pairs_between", "pairs_of", "renumbered", "split_pair"]

NumberedCluster = tuple[str, int | None]
"""A cluster of some words with the number of its letter from 0; None for a blank."""

_UNSEEN: Final = regex.compile(r"\p{Default_Ignorable_Code_Point}+")

MOST_COMPARED: Final = 100_000  # clusters times clusters; our choice, because difflib takes a moment beyond it


@dataclass(frozen=True, slots=True)
class Pair:
    """The nth pair of these letters in a line; also the nth such letter, or run of letters in a word."""

    letters: str
    nth: int


def letters_of(words: str) -> tuple[str, ...]:
    """The grapheme clusters of words in the order they are written, blanks left out."""
    return tuple(cluster for cluster in _clusters(words) if not cluster.isspace())


def pairs_of(words: str) -> tuple[Pair, ...]:
    """Every pair of neighbouring letters, in reading order."""
    return tuple(_pairs_by_letter(words).values())


def pairs_between(words: str, letters: Sequence[str]) -> tuple[Pair | None, ...]:
    """The pair that stands across the gap after each letter as it is set; None at a word's end.

    letters are those of the words in reading order, a ligature as one: its pair is its last letter and the one that
    follows, so that a gap beside it has the name and the number that the words themselves give it.
    """
    clusters, pairs = letters_of(words), _pairs_by_letter(words)
    at, found = 0, []
    for letter in letters:
        count, own = len(letters_of(letter)), _bare(letter)
        while at < len(clusters) and _bare("".join(clusters[at : at + count])) != own:
            at += 1  # what has no ink is no letter as it is set
        at += count
        found.append(pairs.get(at - 1))
    return tuple(found)


def split_pair(text: str) -> tuple[str, str] | None:
    """The two letters of a pair as a person wrote it, or None if it is not two letters."""
    clusters = _clusters(text)
    return (clusters[0], clusters[1]) if len(clusters) == 2 and not any(c.isspace() for c in clusters) else None


def pairs_after(old: str, new: str, count: int = 2) -> dict[Pair, Pair]:
    """Which pair of the new words each pair of the old ones has become; a pair whose letters were parted is left out.

    Old and new words are laid beside each other letter by letter. A pair lives on where both of its letters do and are
    still neighbours, so typing elsewhere in the line changes at most its nth. Likewise runs of another count of
    letters.
    """
    kept = _letters_kept(_clusters_with_places(old), _clusters_with_places(new))
    new_pairs = _pairs_by_letter(new, count)
    became = {}
    for letter, pair in _pairs_by_letter(old, count).items():
        first = kept.get(letter)
        together = first is not None and all(kept.get(letter + n) == first + n for n in range(count))
        if first is not None and together and first in new_pairs:
            became[pair] = new_pairs[first]
    return became


def renumbered(pairs: Sequence[Pair], old: str, new: str, count: int = 2) -> tuple[Pair, ...]:
    """The pairs that shifts by hand belong to, once old words have become new ones; in the same order.

    A pair that lives on takes its new nth. One whose letters were parted takes the place of a pair of the same letters
    that the new words have made, so that a letter taken out and typed again keeps its shift. Failing that it is
    numbered beyond the last such pair: the shift stays in the job and belongs to nothing, which setting out reports.
    Likewise runs of another count of letters, single ones among them.
    """
    became = pairs_after(old, new, count)
    there = tuple(_pairs_by_letter(new, count).values())
    made = [pair for pair in there if pair not in set(became.values())]
    last: dict[str, int] = {}
    for pair in there:
        last[pair.letters] = pair.nth
    now = []
    for pair in pairs:
        home = became.get(pair) or next((other for other in made if other.letters == pair.letters), None)
        if home is None:
            last[pair.letters] = last.get(pair.letters, 0) + 1
            home = Pair(pair.letters, last[pair.letters])
        elif home in made:
            made.remove(home)
        now.append(home)
    return tuple(now)


def _letters_kept(before: list[NumberedCluster], after: list[NumberedCluster]) -> dict[int, int]:
    """Which letter of the new words each letter of the old ones is, by number from 0."""
    kept: dict[int, int] = {}
    for old_place, new_place in _together([cluster for cluster, _ in before], [cluster for cluster, _ in after]):
        old_letter, new_letter = before[old_place][1], after[new_place][1]
        if old_letter is not None and new_letter is not None:
            kept[old_letter] = new_letter
    return kept


def _together(old: list[str], new: list[str]) -> list[tuple[int, int]]:
    """Places of the old clusters with those of the new ones that they are laid beside.

    Where all that was done is to put something in or take something out, in one place, that is how they are laid.
    Otherwise by difflib, which looks for what is longest and common to both.
    """
    start = _common(old, new)
    end = _common(old[::-1], new[::-1])
    shorter, grown = (old, len(new) - len(old)) if len(old) <= len(new) else (new, len(old) - len(new))
    if start + end >= len(shorter):
        at = _gap(shorter, len(shorter) - end, start)
        pairs = [(place, place if place < at else place + grown) for place in range(len(shorter))]
        return pairs if shorter is old else [(long, short) for short, long in pairs]
    if len(old) * len(new) < MOST_COMPARED:
        start = end = 0
    matcher = difflib.SequenceMatcher(None, old[start : len(old) - end], new[start : len(new) - end], False)
    pairs = [(place, place) for place in range(start)]
    for block in matcher.get_matching_blocks():
        pairs += [(start + block.a + step, start + block.b + step) for step in range(block.size)]
    return pairs + [(len(old) - place, len(new) - place) for place in range(end, 0, -1)]


def _gap(shorter: list[str], first: int, last: int) -> int:
    """Where, from first to last, something was put into the shorter words: between two of them if it can be.

    "ROAD" becomes "ROSE ROAD" by putting a word before it, not "SE RO" into it. The last such place is taken, since
    people write onwards.
    """
    last = min(last, len(shorter))
    places = range(last, first - 1, -1)
    ends = (0, len(shorter))
    return next((at for at in places if at in ends or " " in (shorter[at - 1], shorter[at])), last)


def _common(one: list[str], other: list[str]) -> int:
    """How many members two lists have in common from their start."""
    return next((at for at, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))


def _bare(text: str) -> str:
    """A letter without the joiners and marks of direction that have no shape of their own."""
    return _UNSEEN.sub("", unicodedata.normalize("NFC", text))


@lru_cache(maxsize=512)
def _clusters(text: str) -> tuple[str, ...]:
    return tuple(regex.findall(r"\X", unicodedata.normalize("NFC", text)))


@lru_cache(maxsize=256)
def _pairs_by_letter(words: str, count: int = 2) -> dict[int, Pair]:
    """The pairs of words (or runs of count letters), each by the number of its first letter, from 0. Not to be
    changed."""
    seen: dict[str, int] = {}
    pairs: dict[int, Pair] = {}
    word: list[str] = []
    letter = 0
    for cluster in _clusters(words):
        if cluster.isspace():
            word = []
            continue
        word = [*word[1 - count :], cluster] if count > 1 else [cluster]
        letter += 1
        if len(word) == count:
            letters = "".join(word)
            seen[letters] = seen.get(letters, 0) + 1
            pairs[letter - count] = Pair(letters, seen[letters])
    return pairs


def _clusters_with_places(words: str) -> list[NumberedCluster]:
    placed: list[NumberedCluster] = []
    count = 0
    for cluster in _clusters(words):
        if cluster.isspace():
            placed.append((" ", None))
        else:
            placed.append((cluster, count))
            count += 1
    return placed
