"""Every cut of every letter: what is stabbed, what is pared, with which tool of the roll and which way.

First the lines are stabbed: stop cuts along the bottom, end cuts up to the corners. Then the walls are pared down to
them: each stretch of wall in pieces of one bend and one direction of slicing, neighbouring pieces with one tool taken
together. Serifs and tips come last. What must be done before what is in `rules`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from stopcut.bench.bends import Bend, bends, steps_of
from stopcut.bench.choose import Choice, Piece, Purpose, choices, outside_mm, shared
from stopcut.bench.grain import Grain, same_way, sliced, with_grain
from stopcut.bench.paths import Array, along, nearest
from stopcut.bench.plan import Cut, CutKind, LetterKey, Side, Slice, Stroke, StrokeKind
from stopcut.bench.rules import in_order
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.stops import Stab, stabs
from stopcut.bench.strokes import Overrule, strokes_of
from stopcut.bench.techniques import acute_caution, cleaning, paring, stabbing
from stopcut.bench.walls import Stretch, Walls, stretches, walls_of
from stopcut.groove.surface import Groove
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, lean

__all__ = ["cuts_for", "keys_of", "strokes_for"]

TIP_MM: Final = 1.5
"""Stretches of outline between corners that are no longer than this are cleaned out with a point. [mm] Our choice: no
edge is so narrow."""
TIP_DEG: Final = 40.0
"""And so are short pieces that turn this much: the round tips of serifs. [degrees] Our choice."""
TIP_POINT_MM: Final = 1.0
"""How much of an edge is its point. [mm] Our choice."""


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
        for cut in _letter(groove, key, _Bench(tools, grain, settings), overrule)
    )


@dataclass(frozen=True, slots=True)
class _Bench:
    """What all cuts of a board have in common."""

    roll: Roll
    grain: Grain
    settings: BenchSettings


@dataclass(frozen=True, slots=True)
class _Letter:
    """One letter at the bench."""

    groove: Groove
    key: LetterKey
    strokes: Mapping[int, Stroke]
    main: tuple[Stroke, ...]
    bench: _Bench

    def stroke_at(self, points: Array) -> int:
        """The number of the stroke that most of these points (k, 2 or more) lie nearest to, serifs left out."""
        if not self.main:
            return 0
        owners = nearest([stroke.points for stroke in self.main], points)[0].tolist()
        return self.main[Counter(owners).most_common(1)[0][0]].number

    def kind_of(self, stroke: int) -> StrokeKind | None:
        """What a stroke is, None for none."""
        return self.strokes[stroke].kind if stroke in self.strokes else None

    def cut(self, kind: CutKind, stroke: int, side: Side | None, points: Array) -> Cut:
        """A cut of this letter, its tool not chosen yet."""
        length = float(along(points)[-1]) if len(points) > 1 else 0.0
        depth = float(points[:, 2].max())
        line, letter = self.key
        char = self.groove.placed.char
        passes = max(1, math.ceil(depth / self.bench.settings.pass_mm - 1e-9))
        kind_of = self.kind_of(stroke)
        return Cut("", line, letter, char, stroke, kind_of, kind, None, "", side, points, length, depth, passes=passes)


def _letter(groove: Groove, key: LetterKey, bench: _Bench, overrule: Overrule | None) -> list[Cut]:
    if not groove.roof.faces:
        return []
    strokes = strokes_of(groove, key, overrule)
    main = tuple(stroke for stroke in strokes if stroke.kind != "serif")
    letter = _Letter(groove, key, {stroke.number: stroke for stroke in strokes}, main, bench)
    found = [cut for stab in stabs(groove, bench.settings) for cut in _stabbed(stab, letter)]
    walls = walls_of(groove, strokes)
    for stretch in stretches(walls):
        found += _pared(stretch, walls, letter)
    return in_order(found, bench.grain, bench.settings, letter.strokes)


def _stabbed(stab: Stab, letter: _Letter) -> Iterator[Cut]:
    """The cuts along one stabbed line."""
    settings, grain = letter.bench.settings, letter.bench.grain
    if len(stab.line) == 1:
        yield _pit(stab, letter)
        return
    steps = steps_of(stab.line, stab.half_width_mm, settings.tolerance_mm / 2)
    found = bends(np.abs(steps.curvature), steps.length, settings.tolerance_mm)
    pieces = [_piece(bend, steps.length, "stab") for bend in found]
    spans = [(bend.first, bend.last) for bend in found]
    ways: list[Slice] = ["either"] * len(spans)
    for (first, last), piece, choice, _ in _with_tools(spans, pieces, ways, letter):
        points = steps.part(first, last)
        cut = letter.cut(stab.kind, letter.stroke_at(points), None, points)
        by_hand = settings.soft_wood and with_grain(points, grain)
        cut = replace(cut, by_hand=by_hand, bend=_mean(np.abs(steps.curvature), steps.length, first, last))
        yield _held(cut, choice, stabbing(stab.kind, choice, by_hand=by_hand, light=not stab.run), piece)


def _pit(stab: Stab, letter: _Letter) -> Cut:
    """The mark in the middle of a round dot, from which its wall is pared all round."""
    cut = letter.cut("stop", letter.stroke_at(stab.line), None, stab.line)
    point = Piece(0.0, 0.0, 0.0, "stab")
    found = choices(point, letter.bench.roll, letter.bench.settings)
    choice = found[0] if found else None
    return _held(cut, choice, "set the corner of the edge in the middle, and turn")


def _pared(stretch: Stretch, walls: Walls, letter: _Letter) -> Iterator[Cut]:
    """The cuts of one stretch of wall."""
    settings, grain = letter.bench.settings, letter.bench.grain
    faces = list(stretch.faces)
    products = sliced(walls.direction[faces], grain)
    if walls.whole(faces):
        start = _change(products)
        faces, products = faces[start:] + faces[:start], np.roll(products, -start)
    length = walls.length_mm[faces]
    if not (stretch.smooth_start and stretch.smooth_end) and float(length.sum()) <= TIP_MM:
        yield _tip(stretch, faces, walls, letter)
        return
    spans: list[tuple[int, int]] = []
    pieces: list[Piece] = []
    ways: list[Slice] = []
    straight: Purpose = "straight" if settings.serifs == "straight" and stretch.label.region == "serif" else "wall"
    for bend in bends(walls.bend[faces], length, settings.tolerance_mm):
        for first, last, way in same_way(products[bend.first : bend.last]):
            part = Bend(bend.first + first, bend.first + last, bend.least, bend.most)
            spans.append((part.first, part.last))
            pieces.append(_piece(part, length, straight))
            ways.append(way)
    for (first, last), piece, choice, way in _with_tools(spans, pieces, ways, letter):
        yield _wall_cut(stretch, walls, letter, faces[first:last], (piece, choice, way))


def _wall_cut(
    stretch: Stretch, walls: Walls, letter: _Letter, faces: list[int], held: tuple[Piece, Choice | None, Slice]
) -> Cut:
    piece, choice, way = held
    smooth = stretch.smooth_start or stretch.smooth_end
    settings, grain = letter.bench.settings, letter.bench.grain
    points = walls.path(faces)
    label = stretch.label
    turned = math.degrees(abs(float(walls.bend[faces] @ walls.length_mm[faces])))
    if float(walls.length_mm[faces].sum()) <= TIP_MM and turned >= TIP_DEG:
        return _tip(stretch, faces, walls, letter)
    end = label.region == "end" and not smooth
    side = None if end else _side(points, letter.strokes.get(label.stroke))
    serif = label.region == "serif" or (label.region == "end" and smooth)  # half a serif: a bracket out to its only tip
    cut = letter.cut("serif" if serif else "wall", label.stroke, side, points)
    by_hand = settings.soft_wood and with_grain(points, grain)
    cut = replace(
        cut,
        slice=way,
        by_hand=by_hand,
        bend=_mean(walls.bend[faces], walls.length_mm[faces], 0, len(faces)),
        wall_area_mm2=float(walls.area_mm2[faces].sum()),
        faces=tuple(faces),
        cautions=acute_caution(walls, faces, settings.acute_deg),
    )
    return _held(cut, choice, paring(cut, choice, end=end), piece, letter.groove.wall_deg)


def _tip(stretch: Stretch, faces: list[int], walls: Walls, letter: _Letter) -> Cut:
    """A short stretch, cleaned out with the point of a straight edge."""
    length = float(walls.length_mm[faces].sum())
    points = walls.path(faces)
    cut = letter.cut("corner", stretch.label.stroke, None, points)
    tools = [tool for tool in letter.bench.roll.tools if tool.straight and tool.kind != "parting"]
    tool = min(tools, key=lambda tool: (tool.kind not in ("skew", "fishtail"), tool.width_mm, tool.name), default=None)
    ways = same_way(sliced(walls.direction[faces], letter.bench.grain))
    cut = replace(
        cut,
        slice=ways[0][2] if len(ways) == 1 else "either",
        wall_area_mm2=float(walls.area_mm2[faces].sum()),
        faces=tuple(faces),
        cautions=acute_caution(walls, faces, letter.bench.settings.acute_deg),
    )
    choice = None if tool is None else Choice(tool, min(TIP_POINT_MM, length), "point", 1)
    return _held(cut, choice, cleaning(), wall_deg=letter.groove.wall_deg)


def _held(
    cut: Cut, choice: Choice | None, technique: str, piece: Piece | None = None, wall_deg: float | None = None
) -> Cut:
    """A cut with its tool in hand; wall_deg for a wall, None for what is stabbed upright."""
    if choice is None:
        return replace(cut, technique="nothing in the roll fits")
    axis = 90.0 if wall_deg is None else lean(choice.tool, wall_deg).axis_deg
    return replace(
        cut,
        tool=choice.tool,
        technique=technique,
        placements=choice.placements,
        edge_mm=choice.edge_mm,
        use=choice.use,
        outside_mm=0.0 if piece is None else outside_mm(choice, piece),
        axis_deg=axis,
    )


def _piece(bend: Bend, length: Array, purpose: Purpose) -> Piece:
    # Rounded, so that the same letter elsewhere on the board asks for the same tools.
    run = round(float(length[bend.first : bend.last].sum()), 4)
    return Piece(run, round(bend.least, 6), round(bend.most, 6), purpose)


def _mean(bend: Array, length: Array, first: int, last: int) -> float:
    return float(np.average(bend[first:last], weights=length[first:last]))


def _with_tools(
    spans: list[tuple[int, int]], pieces: list[Piece], ways: list[Slice], letter: _Letter
) -> list[tuple[tuple[int, int], Piece, Choice | None, Slice]]:
    """Pieces in a row with the tool of each; those with one tool and one way to slice are one."""
    roll, settings = letter.bench.roll, letter.bench.settings
    out: list[tuple[tuple[int, int], tuple[Piece, Sequence[Choice]], Slice]] = []
    for span, piece, way in zip(spans, pieces, ways, strict=True):
        here = piece, choices(piece, roll, settings)
        if out:
            before, known, last_way = out[-1]
            both = shared(known, here, roll, settings) if way == last_way or "either" in (way, last_way) else None
            if both is not None:
                out[-1] = (before[0], span[1]), both, last_way if way == "either" else way
                continue
        out.append((span, here, way))
    return [(span, piece, found[0] if found else None, way) for span, (piece, found), way in out]


def _change(products: Array) -> int:
    """The first step at which the slicing direction changes, 0 where it never does: a wall all round begins there."""
    runs = same_way(products)
    return runs[1][0] if len(runs) > 1 else 0


def _side(points: Array, stroke: Stroke | None) -> Side | None:
    """On which side of its stroke a wall lies, looking along the stroke; the groove is on the wall's left."""
    if stroke is None or len(stroke.points) < 2:
        return None
    middle = points[len(points) // 2, :2]
    steps = np.diff(stroke.points, axis=0)
    near = int(np.hypot(*(stroke.points[:-1] + steps / 2 - middle).T).argmin())
    chord = points[-1, :2] - points[0, :2]
    return "right" if float(chord @ steps[near]) >= 0 else "left"
