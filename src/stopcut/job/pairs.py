"""Letters and pairs of letters in a line's words: what a shift by hand belongs to.

A letter is a grapheme cluster (a base with its marks); blanks are not letters. Two letters make a pair when nothing or
one stretch of blanks stands between them: "RO" within a word, "W L" from the end of one word to the start of the next.
Pairs of the same letters are told apart by their place in reading order: nth, from 1.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import lru_cache

import regex

__all__ = ["Pair", "letters_of", "pairs_after", "pairs_of", "split_pair"]


@dataclass(frozen=True, slots=True)
class Pair:
    """The nth pair of these letters in a line. letters is "RO", or "W L" across a space between words."""

    letters: str
    nth: int


def letters_of(words: str) -> tuple[str, ...]:
    """The grapheme clusters of words in the order they are written, blanks left out."""
    return tuple(cluster for cluster in _clusters(words) if not cluster.isspace())


@lru_cache(maxsize=256)
def pairs_of(words: str) -> tuple[Pair, ...]:
    """Every pair of neighbouring letters, in reading order: one fewer than there are letters."""
    seen: dict[str, int] = {}
    pairs = []
    for letters in _pair_letters(words):
        seen[letters] = seen.get(letters, 0) + 1
        pairs.append(Pair(letters, seen[letters]))
    return tuple(pairs)


def split_pair(text: str) -> tuple[str, str] | None:
    """The two letters of a pair as a person wrote it, or None if it is not two letters, with or without one space."""
    clusters = _clusters(text)
    if len(clusters) == 3 and clusters[1] == " ":
        clusters = (clusters[0], clusters[2])
    if len(clusters) != 2 or any(cluster.isspace() for cluster in clusters):
        return None
    return clusters[0], clusters[1]


def pairs_after(old: str, new: str) -> dict[Pair, Pair]:
    """Which pair of the new words each pair of the old ones has become; a pair whose letters were parted is left out.

    Old and new words are laid beside each other letter by letter. A pair lives on where both of its letters do and are
    still neighbours, so typing elsewhere in the line changes at most its nth.
    """
    before, after = _clusters_with_places(old), _clusters_with_places(new)
    matcher = difflib.SequenceMatcher(None, [letter for letter, _ in before], [letter for letter, _ in after], False)
    kept: dict[int, int] = {}  # which letter of the new words each letter of the old ones is, counted from 0
    for block in matcher.get_matching_blocks():
        for step in range(block.size):
            old_letter, new_letter = before[block.a + step][1], after[block.b + step][1]
            if old_letter is not None and new_letter is not None:
                kept[old_letter] = new_letter
    old_pairs, new_pairs = pairs_of(old), pairs_of(new)
    became = {}
    for place, pair in enumerate(old_pairs):
        left, right = kept.get(place), kept.get(place + 1)
        if left is not None and right == left + 1 and new_pairs[left].letters == pair.letters:
            became[pair] = new_pairs[left]
    return became


@lru_cache(maxsize=512)
def _clusters(text: str) -> tuple[str, ...]:
    return tuple(regex.findall(r"\X", text))


def _pair_letters(words: str) -> list[str]:
    pairs = []
    left, space = "", ""
    for cluster in _clusters(words):
        if cluster.isspace():
            space = " "
            continue
        if left:
            pairs.append(left + space + cluster)
        left, space = cluster, ""
    return pairs


def _clusters_with_places(words: str) -> list[tuple[str, int | None]]:
    """Every cluster with the number of its letter from 0; None for a blank."""
    placed: list[tuple[str, int | None]] = []
    count = 0
    for cluster in _clusters(words):
        if cluster.isspace():
            placed.append((" ", None))
        else:
            placed.append((cluster, count))
            count += 1
    return placed
