"""Strengthening: thin strokes made wide enough to carve, and nothing else.

Hairlines that print well vanish in wood. At the size they will be cut, strokes thinner than asked are widened to the
asked width; stems keep theirs, serifs and tapering ends keep their taper, the letter keeps its height, and every
counter keeps nine tenths of its area: where both cannot hold a stroke is widened as far as the counter allows, and is
told of. Pieces of the outline that nothing moves stay the curves they were; moved ones become short straight pieces
within a five-hundredth of the asked width.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely

from stopcut.arrays import Array, Flags
from stopcut.lettering.moved_edges import MovedEdges, corners_of
from stopcut.lettering.thin_runs import BLEND, amounts, moves, thin_strokes
from stopcut.shape.outline import Outline
from stopcut.shape.thickness import Thickness, thickness

__all__ = ["SAMPLES", "StillThin", "Strengthened", "strengthen"]


COUNTER_KEEPS = 0.9
"""Share of its area that a counter keeps at least. Our choice, as the job format promises it."""
LOW = 2.0
"""What is lower than this many asked widths (a dash, a dot) may grow up and down. Our choice."""
SAMPLES = 16
"""Edge samples along a length of the asked width. Our choice: a width is then right to a thousandth of it."""
FINENESS = 0.002
"""Moved pieces are straight within this share of the asked width. Our choice: 0.005 mm for 2.5 mm."""
SLACK = 0.05
"""A stroke within this share of the asked width is not worth telling of. Our choice: 0.12 mm for 2.5 mm."""


@dataclass(frozen=True, slots=True)
class StillThin:
    """A place that could not be widened all the way, and its width now (both in the outline's unit)."""

    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class Strengthened:
    """The strengthened outline, the most that any stroke gained in width, and where it is still too thin."""

    outline: Outline
    widened_max: float = 0.0
    left: tuple[StillThin, ...] = ()


def strengthen(outline: Outline, thinnest: float) -> Strengthened:
    """Widen what is thinner than thinnest (the outline's own unit, > 0; work at size).

    The outline must be clean. It comes back itself, untouched, where no stroke is too thin.
    """
    if not thinnest > 0:
        raise ValueError(f"thinnest must be above 0, not {thinnest}")
    thick = thickness(outline, thinnest / SAMPLES, thinnest * (1 + BLEND) / 2)
    strokes = thin_strokes(thick, thinnest, outline.bounds.height if outline else 0.0)
    if not strokes.any():
        return Strengthened(outline)
    edges = MovedEdges(outline, thick, _extents(outline, thinnest), FINENESS * thinnest)
    move = _within_bounds(edges, strokes, thinnest)
    widths = _widths(thick, move)
    gained = widths[strokes] - 2 * thick.radius[strokes]
    return Strengthened(
        edges.moved(move),
        float(gained.max()),
        _left(thick, strokes & (widths < thinnest * (1 - SLACK)), widths, thinnest),
    )


def _within_bounds(edges: MovedEdges, strokes: Flags, thinnest: float) -> Array:
    """How far each sample moves, so that counters keep what they must and no ring crosses itself. (n, 2)"""
    thick, extents = edges.thick, edges.extents
    share = np.ones(len(edges.outline.contours))
    for _ in range(2):  # the second time the edges across take over what a counter's edge may not move
        amount = amounts(thick, strokes, thinnest, extents, share)
        move = moves(thick, strokes, amount, thinnest, extents)
        held = _held(edges, move)
        if held.min() == 1:
            break
        share *= held
    move *= held[thick.ring, None]
    move *= _most(lambda part: _is_sound(edges.moved(move * part), len(share)))
    return move


def _held(edges: MovedEdges, move: Array) -> Array:
    """The share of its move that each ring may make: 1 save for a counter that would close too far. (rings,)"""
    shares = [
        _most(partial(_counter_holds, edges, move, ring)) if contour.area < 0 else 1.0
        for ring, contour in enumerate(edges.outline.contours)
    ]
    return np.array(shares)


def _extents(outline: Outline, thinnest: float) -> Array:
    """Bottom and top of each outer contour, nan for holes and for what is hardly higher than a stroke. (rings, 2)"""
    extents = np.full((len(outline.contours), 2), math.nan)
    for ring, contour in enumerate(outline.contours):
        box = contour.bounds
        if contour.area > 0 and box.height > LOW * thinnest:
            extents[ring] = box.bottom, box.top
    return extents


def _most(holds: Callable[[float], bool]) -> float:
    """The greatest share from 0 to 1 that holds, to a hundredth; 1 is tried first."""
    if holds(1.0):
        return 1.0
    low, high = 0.0, 1.0
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _counter_holds(edges: MovedEdges, move: Array, ring: int, share: float) -> bool:
    """Whether a counter keeps its area and its one ring at this share of its edge's move."""
    after = edges.ring(ring, move * share)
    before = edges.outline.contours[ring].area
    return len(after) == 1 and after[0].area <= COUNTER_KEEPS * before  # both are below 0


def _is_sound(outline: Outline, contours: int) -> bool:
    """Whether no ring crosses another and none has closed on itself."""
    if len(outline.contours) != contours:
        return False
    rings = [shapely.LinearRing(corners_of(contour)) for contour in outline.contours]
    if not all(ring.is_simple for ring in rings):
        return False
    return not any(a.intersects(b) for i, a in enumerate(rings) for b in rings[i + 1 :])


def _widths(thick: Thickness, move: Array) -> Array:
    """The width across each sample after the move; inf where no disc was fitted. (n,)"""
    gain = np.einsum("ij,ij->i", move, thick.out)
    widths: Array = 2 * thick.radius + gain + gain[thick.other]
    return widths


def _left(thick: Thickness, thin: Flags, widths: Array, thinnest: float) -> tuple[StillThin, ...]:
    """The places still too thin, the thinnest first, one for each stretch as long as the asked width."""
    places: list[StillThin] = []
    for i in sorted(np.flatnonzero(thin), key=lambda i: float(widths[i])):
        x, y = (float(v) for v in (thick.points[i] + thick.points[thick.other[i]]) / 2)
        if all(math.hypot(x - place.x, y - place.y) > 4 * thinnest for place in places):
            places.append(StillThin(x, y, float(widths[i])))
    return tuple(places)
