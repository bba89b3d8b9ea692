"""Findings of the grooves: what will not carve, where, and what would mend it.

A stage of its own: its key holds where every groove stands and all that judges it, and its result is values. Thresholds
are the shop's. One cause in one line is one finding, which names its letters, the worst first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from stopcut.errors import Finding, Severity
from stopcut.groove.finding_words import Case, grouped, is_less, named
from stopcut.groove.place_findings import avoid_cases, edge_cases, relief_cases
from stopcut.groove.shape_facts import Carved, counters, finer_than, inner_corners, narrow_wood
from stopcut.groove.wood_findings import apart_cases, joined_cases, short_grain_cases
from stopcut.job.job import Avoid, Board
from stopcut.shape.placed import Placed
from stopcut.shop.thresholds import Thresholds
from stopcut.shop.woods import Texture
from stopcut.units import Units, format_angle, format_length

__all__ = ["Carved", "FindingsKey", "board_findings"]

TOLERANCE_MM = 0.03
"""How far the flattened edges asked here may lie off the curves. [mm] Our choice, as for grooves."""


MOST_TIMES = 20.0
"""So many times as wide a drawing is told to be made at most. Our choice: no drawing is made larger still."""


@dataclass(frozen=True)
class FindingsKey:
    """All that the findings depend on.

    carved are the grooves (of united letters one each), joined the letters of each that is united of several, relief
    what is drawn but not carved; texture is the wood's.
    """

    carved: tuple[Carved, ...]
    board: Board
    texture: Texture
    thresholds: Thresholds
    avoid: tuple[Avoid, ...] = ()
    relief: tuple[Placed, ...] = ()
    units: Units = "mm"
    joined: tuple[tuple[Placed, ...], ...] = ()


def board_findings(key: FindingsKey) -> tuple[Finding, ...]:
    """What of this board will not carve well, the gravest first; within that in the order of the lines."""
    found = grouped(_cases(key))
    rank = {Severity.STOP: 0, Severity.LOOK: 1, Severity.NOTE: 2}
    return tuple(sorted(found, key=lambda finding: (rank[finding.severity], finding.where.line or 0)))


def _cases(key: FindingsKey) -> Iterator[Case]:
    for one in key.carved:
        yield from _deep(key, one)
        yield from _thin(key, one)
        small = tuple(_small_counters(key, one))
        yield from small or _narrow(key, one)
        yield from _sharp_inside(key, one)
    yield from joined_cases(key.joined)
    apart = tuple(apart_cases(key.carved, key.thresholds.least_wood_mm.of(key.texture), key.board.wood, key.units))
    yield from apart
    told = {case.name for case in apart}
    short = short_grain_cases(key.carved, key.board.grain, key.thresholds.short_grain, key.units)
    yield from (case for case in short if case.name not in told)  # thin wood is the graver
    yield from edge_cases(key.carved, key.board, key.thresholds.edge_clear_mm, key.units)
    yield from avoid_cases(key.carved, key.avoid, key.thresholds.avoid_clear_mm, key.units)
    yield from relief_cases(key.carved, key.relief)


def _deep(key: FindingsKey, one: Carved) -> Iterator[Case]:
    thickness, share = key.board.thickness_mm, key.thresholds.deepest_share
    if one.max_depth_mm <= share * thickness:
        return
    deep, thick = format_length(one.max_depth_mm, key.units), format_length(thickness, key.units)
    part = "half" if share == 0.5 else f"{share:.0%}"
    through = one.max_depth_mm >= thickness
    if through:
        told = f"{deep} is how deep %s in a board of {thick}: it comes out at the back."
    else:
        told = f"{deep} is how deep %s, more than {part} of the board's {thick}."
    least = format_length(share * thickness, key.units)
    if one.placed.line:
        remedy = (
            f'Set flat_bottom = "{least}" for that line, a smaller wall angle or cap height, or take a thicker board.'
        )
        screen = f"A flat bottom of {least}, a smaller wall angle, smaller letters or a thicker board would do."
    else:
        remedy = f'Set flat_bottom = "{least}" or a smaller wall in [groove], make it smaller, or take a thicker board.'
        screen = (
            f"A flat bottom of {least} or a smaller wall angle would do; or make it smaller, or take a thicker board."
        )
    severity = Severity.STOP if through else Severity.LOOK
    says, across = told % f"{named(one.placed)} goes", told % "it goes {where}"
    yield Case(
        "too-deep", severity, one.placed, one.max_depth_mm, says, remedy, one.deepest_at,
        screen=screen, across=across, wants_mm=share * thickness,
    )  # fmt: skip


def _thin(key: FindingsKey, one: Carved) -> Iterator[Case]:
    least = key.thresholds.thinnest_stroke_mm.of(key.texture)
    if is_less(one.thinnest_mm, least, key.units):
        wants = format_length(least, key.units)
        told = (
            f"{format_length(one.thinnest_mm, key.units)} is the thinnest stroke %s; "
            f"{key.board.wood} ({key.texture}) wants {wants}."
        )
        remedy, screen = _stouter(one, least, wants)
        yield Case(
            "thin-stroke", Severity.LOOK, one.placed, -one.thinnest_mm, told % f"of {named(one.placed)}", remedy,
            one.thinnest_at, screen=screen, across=told % "{where}", wants_mm=least,
            times=None if one.placed.line else _times(least, one.thinnest_mm),
        )  # fmt: skip
        return  # a thin stroke is fine detail too: once is enough
    finest = key.thresholds.finest_detail_mm.of(key.texture)
    rough = finer_than(one.placed.outline, finest / one.placed.scale)
    if rough is not None:
        wood = f"{key.board.wood} ({key.texture})"
        told = f"{format_length(finest, key.units)} is the finest detail that {wood} holds; %s finer."
        plainer = (
            "Choose a plainer face, or a larger cap height."
            if one.placed.line
            else "Make it larger, or draw it plainer where it is finest."
        )
        yield Case(
            "fine-detail", Severity.LOOK, one.placed, 0, told % f"{named(one.placed)} has", plainer,
            one.placed.point_mm(rough), across=told % "letters {where} have",
        )  # fmt: skip


def _stouter(one: Carved, least_mm: float, wants: str) -> tuple[str, str]:
    """What would make thin strokes stout enough: in the words of a job file, and of a screen."""
    if one.placed.line:
        return (
            f'Set thinnest = "{wants}", a bolder weight or a larger cap height.',
            "A stouter thinnest stroke, a bolder weight or larger letters would do.",
        )
    if one.placed.char == "border":
        return f'Set stroke = "{wants}" in [border], or more.', f"Strokes of {wants} or more would do."
    remedy = f"Make it {_times(least_mm, one.thinnest_mm):g} times as wide, or draw it with stouter strokes."
    return remedy, remedy


def _times(least_mm: float, mm: float) -> float:
    """How many times as large a length is to be, to a tenth."""
    return math.ceil(10 * least_mm / max(mm, least_mm / MOST_TIMES) - 1e-9) / 10


def _small_counters(key: FindingsKey, one: Carved) -> Iterator[Case]:
    least = key.thresholds.least_counter_mm.of(key.texture)
    for counter in counters(one.placed.outline, TOLERANCE_MM / one.placed.scale):
        width = counter.width * one.placed.scale
        if is_less(width, least, key.units):
            told = (
                f"{format_length(width, key.units)} of wood stands in %s; in "
                f"{key.board.wood} it wants {format_length(least, key.units)} to stay."
            )
            times = _times(least, width)
            remedy = (
                "Cut the line larger or lighter, or choose a face with wider counters."
                if one.placed.line
                else f"Make it {times:g} times as wide, or open it where it is narrow."
            )
            at = one.placed.point_mm((counter.x, counter.y))
            says = told % f"the counter of {named(one.placed)}"
            yield Case(
                "small-counter", Severity.LOOK, one.placed, -width, says, remedy,
                at, across=told % "counters {where}", wants_mm=least, times=None if one.placed.line else times,
            )  # fmt: skip


def _narrow(key: FindingsKey, one: Carved) -> Iterator[Case]:
    least = key.thresholds.least_wood_mm.of(key.texture)
    narrow = narrow_wood(one.placed.outline, least / one.placed.scale)
    if narrow is not None:
        told = (
            f"Under {format_length(least, key.units)} of wood stands between two strokes %s, too "
            f"little for {key.board.wood}."
        )
        remedy = (
            "Cut the line larger or lighter, or choose a more open face."
            if one.placed.line
            else "Make it larger, or draw it more open there."
        )
        yield Case(
            "narrow-wood", Severity.LOOK, one.placed, 0, told % f"of {named(one.placed)}", remedy,
            one.placed.point_mm(narrow), across=told % "of letters {where}",
        )  # fmt: skip


def _sharp_inside(key: FindingsKey, one: Carved) -> Iterator[Case]:
    corners = inner_corners(one.placed.outline, TOLERANCE_MM / one.placed.scale)
    sharp = [corner for corner in corners if corner.wood_deg < key.thresholds.sharpest_apex_deg]
    if not sharp:
        return
    worst = min(sharp, key=lambda corner: corner.wood_deg)
    told = f"{format_angle(round(worst.wood_deg))} is the wood inside %s: a chisel driven in would split it off."
    remedy = "Leave the apex to the last and cut it with a narrow chisel, by slicing; do not wedge."
    at = one.placed.point_mm((worst.x, worst.y))
    yield Case(
        "sharp-apex", Severity.NOTE, one.placed, -worst.wood_deg, told % f"the apex of {named(one.placed)}", remedy, at,
        across=told % "the apexes {where}",
    )  # fmt: skip
