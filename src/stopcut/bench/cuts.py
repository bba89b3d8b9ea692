"""Every cut of every letter: what is stabbed, what is pared, with which tool of the roll and which way.

First the lines are stabbed: stop cuts along the bottom, end cuts up to the corners. Then the walls are pared down to
them: each stretch of wall in pieces of one bend and one direction of slicing, neighbouring pieces with one tool taken
together. Serifs and tips come last. What must be done before what is in `rules`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from stopcut.bench.bends import bends, steps_of
from stopcut.bench.choose import Piece, choices
from stopcut.bench.grain import Grain, with_grain
from stopcut.bench.letter import AtBench, Letter, held, mean, piece_of, with_tools
from stopcut.bench.pared import wall_cuts
from stopcut.bench.plan import Cut, LetterKey, Slice, Stroke, StrokeKind
from stopcut.bench.rules import in_order
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.stops import Stab, stabs
from stopcut.bench.strokes import Overrule, strokes_of
from stopcut.bench.techniques import stabbing
from stopcut.bench.walls import walls_of
from stopcut.groove.surface import Groove
from stopcut.shape.placed import Placed
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll

__all__ = ["cuts_for", "keys_of", "strokes_for"]


TRIES = 2
"""Times that tools are chosen for a letter, each time with those favoured that the last time took often. Our choice."""
KEPT = 256
"""How many letters' cuts are kept in memory. Our choice, because a board has some tens of different letters."""


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
    bench = AtBench(roll if roll is not None else published_roll(), grain, settings)
    out: list[Cut] = []
    for groove, key in zip(grooves, keys_of(grooves), strict=True):
        names = tuple((stroke[2], kind) for stroke, kind in sorted((overrule or {}).items()) if stroke[:2] == key)
        out += _moved(_kept(_Asked.of(groove, bench, names)), groove.placed, key)
    return tuple(out)


@dataclass(frozen=True, slots=True)
class _Asked:
    """All that a letter's cuts depend on but for where it stands; the groove, at the origin, follows from the rest."""

    digest: str
    is_letter: bool
    char: str
    scale: float
    turn_deg: float
    wall_deg: float
    flat_bottom_mm: float | None
    bench: AtBench
    names: tuple[tuple[int, StrokeKind], ...]
    groove: Groove = field(compare=False)

    @classmethod
    def of(cls, groove: Groove, bench: AtBench, names: tuple[tuple[int, StrokeKind], ...]) -> _Asked:
        placed = groove.placed
        return cls(
            placed.outline.digest,
            placed.index > 0,
            placed.char,
            placed.scale,
            placed.turn_deg,
            groove.wall_deg,
            groove.flat_bottom_mm,
            bench,
            names,
            groove,
        )


@lru_cache(maxsize=KEPT)
def _kept(asked: _Asked) -> tuple[Cut, ...]:
    """A letter's cuts where its own origin is the board's, as letter 0 of line 0."""
    overrule = {(0, 0, number): kind for number, kind in asked.names}
    return tuple(_letter(_at_origin(asked.groove), (0, 0), asked.bench, overrule))


def _at_origin(groove: Groove) -> Groove:
    """The groove moved so that its outline's own origin is the board's."""
    placed = groove.placed
    by = np.array([placed.x_mm, placed.y_mm])
    return replace(
        groove,
        placed=replace(placed, x_mm=0.0, y_mm=0.0),
        nodes_mm=groove.nodes_mm - by,
        lines=tuple(replace(line, points=line.points - by) for line in groove.lines),
        pits=tuple(replace(pit, x_mm=pit.x_mm - placed.x_mm, y_mm=pit.y_mm - placed.y_mm) for pit in groove.pits),
    )


def _moved(cuts: Sequence[Cut], placed: Placed, key: LetterKey) -> list[Cut]:
    """A letter's kept cuts where it stands, under its own name."""
    by = np.array([placed.x_mm, placed.y_mm, 0.0])
    line, letter = key

    def name(kept: str) -> str:
        return f"{line}.{letter}.{kept.rpartition('.')[2]}"

    return [
        replace(
            cut,
            id=name(cut.id),
            line=line,
            letter=letter,
            points=cut.points + by,
            after=tuple(name(other) for other in cut.after),
        )
        for cut in cuts
    ]


def _letter(groove: Groove, key: LetterKey, bench: AtBench, overrule: Overrule | None) -> list[Cut]:
    if not groove.roof.faces:
        return []
    strokes = strokes_of(groove, key, overrule)
    main = tuple(stroke for stroke in strokes if stroke.kind != "serif")
    letter = Letter(groove, key, {stroke.number: stroke for stroke in strokes}, main, bench)
    lines, walls = stabs(groove, bench.settings), walls_of(groove, strokes)
    found: list[Cut] = []
    for _ in range(TRIES):
        letter = replace(letter, favour=Counter(cut.tool.name for cut in found if cut.tool is not None))
        found = [cut for stab in lines for cut in _stabbed(stab, letter)] + wall_cuts(walls, letter)
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
