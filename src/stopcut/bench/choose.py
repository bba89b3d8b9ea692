"""What every tool of a roll would make of a cut: how often it is set, how much of its edge is used, how long it takes.

Along a line the edge is moved on by what of it fits there, less what is set in the last mark; so the settings are the
sum over the line of each step's length by the edge that fits it. Two lines of one shape get the same count, however
they are parted in steps. What no part of the edge fits is drawn with its corner.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.bench.fit import Purpose, edge_along_mm
from stopcut.bench.minutes import harder, seconds_of
from stopcut.bench.plan import Cut, Use
from stopcut.bench.settings import BenchSettings
from stopcut.shop.rates import Rates
from stopcut.shop.tools import Roll, Tool

__all__ = ["CURVED", "PUSH_MM", "Held", "Options", "Outfit", "deepest_struck_mm", "options", "pass_mm", "purpose_of"]

MISSED_MM: Final = 2.5
MISSED_SHARE: Final = 0.1
"""An edge may miss so much of a cut, the greater of both. [mm, share] Our choice: where strokes meet, the bottom bends
aside under walls that are pared anyway; a gouge may miss no more, a straight edge draws its corner along."""
CURVED: Final = 0.003
"""What bends more is curved: a straight edge of 20 mm leaves facets of more than 0.15 mm. [1/mm] Our choice."""
STOP_ROOM: Final = 0.8
WALL_ROOM: Final = 0.5
"""A stop cut's line is at least such a share of the edge's width, every line of a wall or an end the second. Our
choice: a wider edge marks what lies beyond; an end's is rolled out over the surface."""
ROOM_FROM_MM: Final = 2.5
"""Lines of a wall shorter than this want no room. [mm] Our choice: they are cleaned with the tool's corner."""
POINT_TOOL_MM: Final = 6.0
"""A straight edge that cleans points is no wider, a skew or a fishtail may be. [mm] Our choice."""
DRAWN_MM: Final = 6.0
"""How far a corner is drawn in one go, against one setting of an edge. [mm] Our choice."""
WHOLE_SHARE: Final = 0.98
"""From this share on the whole edge is used. Our choice: the rest is the rounding of the corners."""
RELIEF_ROOM: Final = 0.9
"""What relieves a stroke's middle is no wider than this share of the stroke. Our choice: the walls are left to pare."""
PUSH_MM: Final = 25.0
"""How far an edge is pushed along a floor in one go. [mm] Our choice."""


@dataclass(frozen=True)
class Outfit:
    """What tools are chosen from and by: the roll, the settings, the rates and the wood's side hardness at 12 %
    moisture (None where it is not known). [pound-force]"""

    roll: Roll
    settings: BenchSettings
    rates: Rates
    hardness_lbf: float | None

    @cached_property
    def width(self) -> Array:
        """Each tool's width. [mm]"""
        return np.array([tool.width_mm for tool in self.roll.tools])

    @cached_property
    def own(self) -> Array:
        """Each edge's curvature. [1/mm]"""
        return np.array([0.0 if tool.straight else 1 / tool.radius_mm for tool in self.roll.tools])

    @cached_property
    def straight(self) -> Flags:
        """Which edges are straight and may be laid along a line."""
        return np.array([tool.straight and tool.kind in ("chisel", "fishtail") for tool in self.roll.tools], dtype=bool)

    @cached_property
    def curved(self) -> Flags:
        """Which are gouges."""
        return np.array([not tool.straight for tool in self.roll.tools], dtype=bool)

    @cached_property
    def pointed(self) -> Flags:
        """Which clean points."""
        kinds = [tool.kind for tool in self.roll.tools]
        return np.array(
            [
                tool.straight
                and (kind in ("skew", "fishtail") or (kind == "chisel" and tool.width_mm <= POINT_TOOL_MM))
                for tool, kind in zip(self.roll.tools, kinds, strict=True)
            ],
            dtype=bool,
        )

    @cached_property
    def pass_mm(self) -> Array:
        """How deep each tool goes in one pass. [mm]"""
        return np.array([pass_mm(tool, self.hardness_lbf, self.settings, self.rates) for tool in self.roll.tools])


@dataclass(frozen=True, eq=False, slots=True)
class Options:
    """What each tool of a roll makes of a cut, (t,): seconds (inf where it cannot do it), what its poorer fit is held
    worth in seconds, settings of the edge once along and in all passes, the least and the greatest part of the edge
    that is used [mm], what is drawn with its corner [mm], how far a corner lies beyond the line [mm]; whether gouges
    are turned over."""

    seconds: Array
    poor: Array
    placements: Indices
    settings: Indices
    least_mm: Array
    missed_mm: Array
    outside_mm: Array
    turned: bool
    run_mm: float

    def held(self, n: int, tool: Tool) -> Held:
        """The same for the n-th tool."""
        least = float(self.least_mm[n])
        whole = least >= min(WHOLE_SHARE * tool.width_mm, self.run_mm - 1e-6)
        use: Use = "point" if self.missed_mm[n] > 0.5 * self.run_mm else "whole" if whole else "part"
        return Held(
            tool,
            int(self.placements[n]),
            int(self.settings[n]),
            least,
            use,
            float(self.missed_mm[n]),
            float(self.outside_mm[n]),
            self.turned and not tool.straight,
        )


@dataclass(frozen=True, slots=True)
class Held:
    """A tool in the hand for a cut; fields as in Cut. turned is True for a gouge with its hollow to the wall."""

    tool: Tool
    placements: int
    settings: int
    edge_mm: float
    use: Use
    missed_mm: float
    outside_mm: float
    turned: bool = False


def pass_mm(tool: Tool, hardness_lbf: float | None, settings: BenchSettings, rates: Rates) -> float:
    """How deep a tool goes in one pass: less in a hard wood, and no more than the edge's width allows. [mm]"""
    return min(settings.pass_mm / harder(hardness_lbf, rates), settings.pass_widths * tool.width_mm)


def deepest_struck_mm(tool: Tool, settings: BenchSettings) -> float:
    """How deep a tool may be struck in all. [mm]"""
    return settings.struck_widths * tool.width_mm


def purpose_of(cut: Cut, settings: BenchSettings) -> Purpose:
    """What an edge is laid on a cut's lines for."""
    if cut.kind in ("relief", "stop", "end"):
        return "stab"
    return "straight" if cut.kind == "serif" and settings.serifs == "straight" else "wall"


def options(cut: Cut, shop: Outfit) -> Options:
    """What every tool of the roll makes of a cut without one."""
    if cut.kind == "corner":
        return _points(cut, shop)
    if cut.kind == "floor":
        return _floor(cut, shop)
    if cut.kind == "relief":
        return _relief(cut, shop)
    if len(cut.points) == 1:
        return _mark(cut, shop)
    return _laid(cut, shop)


def _laid(cut: Cut, shop: Outfit) -> Options:
    """An edge laid along a cut's lines, setting by setting."""
    laid, overlap = _edges_on(cut, shop), shop.settings.overlap
    length, missed = laid.length, laid.missed
    run = float(length.sum())
    missed_mm = np.where(missed, length, 0.0).sum(axis=1)
    overmuch = missed_mm - max(MISSED_MM, MISSED_SHARE * run)
    placements = _placements(laid, overlap)
    passes = np.maximum(1, np.ceil(laid.depth / shop.pass_mm[:, None] - 1e-9))
    weights = np.where(missed, length / DRAWN_MM, laid.settings) + 1e-12
    times = (weights * passes).sum(axis=1) / weights.sum(axis=1)
    mean_depth = (weights * laid.depth).sum(axis=1) / weights.sum(axis=1)
    all_settings = np.ceil(placements * times - 1e-6)
    seconds = seconds_of(cut, placements * times, placements * mean_depth, missed_mm, shop.hardness_lbf, shop.rates)
    facets = np.where(~missed & (np.abs(laid.bend) > CURVED), laid.settings, 0.0).sum(axis=1) / (1 - overlap)
    poor = shop.settings.drawn_s_per_mm * np.maximum(overmuch, 0.0) + np.where(
        shop.straight, shop.settings.facet_s * facets, 0.0
    )
    least = np.where(missed, np.inf, laid.edge).min(axis=1)
    return Options(
        np.where(_may(cut, shop, laid.purpose) & (~shop.curved | (overmuch <= 0)), seconds, np.inf),
        poor,
        placements.astype(np.int64),
        np.maximum(all_settings, placements).astype(np.int64),
        np.where(np.isinf(least), np.minimum(1.0, shop.width), np.minimum(least, run)),
        missed_mm,
        _outside(laid, shop),
        laid.turned,
        run,
    )


@dataclass(frozen=True, eq=False, slots=True)
class _Laid:
    """Every tool's edge at every step of a cut's lines.

    length, bend and depth (n,) are the steps' own [mm, 1/mm, mm], seen (n,) the bend as the edge meets it, starts the
    first step of each line. Of every tool and step, (t, n): edge is how much of the edge fits there [mm], missed where
    none does, settings how many of them the step takes, as a fraction.
    """

    purpose: Purpose
    turned: bool
    length: Array
    bend: Array
    depth: Array
    seen: Array
    starts: Indices
    edge: Array
    missed: Flags
    settings: Array


def _edges_on(cut: Cut, shop: Outfit) -> _Laid:
    purpose = purpose_of(cut, shop.settings)
    stab = purpose == "stab"
    length = np.concatenate([trace.length for trace in cut.traces])
    bend = np.concatenate([trace.bend for trace in cut.traces])
    turned = not stab and float((bend * length).sum()) < 0
    seen = np.abs(bend) if stab else -bend if turned else bend
    tolerance = shop.settings.stab_tolerance_mm if stab else shop.settings.tolerance_mm
    width, own = shop.width[:, None], shop.own[:, None]
    # A straight edge is the same either way round.
    met = np.where(own == 0, np.abs(bend), seen)
    edge = edge_along_mm(width, own, met, tolerance, digs=shop.curved[:, None] & (stab or turned))
    missed = np.isnan(edge)
    return _Laid(
        purpose,
        turned,
        length,
        bend,
        np.concatenate([trace.depth for trace in cut.traces]),
        seen,
        np.concatenate([[0], np.cumsum([len(trace.length) for trace in cut.traces])[:-1]]).astype(int),
        edge,
        missed,
        np.where(missed, 0.0, length / np.where(missed, 1.0, edge)),
    )


def _placements(laid: _Laid, overlap: float) -> Array:
    """How often each edge is set along the lines, once in every line at least, and its corner drawn (t,)."""
    sums = np.add.reduceat(laid.settings, laid.starts, axis=1)
    drawn = np.add.reduceat(np.where(laid.missed, laid.length, 0.0), laid.starts, axis=1)
    fitting = np.maximum(1, np.ceil((sums - overlap) / (1 - overlap) - 1e-9))
    once = np.where(sums > 1e-12, fitting, 0) + np.ceil(drawn / DRAWN_MM - 1e-9)
    out: Array = np.maximum(1, once).sum(axis=1)
    return out


def _may(cut: Cut, shop: Outfit, purpose: Purpose) -> Flags:
    """Which edges may be laid on a cut's lines: those with room there, of a kind and strength for it."""
    fits: Flags = (shop.straight | shop.curved) & _room(cut, shop)
    if purpose == "straight":
        fits &= shop.straight
    if purpose == "stab":
        deepest = max(float(trace.depth.max()) for trace in cut.traces)
        fits &= shop.settings.struck_widths * shop.width >= deepest - 1e-9
    return fits


def _outside(laid: _Laid, shop: Outfit) -> Array:
    """How far each edge's corners lie beyond the lines, at most (t,). [mm]"""
    own, stab = shop.own[:, None], laid.purpose == "stab"
    apart = np.abs(laid.seen - own) if stab or laid.turned else np.maximum(laid.seen - own, 0.0)
    within = laid.missed if stab else laid.missed | (laid.seen < own)
    out: Array = np.where(within, 0.0, np.where(laid.missed, 0.0, laid.edge) ** 2 * apart / 8).max(axis=1)
    return out


def _room(cut: Cut, shop: Outfit) -> Flags:
    """Which edges have room on a cut's lines."""
    runs = [trace.run_mm for trace in cut.traces]
    if cut.kind in ("relief", "stop"):
        room = max(runs) / STOP_ROOM
    elif cut.kind == "end":
        room = min(runs) / WALL_ROOM
    else:
        room = min((run for run in runs if run >= ROOM_FROM_MM), default=max(runs)) / WALL_ROOM
    out: Flags = shop.width <= room + 1e-9
    if not (out & (shop.straight | shop.curved)).any():
        straight = shop.width[shop.straight]
        out = shop.straight & (shop.width <= (straight.min() if len(straight) else 0.0) + 1e-9)
    return out


def _same(
    shop: Outfit, seconds: Array, poor: Array, placements: Sequence[int] | Indices, used: float, run: float
) -> Options:
    """Options of a cut along which no edge is laid: used is how much of an edge is used at most, run how long it is.
    [mm]"""
    counts = np.asarray(placements, dtype=np.int64) * np.ones(len(shop.width), dtype=np.int64)
    edge = np.minimum(shop.width, max(used, 1e-6))
    zero = np.zeros(len(shop.width))
    return Options(seconds, poor, counts, counts, edge, zero, zero, False, run)


def _points(cut: Cut, shop: Outfit) -> Options:
    """Points are cleaned one by one with the corner of a straight edge, or with any edge at hand where there is
    none."""
    count = len(cut.lines)
    seconds = np.full(len(shop.width), count * shop.rates.tip_s)
    fits = shop.pointed
    if not fits.any():
        fits = shop.straight
    poor = 0.02 * shop.width
    return _same(shop, np.where(fits, seconds, np.inf), poor, [count], 1.0, 1.0)


def _mark(cut: Cut, shop: Outfit) -> Options:
    """The mark in the middle of a dot, set with the corner of a straight edge, or of any there is."""
    fits = shop.straight if shop.straight.any() else shop.curved
    seconds = seconds_of(
        cut,
        np.ones_like(shop.width),
        cut.depth_mm * np.ones_like(shop.width),
        0 * shop.width,
        shop.hardness_lbf,
        shop.rates,
    )
    return _same(shop, np.where(fits, seconds, np.inf), 0.02 * shop.width, [1], 1.0, 1.0)


def _floor(cut: Cut, shop: Outfit) -> Options:
    """An edge pushed along a floor, in lanes where the floor is wider."""
    wide = 2 * max(math.hypot(*one) for one in cut.across_mm)
    fits = shop.straight.copy()
    if not fits.any():
        fits = np.array([tool.kind == "skew" for tool in shop.roll.tools])
    room = fits & (shop.width <= wide)
    if room.any():
        fits = room
    elif fits.any():
        fits = fits & (shop.width <= shop.width[fits].min() + 1e-9)
    overlap = shop.settings.overlap
    lanes = np.maximum(1, np.ceil((wide - shop.width) / (shop.width * (1 - overlap)) - 1e-9) + 1)
    pushes = max(1, math.ceil(cut.length_mm / PUSH_MM))
    seconds = seconds_of(cut, lanes * pushes, np.zeros_like(lanes), np.zeros_like(lanes), shop.hardness_lbf, shop.rates)
    return _same(
        shop, np.where(fits, seconds, np.inf), np.zeros_like(lanes), (lanes * pushes).astype(np.int64), wide, math.inf
    )


def _relief(cut: Cut, shop: Outfit) -> Options:
    """A narrow edge driven along the middle to take the wood out, pass by pass."""
    wide = 2 * max(math.hypot(*one) for one in cut.across_mm)
    fits = (shop.straight | shop.curved) & (shop.width <= max(RELIEF_ROOM * wide, shop.width.min()))
    depth = cut.depth_mm
    passes = np.maximum(1, np.ceil(depth / shop.pass_mm - 1e-9))
    seconds = seconds_of(cut, passes, passes * 0, passes * 0, shop.hardness_lbf, shop.rates) * wide / shop.width
    # A gouge takes wood out of a furrow, a chisel only splits it off.
    poor = np.where(shop.curved, 0.0, 10.0)
    return _same(shop, np.where(fits, seconds, np.inf), poor, passes.astype(np.int64), wide, math.inf)
