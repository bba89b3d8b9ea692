"""Where the number of each cut stands on a bench card, so that none covers another or the letter's edge."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from stopcut.shape.outline import Bounds, Point

__all__ = ["RADIUS_MM", "Spot", "Wanted", "place_numbers"]

RADIUS_MM = 3.6
"""Of the ring round a number. (our choice: two figures of 14 pt)"""

APART_MM = 0.8
"""Between two rings. (our choice)"""

FARTHEST_MM = 46.0
"""How far from its cut a number may stand. (our choice)"""

_STEP_MM = 1.5
_TURNS_DEG = (0, 20, -20, 40, -40, 60, -60, 85, -85, 110, -110, 140, -140, 180)
_TURN_COSTS_MM = 0.05
_EDGE_COSTS_MM = 16.0
_CROSSED_COSTS_MM = 20.0


@dataclass(frozen=True, slots=True)
class Wanted:
    """A number, the place it belongs to, and the direction [degrees] in which it had best stand; on the place itself
    if inside. [mm on the page]"""

    number: int
    at: Point
    towards_deg: float
    inside: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A number's ring, and the place it belongs to. [mm on the page]"""

    number: int
    x: float
    y: float
    at: Point

    @property
    def leader(self) -> tuple[Point, Point] | None:
        """The line from the ring to its place; None where the ring covers it."""
        far = math.dist((self.x, self.y), self.at)
        if far <= RADIUS_MM + 0.3:
            return None
        share = RADIUS_MM / far
        return (self.x + (self.at[0] - self.x) * share, self.y + (self.at[1] - self.y) * share), self.at


def place_numbers(wanted: Sequence[Wanted], edges: BaseGeometry, within: Bounds) -> list[Spot]:
    """A spot for every number: rings apart from one another and within the bounds, off edges where there is room."""
    spots: list[Spot] = []
    shapely.prepare(edges)
    for one in sorted(wanted, key=lambda one: not one.inside):
        spots.append(_best(one, spots, edges, within))
    return sorted(spots, key=lambda spot: spot.number)


def _best(one: Wanted, spots: Sequence[Spot], edges: BaseGeometry, within: Bounds) -> Spot:
    best, least = None, math.inf
    if one.inside:
        spot = Spot(one.number, *one.at, one.at)
        if _free(spot, spots, within):
            return spot
    count = int((FARTHEST_MM - RADIUS_MM) / _STEP_MM)
    for step, turn in itertools.product(range(1, count), _TURNS_DEG):
        far = RADIUS_MM + _STEP_MM * step
        if far >= least:
            break  # what follows only stands farther off
        angle = math.radians(one.towards_deg + turn)
        spot = Spot(one.number, one.at[0] + far * math.cos(angle), one.at[1] + far * math.sin(angle), one.at)
        if not _free(spot, spots, within):
            continue
        cost = far + _TURN_COSTS_MM * abs(turn)
        if shapely.Point(spot.x, spot.y).distance(edges) < RADIUS_MM:
            cost += _EDGE_COSTS_MM
        if cost < least:
            line = shapely.LineString([(spot.x, spot.y), spot.at])
            cost += _CROSSED_COSTS_MM * sum(_crosses(line, other) for other in spots)
        if cost < least:
            best, least = spot, cost
    return best or Spot(one.number, *one.at, one.at)


def _free(spot: Spot, spots: Sequence[Spot], within: Bounds) -> bool:
    inside = (
        within.left + RADIUS_MM <= spot.x <= within.right - RADIUS_MM
        and within.bottom + RADIUS_MM <= spot.y <= within.top - RADIUS_MM
    )
    least = 2 * RADIUS_MM + APART_MM
    return inside and all(math.dist((spot.x, spot.y), (other.x, other.y)) >= least for other in spots)


def _crosses(line: BaseGeometry, other: Spot) -> bool:
    ring = shapely.Point(other.x, other.y)
    theirs = shapely.LineString([(other.x, other.y), other.at])
    return bool(line.distance(ring) < RADIUS_MM + 0.5 or line.intersects(theirs))
