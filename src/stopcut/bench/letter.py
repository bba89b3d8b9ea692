"""One letter at the bench: what its cuts have in common, and a cut with its tool in hand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.choose import Held, Outfit, pass_mm
from stopcut.bench.paths import nearest
from stopcut.bench.plan import Cut, CutKind, CutLine, LetterKey, Side, Stroke, Trace
from stopcut.bench.settings import BenchSettings
from stopcut.bench.techniques import technique_of
from stopcut.groove.surface import Groove
from stopcut.job.job import Grain, StrokeKind
from stopcut.shop.tools import lean

__all__ = ["AtBench", "LetterAtBench", "in_hand"]


@dataclass(frozen=True, slots=True)
class AtBench:
    """What all cuts of a board have in common, whatever the tools. relief_mm is how deep a stroke may be without its
    middle being relieved first."""

    grain: Grain
    settings: BenchSettings
    relief_mm: float = math.inf


@dataclass(frozen=True, slots=True)
class LetterAtBench:
    """One letter at the bench: its groove, its strokes by number, and those of them that are no serif."""

    groove: Groove
    key: LetterKey
    strokes: Mapping[int, Stroke]
    main: tuple[Stroke, ...]
    bench: AtBench

    def stroke_at(self, points: Array) -> int:
        """The number of the stroke that most of these points (k, 2 or more) lie nearest to, serifs left out."""
        if not self.main:
            return 0
        owners = nearest([stroke.points for stroke in self.main], points)[0].tolist()
        return self.main[Counter(owners).most_common(1)[0][0]].number

    def kind_of(self, stroke: int) -> StrokeKind | None:
        """What a stroke is, None for none."""
        return self.strokes[stroke].kind if stroke in self.strokes else None

    def cut(
        self, kind: CutKind, stroke: int, side: Side | None, lines: Sequence[CutLine], traces: Sequence[Trace]
    ) -> Cut:
        """A cut of this letter, its tool not chosen yet."""
        depth = max(float(line.points[:, 2].max()) for line in lines)
        line, letter = self.key
        char, called = self.groove.placed.char, self.kind_of(stroke)
        cut = Cut("", line, letter, char, stroke, called, kind, side, tuple(lines), tuple(traces), depth)
        return replace(cut, bend=_mean(traces))


def _mean(traces: Sequence[Trace]) -> float:
    """The mean curvature. [1/mm]"""
    run = sum(trace.run_mm for trace in traces)
    return sum(float((trace.bend * trace.length).sum()) for trace in traces) / run if run > 0 else 0.0


def in_hand(cut: Cut, like: Cut, held: Held | None, seconds: float, wall_deg: float, shop: Outfit) -> Cut:
    """A cut with its tool in hand, held and moved as for the one of its shape that it is like; wall_deg is the wall's
    angle from the face."""
    if held is None:
        return replace(cut, technique="nothing in the roll fits")
    axis = 90.0
    if cut.kind == "floor":
        axis = 0.0
    elif cut.kind in ("wall", "serif", "corner"):
        axis = lean(held.tool, wall_deg).axis_deg
    return replace(
        cut,
        tool=held.tool,
        technique=technique_of(replace(like, by_hand=cut.by_hand), held),
        placements=held.placements,
        settings=held.settings,
        passes=_passes(like, held, shop),
        edge_mm=held.edge_mm,
        use=held.use,
        missed_mm=held.missed_mm,
        outside_mm=held.outside_mm,
        axis_deg=axis,
        seconds=seconds,
    )


def _passes(cut: Cut, held: Held, shop: Outfit) -> tuple[float, ...]:
    """How deep each pass goes at the deepest place; none where one does it. [mm]"""
    if cut.kind in ("corner", "floor"):
        return ()
    count = math.ceil(cut.depth_mm / pass_mm(held.tool, shop.hardness_lbf, shop.settings, shop.rates) - 1e-9)
    return tuple(float(deep) for deep in np.linspace(0, cut.depth_mm, count + 1)[1:]) if count > 1 else ()
