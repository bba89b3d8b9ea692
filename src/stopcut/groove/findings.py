"""Findings of the grooves: what will not carve, where, and what would mend it.

A stage of its own: its key holds where every groove stands and all that judges it, and its result is values. Thresholds
are the shop's. One cause in one line is one finding, which names its letters, the worst first.
"""

from __future__ import annotations

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
        says = f"{deep} is how deep {named(one.placed)} goes in a board of {thick}: it comes out at the back."
    else:
        says = f"{deep} is how deep {named(one.placed)} goes, more than {part} of the board's {thick}."
    flat = f'flat_bottom = "{format_length(share * thickness, key.units)}"'
    if one.placed.line:
        remedy = f"Set {flat} for that line, a smaller wall angle or cap height, or take a thicker board."
    else:
        remedy = f"Set {flat} or a smaller wall angle in [groove], make it smaller, or take a thicker board."
    severity = Severity.STOP if through else Severity.LOOK
    yield Case("too-deep", severity, one.placed, one.max_depth_mm, says, remedy, one.deepest_at)


def _thin(key: FindingsKey, one: Carved) -> Iterator[Case]:
    least = key.thresholds.thinnest_stroke_mm.of(key.texture)
    if is_less(one.thinnest_mm, least, key.units):
        says = (
            f"{format_length(one.thinnest_mm, key.units)} is the thinnest stroke of {named(one.placed)}; "
            f"{key.board.wood} ({key.texture}) wants {format_length(least, key.units)}."
        )
        remedy = f'Set thinnest = "{format_length(least, key.units)}", a bolder weight or a larger cap height.'
        yield Case("thin-stroke", Severity.LOOK, one.placed, -one.thinnest_mm, says, remedy, one.thinnest_at)
        return  # a thin stroke is fine detail too: once is enough
    finest = key.thresholds.finest_detail_mm.of(key.texture)
    rough = finer_than(one.placed.outline, finest / one.placed.scale)
    if rough is not None:
        says = (
            f"{format_length(finest, key.units)} is the finest detail that {key.board.wood} ({key.texture}) holds; "
            f"{named(one.placed)} has finer."
        )
        remedy = "Choose a plainer face or drawing, or a larger cap height."
        yield Case("fine-detail", Severity.LOOK, one.placed, 0, says, remedy, one.placed.point_mm(rough))


def _small_counters(key: FindingsKey, one: Carved) -> Iterator[Case]:
    least = key.thresholds.least_counter_mm.of(key.texture)
    for counter in counters(one.placed.outline, TOLERANCE_MM / one.placed.scale):
        width = counter.width * one.placed.scale
        if is_less(width, least, key.units):
            says = (
                f"{format_length(width, key.units)} of wood stands in the counter of {named(one.placed)}; in "
                f"{key.board.wood} it wants {format_length(least, key.units)} to stay."
            )
            remedy = "Cut the line larger or lighter, or choose a face with wider counters."
            at = one.placed.point_mm((counter.x, counter.y))
            yield Case("small-counter", Severity.LOOK, one.placed, -width, says, remedy, at)


def _narrow(key: FindingsKey, one: Carved) -> Iterator[Case]:
    least = key.thresholds.least_wood_mm.of(key.texture)
    narrow = narrow_wood(one.placed.outline, least / one.placed.scale)
    if narrow is not None:
        says = (
            f"Under {format_length(least, key.units)} of wood stands between two strokes of {named(one.placed)}, too "
            f"little for {key.board.wood}."
        )
        remedy = "Cut the line larger or lighter, or choose a more open face."
        yield Case("narrow-wood", Severity.LOOK, one.placed, 0, says, remedy, one.placed.point_mm(narrow))


def _sharp_inside(key: FindingsKey, one: Carved) -> Iterator[Case]:
    corners = inner_corners(one.placed.outline, TOLERANCE_MM / one.placed.scale)
    sharp = [corner for corner in corners if corner.wood_deg < key.thresholds.sharpest_apex_deg]
    if not sharp:
        return
    worst = min(sharp, key=lambda corner: corner.wood_deg)
    angle, name = format_angle(round(worst.wood_deg)), named(one.placed)
    says = f"{angle} is the wood inside the apex of {name}: a chisel driven in would split it off."
    remedy = "Leave the apex to the last and cut it with a narrow chisel, by slicing; do not wedge."
    at = one.placed.point_mm((worst.x, worst.y))
    yield Case("sharp-apex", Severity.NOTE, one.placed, -worst.wood_deg, says, remedy, at)
