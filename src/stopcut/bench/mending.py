"""Mending a slip, a chip or a wrong letter on a part-cut board, as figures: the carver chooses.

Three ways, all common practice: glue the chip back; widen the letter until the slip is cut away; plane the face down
until the slip is gone. A wall keeps its angle, so a stroke widened by x has each edge x/2 further out and is deeper by
x/2 · tan(wall); a face planed by t narrows every stroke by 2t / tan(wall), and every groove is shallower by t.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from stopcut.groove.allowance import allowance_placed
from stopcut.groove.groove import groove
from stopcut.groove.surface import Groove

__all__ = ["Planed", "Widened", "planed", "widened", "widened_groove"]


@dataclass(frozen=True, slots=True)
class Widened:
    """One letter with every stroke wider by by_mm.

    depth_mm is its greatest depth then, deeper_mm how much more that is, wood_under_mm what is left of the board below
    (None where the thickness is not given; 0 or less: it breaks through). gap_before_mm and gap_after_mm are to its
    neighbours (None where there is none). All in mm.
    """

    by_mm: float
    depth_mm: float
    deeper_mm: float
    wood_under_mm: float | None
    gap_before_mm: float | None
    gap_after_mm: float | None


@dataclass(frozen=True, slots=True)
class Planed:
    """The whole board with off_mm planed off its face.

    thickness_mm is what is left of it (None where it is not given), narrower_mm how much narrower every stroke is at
    the face; depths_mm are the grooves' greatest depths then, in the order given, and gone counts those of which
    nothing is left. All in mm.
    """

    off_mm: float
    thickness_mm: float | None
    narrower_mm: float
    depths_mm: tuple[float, ...]
    gone: int


def widened(
    found: Groove,
    by_mm: float,
    *,
    thickness_mm: float | None = None,
    gap_before_mm: float | None = None,
    gap_after_mm: float | None = None,
) -> Widened:
    """What widening a letter's strokes by by_mm (> 0) comes to; gaps are those to its neighbours as set out."""
    wider = widened_groove(found, by_mm)
    before, after = (None if gap is None else gap - by_mm / 2 for gap in (gap_before_mm, gap_after_mm))
    under = None if thickness_mm is None else thickness_mm - wider.max_depth_mm
    return Widened(by_mm, wider.max_depth_mm, wider.max_depth_mm - found.max_depth_mm, under, before, after)


def widened_groove(found: Groove, by_mm: float) -> Groove:
    """The groove of a letter whose every stroke is wider by by_mm (> 0), its wall and flat bottom as they were.

    Raises CarverError where the outline cannot be drawn so much larger.
    """
    off_mm = by_mm / 2 * math.tan(math.radians(found.wall_deg))
    return groove(allowance_placed(found.placed, off_mm, found.wall_deg), found.wall_deg, found.flat_bottom_mm)


def planed(found: Iterable[Groove], off_mm: float, wall_deg: float, *, thickness_mm: float | None = None) -> Planed:
    """What planing off_mm (> 0) off the face comes to for grooves whose walls are wall_deg from it."""
    depths = [max(one.max_depth_mm - off_mm, 0.0) for one in found]
    return Planed(
        off_mm=off_mm,
        thickness_mm=None if thickness_mm is None else thickness_mm - off_mm,
        narrower_mm=2 * off_mm / math.tan(math.radians(wall_deg)),
        depths_mm=tuple(depths),
        gone=sum(depth == 0.0 for depth in depths),
    )
