"""One line of letters: its gaps from the model, the wood's and the hand's, at any height and openness.

A `LineShape` holds what does not change with size: profiles in visual order and what the model makes of each pair. Its
`gaps` at a height are then a few sums, so that a line can be set again and again (to fit, to spread, after an edit).

Letters that the writing itself joins (Arabic and its kin, the head line of Devanagari) keep their face's own distance:
to space them would break the joins.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
from fontTools import unicodedata as scripts

from stopcut.arrays import Array, Flags
from stopcut.job.pairs import Pair, pairs_between
from stopcut.lettering.letters import Letter, Lettered
from stopcut.setting.bent import Bow, bent
from stopcut.setting.profile import Profile, profile
from stopcut.setting.spacing import LetterSide, Manner, manner_of, pair_gaps, sides, upright_sides
from stopcut.setting.wood_left import least_gaps

__all__ = ["Gaps", "LineShape", "forget", "joined_writing", "line_shape"]


_JOINING = frozenset({"Arab", "Syrc", "Mong", "Nkoo", "Mand", "Adlm", "Rohg", "Phag", "Deva", "Beng", "Guru"})
"""Scripts whose letters join, by ISO 15924 code. The Unicode Standard, chapters 9, 12, 13 and 14."""

_JOIN = 5.0
"""Inks this near at the face's own distance are meant to join. [1/1000 cap height] Our choice: a hair."""

_OVER = 2
"""Two letters are held apart over so many small ones between them. Our choice: T.’T is the worst that words bring."""


MARKS = frozenset("-‐‑‒–—−.:·∙•")
"""Dashes, hyphens, points and colons, which stand even between two figures (common practice for years and dates)."""
MOST_WOOD = 2000.0
"""Marks are not set farther from a figure. [1/1000 cap height] Our choice: twice the figure's height."""
EVEN = 0.5
"""How even is even. [1/1000 cap height] Our choice: 0.03 mm on 60 mm figures."""


@dataclass(frozen=True, eq=False)
class Gaps:
    """A line's gaps in visual order, each (letters − 1,). [mm]

    model is what the model and the wood give; held says where the wood, not the light, decided.
    """

    model: Array
    held: Flags


@dataclass(frozen=True, eq=False)
class LineShape:
    """A line without its size: letters in visual order from left to right.

    order[i] is the place of letters[i] in reading order. pair, lights and fixed are per gap: what the shapes give, how
    many times the openness' light (a word space has two), and where the writing's own join rules.
    """

    letters: tuple[Letter, ...]
    order: tuple[int, ...]
    profiles: tuple[Profile, ...]
    manner: Manner
    cap_height: float
    pair: Array
    lights: Array
    fixed: Flags
    word_space: float
    words: str = ""

    @cached_property
    def widths(self) -> Array:
        """Ink widths of the letters. [1/1000 cap height]"""
        return np.array([shape.x_right - shape.x_left for shape in self.profiles])

    @cached_property
    def bearings(self) -> Array:
        """How far each letter's ink begins from its own origin. [em]"""
        return np.array([shape.bounds.left for shape in self.profiles])

    @cached_property
    def extents(self) -> tuple[float, float]:
        """The lowest and the highest ink of the line, from its baseline. [em]"""
        return min(p.bounds.bottom for p in self.profiles), max(p.bounds.top for p in self.profiles)

    def gaps(self, mm_per_em: float, openness: float, wood_mm: float, bow: Bow | None = None) -> Gaps:
        """The gaps between ink extents at a size, before any shift by hand. Below 0, wood_mm sets no limit.

        On a bow they are along its circle at mid cap height. Raises ValueError where a letter reaches its centre.
        """
        unit = mm_per_em * self.cap_height / 1000
        free = self.pair + self.lights * self.manner.opened(openness)
        free = np.where(self.lights > 1, free * self.word_space, free)
        least = self._least(wood_mm / unit, bow) if wood_mm >= 0 else np.full(len(free), -np.inf)
        held = (least > free) & ~self.fixed
        settled = np.where(held, least, np.where(self.fixed, self.pair, free))
        return Gaps(settled * unit, held)

    def _least(self, wood: float, bow: Bow | None) -> Array:
        """The least gaps that leave this much wood, between neighbours and over small letters between two others.

        The Ts of T.T would both tuck over the full stop and meet: all gaps between then give way alike, whatever the
        openness, so that a larger one never narrows a gap.
        """
        # Letters that share no height may stand one over the other, but never change places.
        profiles = self.profiles if bow is None else [bent(shape, bow) for shape in self.profiles]
        widths = np.array([shape.x_right - shape.x_left for shape in profiles])
        least: Array = np.maximum(_neighbours(profiles, wood, bow), -np.minimum(widths[:-1], widths[1:]))
        for over in range(2, _OVER + 2):
            starts = np.concatenate([[0.0], np.cumsum(least + widths[1:])])
            apart = starts[over:] - widths[over:] - starts[:-over]
            for i in np.flatnonzero(apart < wood).tolist():
                if not self.fixed[i : i + over].any():
                    inner = float(least[i : i + over].sum() + widths[i + 1 : i + over].sum())
                    lack = float(least_gaps([(profiles[i], profiles[i + over])], wood, bow)[0]) - inner
                    least[i : i + over] += max(lack, 0.0) / over
        return least

    def gap_after(self, reading: int) -> int | None:
        """The gap between the letter at a place in reading order and the next of its word; None at a word's end."""
        here, there = self.places[reading], self.places.get(reading + 1)
        if there is None or abs(here - there) != 1 or self.letters[here].word != self.letters[there].word:
            return None
        return min(here, there)

    @cached_property
    def places(self) -> dict[int, int]:
        """Visual place of each letter by its place in reading order."""
        return {reading: visual for visual, reading in enumerate(self.order)}

    @cached_property
    def pairs(self) -> dict[int, Pair]:
        """What each gap within a word is called, by the gap in visual order: as the line's words number their pairs."""
        reading = [self.letters[self.places[at]].char for at in range(len(self.letters))]
        named = enumerate(pairs_between(self.words, reading))
        return {gap: pair for at, pair in named if pair is not None and (gap := self.gap_after(at)) is not None}

    @cached_property
    def gap_called(self) -> dict[Pair, int]:
        """The gap, in visual order, that has a pair's name."""
        return {pair: gap for gap, pair in self.pairs.items()}


_kept_shapes: OrderedDict[tuple[int, int, str, float, float], tuple[Lettered, LineShape]] = OrderedDict()
_KEPT = 1024
"""Lines whose shapes are remembered. Our choice: as many as a board may have."""


def forget() -> None:
    """Forget every line's shape, to measure from cold."""
    _kept_shapes.clear()


def line_shape(lettered: Lettered, tuck: float = 1.0, word_space: float = 1.0) -> LineShape:
    """The shape of a line of words. Letters without ink (a space that came as one) take no part.

    Remembered, since an edit leaves most lines of a board as they were.
    """
    key = (id(lettered.letters), id(lettered.face.upright), lettered.words, tuck, word_space)
    known = _kept_shapes.get(key)
    if known is None or known[0].letters is not lettered.letters or known[0].face.upright is not lettered.face.upright:
        known = _kept_shapes[key] = (lettered, _shape(lettered, tuck, word_space))
        if len(_kept_shapes) > _KEPT:
            _kept_shapes.popitem(last=False)
    return known[1]


def _shape(lettered: Lettered, tuck: float, word_space: float) -> LineShape:
    inked = [i for i, letter in enumerate(lettered.letters) if letter.outline]
    letters = tuple(lettered.letters[i] for i in inked)
    ranks = {place: rank for rank, place in enumerate(sorted(lettered.order[i] for i in inked))}
    order = tuple(ranks[lettered.order[i]] for i in inked)
    cap_height = lettered.face.cap_height
    manner = manner_of(lettered.face)
    profiles = tuple(profile(letter.outline, cap_height) for letter in letters)
    upright = upright_sides(lettered.face, manner)
    pair, lights, fixed = _pairs(letters, profiles, manner, upright, tuck, cap_height)
    return LineShape(letters, order, profiles, manner, cap_height, pair, lights, fixed, word_space, lettered.words)


def _pairs(
    letters: Sequence[Letter],
    profiles: Sequence[Profile],
    manner: Manner,
    upright: tuple[LetterSide, LetterSide],
    tuck: float,
    cap_height: float,
) -> tuple[Array, Array, Flags]:
    """Per gap: what the shapes give between ink extents, how many lights, and whether the writing joins there."""
    if len(letters) < 2:
        return np.empty(0), np.empty(0), np.empty(0, dtype=bool)
    both = [sides(shape, manner) for shape in profiles]
    rights, lefts = [side[1] for side in both[:-1]], [side[0] for side in both[1:]]
    pair = pair_gaps(rights, lefts, manner, tuck)
    lights = np.ones(len(pair))
    breaks = [i for i in range(len(pair)) if letters[i].word != letters[i + 1].word]
    if breaks:
        # A word space is the light of an upright standing there: its width and a gap on either side of it. Tuck leaves
        # it alone, or words whose ends are open would run together.
        before = pair_gaps([rights[i] for i in breaks], [upright[0]] * len(breaks), manner)
        after = pair_gaps([upright[1]] * len(breaks), [lefts[i] for i in breaks], manner)
        pair[breaks] = before + manner.upright_width + after
        lights[breaks] = 2.0
    _even_marks(letters, profiles, pair, manner.opened(1.0))
    fixed = np.zeros(len(pair), dtype=bool)
    for i in range(len(pair)):
        if letters[i].word == letters[i + 1].word and _may_join(letters[i].char, letters[i + 1].char):
            own = letters[i].advance / cap_height * 1000 + profiles[i + 1].x_left - profiles[i].x_right
            if least_gaps([(profiles[i], profiles[i + 1])], 0.0)[0] >= own - _JOIN:
                fixed[i], pair[i] = True, own
    return pair, lights, fixed


def _even_marks(letters: Sequence[Letter], profiles: Sequence[Profile], pair: Array, light: float) -> None:
    """Set a dash, hyphen or point between two figures of a word as far from the one as from the other. In place.

    What is made even is the wood between the inks, as dividers would find it. The two gaps keep their sum, but for a
    point that would go out at the far side of the arm it stands under. light is what every gap has at openness 1.
    [1/1000 cap height]
    """
    for i in range(1, len(letters) - 1):
        before, mark, after = letters[i - 1 : i + 2]
        if mark.char not in MARKS or not (before.char.isdecimal() and after.char.isdecimal()):
            continue
        if not before.word == mark.word == after.word:
            continue
        both = [(profiles[i - 1], profiles[i]), (profiles[i], profiles[i + 1])]
        room = float(pair[i - 1] + pair[i]) + 2 * light
        under = -(profiles[i].x_right - profiles[i].x_left)  # no farther under the arm of a 7 than its own width
        low, high = 0.0, MOST_WOOD
        while high - low > EVEN:
            wood = (low + high) / 2
            gaps = least_gaps(both, wood)
            low, high = (wood, high) if gaps.sum() < room or gaps.min() < under else (low, wood)
        pair[i - 1 : i + 1] = least_gaps(both, high) - light


def _neighbours(profiles: Sequence[Profile], wood: float, bow: Bow | None) -> Array:
    """Least gaps of neighbours, each different pair worked out once in all lines of one size."""
    pairs = list(pairwise(profiles))
    known = _known_gaps(wood, bow)
    if len(known) > _MOST_KNOWN:
        known.clear()
    keys = [(id(a), id(b)) for a, b in pairs]
    new = {key: pair for key, pair in zip(keys, pairs, strict=True) if key not in known}
    for (key, pair), gap in zip(new.items(), least_gaps(list(new.values()), wood, bow).tolist(), strict=True):
        known[key] = (pair, gap)
    return np.array([known[key][1] for key in keys])


_MOST_KNOWN = 8192
"""Pairs remembered for one size. Our choice: more than the letters of the longest list have."""


@lru_cache(maxsize=8)
def _known_gaps(_wood: float, _bow: Bow | None) -> dict[tuple[int, int], tuple[tuple[Profile, Profile], float]]:
    """The least gaps found for this much wood, by the pair's ids; the pair is held, so that its ids stay its own."""
    return {}


def joined_writing(words: str) -> bool:
    """Whether any two neighbouring letters of these words are of a script whose letters join."""
    return any(_may_join(one, other) for one, other in pairwise(words) if not (one.isspace() or other.isspace()))


@lru_cache(maxsize=4096)
def _may_join(one: str, other: str) -> bool:
    script: str = scripts.script(one[0])
    return script in _JOINING and scripts.script(other[0]) == script
