"""One letter at the bench: what its cuts have in common, and a cut with its tool in hand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from stopcut.bench.bends import Bend
from stopcut.bench.choose import Choice, Piece, Purpose, outside_mm
from stopcut.bench.grain import Grain
from stopcut.bench.paths import Array, along, nearest
from stopcut.bench.plan import Cut, CutKind, LetterKey, Side, Stroke, StrokeKind
from stopcut.bench.settings import BenchSettings
from stopcut.groove.surface import Groove
from stopcut.shop.tools import Roll, lean

__all__ = ["AtBench", "Letter", "held", "mean", "piece_of"]


@dataclass(frozen=True, slots=True)
class AtBench:
    """What all cuts of a board have in common."""

    roll: Roll
    grain: Grain
    settings: BenchSettings


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter at the bench. favour says how many cuts each tool, by its name, is likely to make in it."""

    groove: Groove
    key: LetterKey
    strokes: Mapping[int, Stroke]
    main: tuple[Stroke, ...]
    bench: AtBench
    favour: Mapping[str, int] = field(default_factory=dict)

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


def held(
    cut: Cut, choice: Choice | None, technique: str, piece: Piece | None = None, wall_deg: float | None = None
) -> Cut:
    """A cut with its tool in hand; wall_deg for a wall, None for what is stabbed upright."""
    if piece is not None:
        cut = replace(cut, bends=(piece.least, piece.most))
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


def piece_of(bend: Bend, length: Array, purpose: Purpose) -> Piece:
    """What an edge has to follow over some steps of a line, whose lengths are given. [mm]"""
    # Rounded, so that the same letter elsewhere on the board asks for the same tools.
    run = round(float(length[bend.first : bend.last].sum()), 4)
    return Piece(run, round(bend.least, 6), round(bend.most, 6), purpose)


def mean(bend: Array, length: Array, first: int, last: int) -> float:
    """The mean curvature over some steps of a line. [1/mm]"""
    return float(np.average(bend[first:last], weights=length[first:last]))
