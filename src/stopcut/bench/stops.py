"""The lines that are stabbed: stop cuts along the bottom, and end cuts from there up to the corners at the surface.

A stop cut follows the parallel run and stops where the stroke starts to flare; from there an end cut goes on up to each
corner, so that stroke and serif meet in one continuous V (common practice). What is left of a centre line at a joint,
or in a stroke that tapers throughout, is a stop cut of its own unless it is too short to be one: then the stop cut
beside it runs on over it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

import numpy as np

from stopcut.bench.parts import at_sharp_turns
from stopcut.bench.paths import Array, along, between, headings, turned_deg
from stopcut.bench.settings import BenchSettings
from stopcut.groove.surface import Groove, GrooveLine

__all__ = ["Stab", "stabs"]

RUNS_ON: Final = 2.0
"""What is left of a centre line and shorter than this is cut with the stop cut beside it. [half-widths] Our choice."""
SHORTEST_END_MM: Final = 1.0
"""Corner lines shorter than this need no cut of their own: the tip is cleaned out whole. [mm] Our choice."""
KINK_DEG: Final = 30.0
"""Where a corner line leaves the centre line at a greater angle, an edge cannot follow both. [degrees] Our choice."""
FLARE_MM: Final = 1.5
"""What is left of a centre line at a flare and no longer than this is cut with the stop cut. [mm] Our choice."""
NEAR_MM: Final = 0.05
"""Lines that begin so near to each other begin in one place. [mm] Our choice."""


@dataclass(frozen=True, eq=False, slots=True)
class Stab:
    """One line to stab along: line (k, 3), each point with the depth of the cut there; half_width_mm over most of it.

    run is False for a stop cut outside a parallel run, where the stroke tapers or meets another.
    """

    kind: Literal["stop", "end"]
    line: Array
    half_width_mm: float
    run: bool = True


def stabs(groove: Groove, settings: BenchSettings) -> list[Stab]:
    """All stop cuts and end cuts of one groove, before they are parted by bend and tool."""
    fans = _fans(groove, settings)
    out: list[Stab] = []
    for line in groove.lines:
        if line.kind == "centre" and len(line.points) > 1:
            out += _stops(line, fans, settings)
    for pit in groove.pits:
        depth = _stopped(np.array([pit.depth_mm]), settings)[0]
        out.append(Stab("stop", np.array([[pit.x_mm, pit.y_mm, depth]]), pit.depth_mm, run=False))
    return out + [end for fan in fans for end in (*fan.flares, *fan.tips)]


@dataclass(eq=False)
class _Fan:
    """The corner lines that begin in one place, the longest first: it may take in what one stop cut leaves.

    flares are what else is cut on the way from a stop cut's end to root.
    """

    root: Array
    tips: list[Stab]
    flares: list[Stab] = field(default_factory=list)
    joined: bool = False


def _fans(groove: Groove, settings: BenchSettings) -> list[_Fan]:
    fans: list[_Fan] = []
    for line in groove.lines:
        if line.kind != "corner" or len(line.points) < 2 or along(line.points)[-1] < SHORTEST_END_MM:
            continue
        tip = Stab("end", _with_depth(line, settings), float(np.median(line.half_width_mm)))
        fan = next((fan for fan in fans if _near(fan.root, line.points[0])), None)
        if fan is None:
            fans.append(_Fan(line.points[0], [tip]))
        else:
            fan.tips.append(tip)
    for fan in fans:
        fan.tips.sort(key=lambda tip: -float(along(tip.line)[-1]))
    return fans


def _stops(line: GrooveLine, fans: Sequence[_Fan], settings: BenchSettings) -> list[Stab]:
    """A centre line's stop cuts; what is left at a flare goes to the end cuts there."""
    whole = _with_depth(line, settings)
    length = float(along(whole)[-1])
    spans: list[tuple[float, float, bool]] = []
    done = 0.0
    for start, end in line.parallel:
        if start > done:
            spans.append((done, start, False))
        spans.append((start, end, True))
        done = end
    if done < length:
        spans.append((done, length, False))
    if line.parallel:
        spans = _flares_off(spans, whole, fans, length)
        spans = _run_on(spans, RUNS_ON * float(np.median(line.half_width_mm)))
    out = []
    for start, end, run in spans:
        if end - start < 1e-6:
            continue
        piece = between(whole, start, end) if (start, end) != (0.0, length) else whole
        width = float(np.interp((start + end) / 2, along(whole), line.half_width_mm))
        out += [Stab("stop", part, width, run) for _, _, part in at_sharp_turns(piece, width)]
    return out


def _flares_off(
    spans: list[tuple[float, float, bool]], whole: Array, fans: Sequence[_Fan], length: float
) -> list[tuple[float, float, bool]]:
    """The spans without those that flare into a fan of corner lines, which the longest of these takes in."""
    kept = []
    for start, end, run in spans:
        at_start, at_end = start == 0.0, end == length
        tip = whole[0] if at_start else whole[-1]
        fan = next((fan for fan in fans if _near(fan.root, tip)), None) if at_start != at_end and not run else None
        if fan is None:
            kept.append((start, end, run))
            continue
        flare = between(whole, start, end)
        flare = flare[::-1] if at_start else flare
        first = fan.tips[0]
        bend = abs(turned_deg(float(headings(flare)[-1]), float(headings(first.line)[0])))
        if bend < KINK_DEG and not fan.joined:
            fan.joined = True
            fan.tips[0] = Stab("end", np.vstack([flare[:-1], first.line]), first.half_width_mm)
        elif end - start > FLARE_MM:
            fan.flares.append(Stab("end", flare, first.half_width_mm))
        else:
            kept.append((start, end, run))
    return kept


def _run_on(spans: list[tuple[float, float, bool]], short: float) -> list[tuple[float, float, bool]]:
    """Short spans outside the runs taken in by the run beside them."""
    out: list[tuple[float, float, bool]] = []
    for span in spans:
        if out and out[-1][1] == span[0]:
            start, end, run = out[-1]
            if (run and not span[2] and span[1] - span[0] <= short) or (not run and span[2] and end - start <= short):
                out[-1] = (start, span[1], True)
                continue
            if run and span[2]:
                out[-1] = (start, span[1], True)
                continue
        out.append(span)
    return out


def _with_depth(line: GrooveLine, settings: BenchSettings) -> Array:
    return np.column_stack([line.points, _stopped(line.depth_mm, settings)])


def _stopped(depth: Array, settings: BenchSettings) -> Array:
    """How deep to stab where the groove is this deep: a little short of it. [mm]"""
    out: Array = depth - np.minimum(settings.short_mm, settings.short_share * depth)
    return out


def _near(a: Array, b: Array) -> bool:
    return bool(np.hypot(*(a[:2] - b[:2])) <= NEAR_MM)
