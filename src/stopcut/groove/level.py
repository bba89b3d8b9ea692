"""What of a groove lies deeper than a level: the floor of a flat bottom, and the letter that planing the face leaves.

It is exact: of every wall face what lies beyond the level, which is where the wall has come t / tan(wall) in from its
edge. Taken as an outline it is that of the narrower letter whose roof is the rest of this one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from stopcut.groove.groove import groove
from stopcut.groove.surface import Groove
from stopcut.shape.placed import Placed
from stopcut.shape.regions import Region, outline_of

__all__ = ["deeper", "planed_placed", "together"]

LEAST_MM: Final = 1e-6
"""Nothing is deeper that is so by less. [mm] Our choice: rounding."""
GRID_MM: Final = 1e-6
"""Corners are laid on a grid this fine to be united. [mm] Our choice: far finer than any figure."""
HAIR_MM: Final = 1e-4
"""Hairs and pinholes up to twice this broad are no part of a planed letter. [mm] Our choice: far finer than a cut."""
MITRE_LIMIT: Final = 60.0
"""Corners are kept as sharp as they were. Our choice: corners of 2°, sharper than any letter's."""
LEAST_MM2: Final = 1e-3
"""What is no larger is no part of a planed letter. [mm²] Our choice: nobody sees it."""


def deeper(found: Groove, depth_mm: float) -> Iterator[tuple[int, BaseGeometry]]:
    """Each wall face that would go deeper than depth_mm, were there no flat bottom, with the part of it that does.

    Faces are numbered as Roof.faces; shapes are seen from above, in mm on the board.
    """
    top = depth_mm / math.tan(math.radians(found.wall_deg))
    for face, loop in enumerate(found.roof.faces):
        highest = float(found.roof.heights[loop].max()) * found.placed.scale
        if highest > top + LEAST_MM:
            start, end = found.nodes_mm[loop[0]], found.nodes_mm[loop[1]]
            ahead = (end - start) / float(np.hypot(*(end - start)))
            inward = np.array([-ahead[1], ahead[0]])
            run = (found.nodes_mm[loop] - start) @ ahead
            low, high = start + (run.min() - 1) * ahead, start + (run.max() + 1) * ahead
            beyond = [low + top * inward, high + top * inward, high + (highest + 1) * inward]
            far = shapely.Polygon([*beyond, low + (highest + 1) * inward])
            yield face, shapely.Polygon(found.nodes_mm[loop]).intersection(far)


def together(shapes: Sequence[BaseGeometry]) -> BaseGeometry:
    """Shapes that touch as one. Without a grid GEOS may lose some that touch along almost level lines."""
    whole: BaseGeometry = shapely.union_all(shapes, grid_size=GRID_MM)
    return whole


def planed_placed(placed: Placed, planed_mm: float, wall_deg: float) -> Placed:
    """What is left of a placed outline once the face it was cut in has been planed down by planed_mm (≥ 0).

    The same place and size, narrower; the outline is empty where all of it was shallower. Raises BadWall and RoofError
    as groove does.
    """
    if planed_mm == 0:
        return placed
    upright = replace(placed, x_mm=0.0, y_mm=0.0, turn_deg=0.0)
    left = together([shape for _, shape in deeper(groove(upright, wall_deg), planed_mm)])
    # Where faces meet the union leaves hairs and pinholes of the grid's size.
    left = shapely.buffer(left, HAIR_MM, join_style="mitre", mitre_limit=MITRE_LIMIT)
    left = shapely.buffer(left, -HAIR_MM, join_style="mitre", mitre_limit=MITRE_LIMIT)
    parts = [part for part in shapely.get_parts(left) if isinstance(part, shapely.Polygon) and part.area > LEAST_MM2]
    whole = [
        shapely.Polygon(part.exterior, [ring for ring in part.interiors if shapely.Polygon(ring).area > LEAST_MM2])
        for part in parts
    ]
    region: Region = shapely.MultiPolygon(whole)
    return replace(placed, outline=outline_of(region).scaled(1 / placed.scale))
