"""Every cut of every letter: what is stabbed, what is pared, with which tool of the roll and which way.

First the lines are stabbed: stop cuts along the bottom, end cuts up to the corners. Then the walls are pared down to
them: each stretch of wall in pieces of one bend and one direction of slicing, which are joined where one tool can take
them in one go. Serifs, tips and the floor of a flat bottom come last. What must be done before what is in `rules`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from stopcut.bench.bends import Bend, Steps, bends, steps_of
from stopcut.bench.choose import Piece, choices
from stopcut.bench.floor import floor_cuts
from stopcut.bench.grain import Grain, with_grain
from stopcut.bench.joined import Link, joined
from stopcut.bench.letter import AtBench, Letter, held, mean, piece_of
from stopcut.bench.pared import WallRows, tip_tool, wall_cuts, wall_rows
from stopcut.bench.plan import Cut, LetterKey, Stroke, StrokeKind
from stopcut.bench.rules import in_order
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.stops import Stab, stabs
from stopcut.bench.strokes import Overrule, strokes_of
from stopcut.bench.techniques import stabbing
from stopcut.bench.turns import Turn, turns_of
from stopcut.bench.walls import walls_of
from stopcut.groove.surface import Groove
from stopcut.shape.placed import Placed
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll

__all__ = ["Worked", "cuts_for", "forget", "keys_of", "strokes_for", "worked"]


KINK = 0.3
"""A line that bends more bends aside at a joint, and is a cut of its own. [1/mm] Our choice: no gouge is so quick."""
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


@dataclass(frozen=True, eq=False, slots=True)
class Worked:
    """All cuts of all letters, the strokes they belong to, and where the way to slice changes; letter by letter."""

    cuts: tuple[Cut, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    turns: tuple[Turn, ...] = ()


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
    """All cuts of all letters, letter by letter, each letter's in an order that keeps the rules: see worked."""
    return worked(grooves, roll, grain, settings, overrule).cuts


def worked(
    grooves: Sequence[Groove],
    roll: Roll | None = None,
    grain: Grain = "width",
    settings: BenchSettings = PUBLISHED_BENCH,
    overrule: Overrule | None = None,
) -> Worked:
    """All cuts and strokes of all letters, letter by letter, each letter's cuts in an order that keeps the rules.

    roll is the published one if none is given; grain is the side of the board along which its fibres run; overrule
    names strokes otherwise than they are read.
    """
    bench = AtBench(roll if roll is not None else published_roll(), grain, settings)
    cuts: list[Cut] = []
    strokes: list[Stroke] = []
    turns: list[Turn] = []
    for groove, key in zip(grooves, keys_of(grooves), strict=True):
        names = tuple((stroke[2], kind) for stroke, kind in sorted((overrule or {}).items()) if stroke[:2] == key)
        kept = _kept(_Asked.of(groove, bench, names))
        cuts += _moved(kept.cuts, groove.placed, key)
        x, y = groove.placed.x_mm, groove.placed.y_mm
        strokes += [
            replace(one, line=key[0], index=key[1], points=one.points + np.array([x, y])) for one in kept.strokes
        ]
        turns += [_turn_moved(turn, (x, y), key) for turn in kept.turns]
    return Worked(tuple(cuts), tuple(strokes), tuple(turns))


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


def forget() -> None:
    """Forget the letters that were planned before: for who measures how long one takes."""
    _kept.cache_clear()


@lru_cache(maxsize=KEPT)
def _kept(asked: _Asked) -> Worked:
    """A letter's cuts where its own origin is the board's, as letter 0 of line 0."""
    overrule = {(0, 0, number): kind for number, kind in asked.names}
    return _letter(_at_origin(asked.groove), (0, 0), asked.bench, overrule)


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
    return [
        replace(
            cut,
            id=_named(cut.id, key),
            line=line,
            letter=letter,
            points=cut.points + by,
            after=tuple(_named(other, key) for other in cut.after),
        )
        for cut in cuts
    ]


def _turn_moved(turn: Turn, by: tuple[float, float], key: LetterKey) -> Turn:
    """A kept spot where its letter stands."""
    one, other = (_named(cut, key) for cut in turn.cuts)
    x, y = turn.x_mm + by[0], turn.y_mm + by[1]
    return replace(turn, line=key[0], letter=key[1], x_mm=x, y_mm=y, cuts=(one, other))


def _named(kept: str, key: LetterKey) -> str:
    """A kept cut's id in the letter that it stands in now."""
    return f"{key[0]}.{key[1]}.{kept.rpartition('.')[2]}"


def _letter(groove: Groove, key: LetterKey, bench: AtBench, overrule: Overrule | None) -> Worked:
    if not groove.roof.faces:
        return Worked()
    strokes = strokes_of(groove, key, overrule)
    main = tuple(stroke for stroke in strokes if stroke.kind != "serif")
    letter = Letter(groove, key, {stroke.number: stroke for stroke in strokes}, main, bench)
    lines = [_stab_row(stab, letter) for stab in stabs(groove, bench.settings)]
    walls = walls_of(groove, strokes)
    rows = wall_rows(walls, letter)
    letter = replace(letter, favour=_first_choice(lines, rows, letter))
    found = [cut for line in lines for cut in _stabbed(line, letter)]
    found += wall_cuts(rows, walls, letter) + floor_cuts(walls, letter)
    cuts = tuple(in_order(found, bench.grain, bench.settings, letter.strokes))
    return Worked(cuts, strokes, turns_of(cuts, walls))


def _first_choice(lines: Sequence[_StabRow], rows: WallRows, letter: Letter) -> Counter[str]:
    """How many cuts each tool, by its name, makes where none is favoured: those that are in the hand often anyway."""
    bench = letter.bench
    chosen = [
        run.choice
        for links in (*(line.links for line in lines), *(row.links for row in rows.rows))
        for run in joined(links, bench.roll, bench.settings, {})
    ]
    counts = Counter(choice.tool.name for choice in chosen if choice is not None)
    point = tip_tool(letter)
    if point is not None:
        counts[point.name] += len(rows.tips)
    return counts


@dataclass(frozen=True, eq=False, slots=True)
class _StabRow:
    """A stabbed line in pieces of one bend: its steps, the bends in them, which stroke each is of, and the pieces.

    steps is None for a mark.
    """

    stab: Stab
    steps: Steps | None = None
    bends: tuple[Bend, ...] = ()
    owners: tuple[int, ...] = ()
    links: tuple[Link, ...] = ()


def _stab_row(stab: Stab, letter: Letter) -> _StabRow:
    if len(stab.line) == 1:
        return _StabRow(stab)
    settings = letter.bench.settings
    steps = steps_of(stab.line, stab.half_width_mm, settings.tolerance_mm / 2)
    found = bends(np.abs(steps.curvature), steps.length, settings.tolerance_mm)
    owners = [letter.stroke_at(steps.part(bend.first, bend.last)) for bend in found]
    links = [
        Link(piece_of(bend, steps.length, "stab"), owner=owner if bend.most < KINK else -n)
        for n, (bend, owner) in enumerate(zip(found, owners, strict=True), 1)
    ]
    return _StabRow(stab, steps, tuple(found), tuple(owners), tuple(links))


def _stabbed(line: _StabRow, letter: Letter) -> Iterator[Cut]:
    """The cuts along one stabbed line."""
    settings, grain = letter.bench.settings, letter.bench.grain
    stab, steps = line.stab, line.steps
    if steps is None:
        yield _pit(stab, letter)
        return
    bent = np.abs(steps.curvature)
    for run in joined(line.links, letter.bench.roll, settings, letter.favour):
        first, last = line.bends[run.first].first, line.bends[run.last - 1].last
        points = steps.part(first, last)
        cut = letter.cut(stab.kind, line.owners[run.first], None, points)
        by_hand = settings.soft_wood and with_grain(points, grain)
        cut = replace(cut, by_hand=by_hand, bend=mean(bent, steps.length, first, last))
        how = stabbing(stab.kind, run.choice, by_hand=by_hand, light=not stab.run)
        yield held(cut, run.choice, how, run.piece)


def _pit(stab: Stab, letter: Letter) -> Cut:
    """The mark in the middle of a round dot, from which its wall is pared all round."""
    cut = letter.cut("stop", letter.stroke_at(stab.line), None, stab.line)
    point = Piece(0.0, 0.0, 0.0, "stab")
    found = choices(point, letter.bench.roll, letter.bench.settings)
    choice = found[0] if found else None
    return held(cut, choice, "set the corner of the edge in the middle, and turn")
