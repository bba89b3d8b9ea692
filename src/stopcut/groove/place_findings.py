"""Findings of where grooves stand: the board's edge, what is marked to avoid, and what is drawn for relief."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from stopcut.errors import Severity
from stopcut.groove.finding_words import Case, named
from stopcut.groove.shape_facts import Carved
from stopcut.job.job import Avoid, Board
from stopcut.shape.placed import Placed
from stopcut.shape.regions import Region, region_of
from stopcut.units import Units, format_length

__all__ = ["avoid_cases", "edge_cases", "relief_cases"]

HARD = ("screw", "bolt", "nail", "fixing", "dowel", "plate")
"""What blunts or breaks an edge, in the words of [[avoid]]. Common practice."""


def edge_cases(carved: Sequence[Carved], board: Board, clear_mm: float, units: Units) -> Iterator[Case]:
    """Grooves nearer to the board's edge than clear_mm, or over it."""
    for one in carved:
        if not one.placed.outline:
            continue
        box = one.placed.bounds_mm
        nearest = min(
            (box.left, "left", (box.left, (box.bottom + box.top) / 2)),
            (board.width_mm - box.right, "right", (box.right, (box.bottom + box.top) / 2)),
            (box.bottom, "lower", ((box.left + box.right) / 2, box.bottom)),
            (board.height_mm - box.top, "upper", ((box.left + box.right) / 2, box.top)),
        )
        distance, side, at = nearest
        if distance < 0:
            says = f"{format_length(-distance, units)} of {named(one.placed)} is beyond the board's {side} edge."
            remedy = "Take a smaller cap height or a larger board, or move it in."
            across = f"{format_length(-distance, units)} of the letters is beyond the board's edge {{where}}."
            yield Case("off-board", Severity.STOP, one.placed, -distance, says, remedy, at, across=across)
        elif distance < clear_mm:
            says = (
                f"{format_length(distance, units)} is all between {named(one.placed)} and the board's {side} edge; "
                f"{format_length(clear_mm, units)} would not break out."
            )
            remedy = "Move it in, or take a wider margin."
            across = (
                f"{format_length(distance, units)} is all between the letters and the board's edge {{where}}; "
                f"{format_length(clear_mm, units)} would not break out."
            )
            yield Case("near-edge", Severity.LOOK, one.placed, -distance, says, remedy, at, across=across)


def avoid_cases(carved: Sequence[Carved], avoid: Sequence[Avoid], clear_mm: float, units: Units) -> Iterator[Case]:
    """Grooves that run into what is marked to avoid, or come nearer to it than clear_mm."""
    if not avoid or not carved:
        return
    tree = shapely.STRtree([one.region_mm for one in carved])
    for what in avoid:
        place = _place(what)
        for number in sorted(int(i) for i in tree.query(place, predicate="dwithin", distance=clear_mm)):
            one = carved[number]
            yield _avoided(one, what, place, float(place.distance(one.region_mm)), clear_mm, units)


def relief_cases(carved: Sequence[Carved], relief: Sequence[Placed]) -> Iterator[Case]:
    """Grooves that run into what is drawn but not carved."""
    drawn = [(one, region_of(one.on_board, 0.05)) for one in relief if one.outline]
    if not drawn or not carved:
        return
    tree = shapely.STRtree([one.region_mm for one in carved])
    for placed, region in drawn:
        for number in sorted(int(i) for i in tree.query(region, predicate="intersects")):
            one = carved[number]
            shared = shapely.intersection(region, one.region_mm).representative_point()
            says = f"{named(one.placed, begins=True)} runs into {named(placed)}, which is to be carved in relief."
            remedy = "Move the words or the ornament clear of each other."
            at = (float(shared.x), float(shared.y))
            yield Case("into-relief", Severity.LOOK, one.placed, 0, says, remedy, at)


def _avoided(one: Carved, what: Avoid, place: Region, distance: float, clear_mm: float, units: Units) -> Case:
    cause = _position(what, units)
    at = shapely.shortest_line(one.region_mm, place).coords[0]
    if distance > 0:
        says = (
            f"{format_length(distance, units)} is all between {named(one.placed)} and the {what.what} at "
            f"{_position(what, units)}; {format_length(clear_mm, units)} keeps clear of its crooked grain."
        )
        remedy = "Move the line a little."
        return Case(
            "near-avoid", Severity.NOTE, one.placed, -distance, says, remedy, (float(at[0]), float(at[1])), cause=cause
        )
    middle = shapely.intersection(one.region_mm, place).representative_point()
    hard = any(word in what.what.casefold() for word in HARD)
    says = f"{named(one.placed, begins=True)} runs into the {what.what} at {_position(what, units)}."
    remedy = "Move the line, turn the board over, or choose another board."
    severity = Severity.STOP if hard else Severity.LOOK
    return Case("into-avoid", severity, one.placed, 0, says, remedy, (float(middle.x), float(middle.y)), cause=cause)


def _position(what: Avoid, units: Units) -> str:
    return f"{format_length(what.x_mm, units)}, {format_length(what.y_mm, units)}"


def _place(what: Avoid) -> Region:
    """The area of what is to be avoided; a circle of 64 sides, as large as the true one."""
    if what.radius_mm is not None:
        angles = np.arange(64) * (2 * math.pi / 64)
        radius = what.radius_mm / math.cos(math.pi / 64)
        return shapely.Polygon(
            np.column_stack([what.x_mm + radius * np.cos(angles), what.y_mm + radius * np.sin(angles)])
        )
    width, height = what.width_mm or 0.0, what.height_mm or 0.0
    return shapely.box(what.x_mm - width / 2, what.y_mm - height / 2, what.x_mm + width / 2, what.y_mm + height / 2)
