"""Leaders: a row of small points that leads the eye from a name to its year.

They stand on the baseline, on one grid for all lines of a column, counted from its far edge, so that they stand under
one another (common practice). Nothing but the words decides where they begin and end: a word space is left at either.
"""

from __future__ import annotations

import math

from stopcut.setting.columns import tab_gap
from stopcut.setting.lay import Lain
from stopcut.setting.request import SettingRequest
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.placed import Placed

__all__ = ["LEADER", "POINT", "leaders"]

LEADER = "leader"
"""What a leader is called where a letter has its character."""

POINT: Outline = polygon([(0.0, 0.08), (0.08, 0.0), (0.16, 0.08), (0.08, 0.16)])
"""A small point: a square on its corner, standing on the baseline. [cap heights] Our choice: as much wood is cut
away as in a round point of a stem's breadth (Trajan stone: 0.111 to 0.118), by four short cuts of a narrow chisel."""

PITCH = 0.8
"""From one leader to the next. [cap heights] Our choice: near enough to read as a row, few enough to carve."""

FEWEST = 2
"""Fewer are left out. Our choice: one point alone is read as a full stop."""


def leaders(line: Lain, request: SettingRequest, left_mm: float, y_mm: float) -> tuple[Placed, ...]:
    """The leaders of a line whose ink begins at left_mm and which stands at y_mm, from left to right.

    None where there are to be none, or is no room.
    """
    gap, outline = tab_gap(line), line.setting.leader
    if gap is None or outline is None:
        return ()
    box, scale = outline.bounds, line.mm_per_em
    clear = float(line.gaps.model[gap]) - line.tab_mm
    half = box.width * scale / 2
    begin = left_mm + float(line.lefts[gap] + line.shape.widths[gap] * line.unit_mm) + clear + half
    end = left_mm + float(line.lefts[gap + 1]) - clear - half
    pitch = PITCH * line.cap_height_mm
    edge = request.room(line.setting)[1]
    # On a grid from the column's far edge: its places between begin and end.
    places = range(math.ceil((edge - end) / pitch - 1e-9), math.floor((edge - begin) / pitch + 1e-9) + 1)
    if len(places) < FEWEST:
        return ()
    return tuple(
        Placed(outline, scale, edge - place * pitch - box.centre[0] * scale, y_mm, char=LEADER)
        for place in reversed(places)
    )
