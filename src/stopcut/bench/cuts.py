"""Every cut of every letter: what is stabbed, what is pared, with which tool of the roll and which way.

First the lines are stabbed: stop cuts along the bottom, end cuts up to the corners. Then the walls are pared down to
them: each stretch of wall in pieces of one bend and one direction of slicing, neighbouring pieces with one tool taken
together. Serifs and tips come last. What must be done before what is in `rules`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from stopcut.bench.bends import bends, steps_of
from stopcut.bench.choose import Piece, choices
from stopcut.bench.grain import Grain, with_grain
from stopcut.bench.letter import AtBench, Letter, held, mean, piece_of, with_tools
from stopcut.bench.pared import wall_cuts
from stopcut.bench.plan import Cut, LetterKey, Slice, Stroke
from stopcut.bench.rules import in_order
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.stops import Stab, stabs
from stopcut.bench.strokes import Overrule, strokes_of
from stopcut.bench.techniques import stabbing
from stopcut.bench.walls import walls_of
from stopcut.groove.surface import Groove
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll

__all__ = ["cuts_for", "keys_of", "strokes_for"]


def keys_of(grooves: Sequence[Groove]) -> tuple[LetterKey, ...]:
    """Which letter each groove is; ornaments have line 0 and count from 1."""
    seen: Counter[int] = Counter()
    out = []
    for groove in grooves:
        placed = groove.placed
        seen[0] += placed.index <= 0
        out.append((placed.line, placed.index) if placed.index > 0 else (0, seen[0]))
    return tuple(out)


def strokes_for(grooves: Sequence[Groove], overrule: Overrule | None = None) -> tuple[Stroke, ...]:
    """The strokes of all letters, in the grooves' order."""
    return tuple(
        stroke
        for groove, key in zip(grooves, keys_of(grooves), strict=True)
        for stroke in strokes_of(groove, key, overrule)
    )


def cuts_for(
    grooves: Sequence[Groove],
    roll: Roll | None = None,
    grain: Grain = "width",
    settings: BenchSettings = PUBLISHED_BENCH,
    overrule: Overrule | None = None,
) -> tuple[Cut, ...]:
    """All cuts of all letters, letter by letter, each letter's in an order that keeps the rules.

    roll is the published one if none is given; grain is the side of the board along which its fibres run; overrule
    names strokes otherwise than they are read.
    """
    tools = roll if roll is not None else published_roll()
    return tuple(
        cut
        for groove, key in zip(grooves, keys_of(grooves), strict=True)
        for cut in _letter(groove, key, AtBench(tools, grain, settings), overrule)
    )


def _letter(groove: Groove, key: LetterKey, bench: AtBench, overrule: Overrule | None) -> list[Cut]:
    if not groove.roof.faces:
        return []
    strokes = strokes_of(groove, key, overrule)
    main = tuple(stroke for stroke in strokes if stroke.kind != "serif")
    letter = Letter(groove, key, {stroke.number: stroke for stroke in strokes}, main, bench)
    found = [cut for stab in stabs(groove, bench.settings) for cut in _stabbed(stab, letter)]
    found += wall_cuts(walls_of(groove, strokes), letter)
    return in_order(found, bench.grain, bench.settings, letter.strokes)


def _stabbed(stab: Stab, letter: Letter) -> Iterator[Cut]:
    """The cuts along one stabbed line."""
    settings, grain = letter.bench.settings, letter.bench.grain
    if len(stab.line) == 1:
        yield _pit(stab, letter)
        return
    steps = steps_of(stab.line, stab.half_width_mm, settings.tolerance_mm / 2)
    found = bends(np.abs(steps.curvature), steps.length, settings.tolerance_mm)
    pieces = [piece_of(bend, steps.length, "stab") for bend in found]
    spans = [(bend.first, bend.last) for bend in found]
    ways: list[Slice] = ["either"] * len(spans)
    for (first, last), piece, choice, _ in with_tools(spans, pieces, ways, letter):
        points = steps.part(first, last)
        cut = letter.cut(stab.kind, letter.stroke_at(points), None, points)
        by_hand = settings.soft_wood and with_grain(points, grain)
        cut = replace(cut, by_hand=by_hand, bend=mean(np.abs(steps.curvature), steps.length, first, last))
        yield held(cut, choice, stabbing(stab.kind, choice, by_hand=by_hand, light=not stab.run), piece)


def _pit(stab: Stab, letter: Letter) -> Cut:
    """The mark in the middle of a round dot, from which its wall is pared all round."""
    cut = letter.cut("stop", letter.stroke_at(stab.line), None, stab.line)
    point = Piece(0.0, 0.0, 0.0, "stab")
    found = choices(point, letter.bench.roll, letter.bench.settings)
    choice = found[0] if found else None
    return held(cut, choice, "set the corner of the edge in the middle, and turn")
