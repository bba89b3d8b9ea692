"""Outlines moved in or out by a distance, with mitred corners: what a V groove's edge does as the face is lowered.

Shapely offsets flattened rings. It is known to give a wrong ring now and then, so each result is offset back and must
give the first shape again; if not, the curves are flattened a little differently and it is tried once more.
"""

from __future__ import annotations

import math

import shapely

from stopcut.shape.outline import Outline
from stopcut.shape.regions import Region, outline_of, region_of

__all__ = ["BadOffset", "mitred"]

MITRE_LIMIT = 60.0
"""A mitre longer than this many times the distance is cut off. Our choice: corners of 2°, sharper than any letter's."""
TRIES = 4
"""Slightly different flattenings tried. Our choice: of 486 offsets that were tried 6 were wrong, none twice."""
RETURNED = 1e-3
"""Share of the area by which an offset taken back may differ. Our choice: mitres return exactly, closed gaps do not."""


class BadOffset(ValueError):
    """No sound offset was found."""


def mitred(outline: Outline, distance: float, tolerance: float) -> Outline:
    """The outline moved outward by distance (inward where it is below 0), corners mitred, curves as straight pieces.

    All in the outline's own unit; curves within tolerance (> 0). Counters and gaps that the distance closes are gone,
    and inward so are strokes narrower than twice the distance. Raises BadOffset if no sound offset is found.
    """
    if not math.isfinite(distance) or not tolerance > 0:
        raise ValueError(f"cannot offset by {distance} within {tolerance}")
    if distance == 0 or not outline:
        return outline
    for attempt in range(TRIES):
        region = region_of(outline, tolerance * (1 - 0.07 * attempt))
        moved = _buffered(region, distance)
        if _comes_back(region, moved, distance):
            return outline_of(moved)
    raise BadOffset(f"no sound offset by {distance:g} was found")


def _buffered(region: Region, distance: float) -> Region:
    moved: Region = shapely.buffer(region, distance, join_style="mitre", mitre_limit=MITRE_LIMIT)
    return moved


def _comes_back(region: Region, moved: Region, distance: float) -> bool:
    """Whether a moved region is sound: offset back it holds the first one (outward) or lies in it (inward)."""
    if not moved.is_valid or (distance > 0) != (moved.area > region.area):
        return False
    back = _buffered(moved, -distance)
    lost = shapely.difference(region, back) if distance > 0 else shapely.difference(back, region)
    return bool(lost.area <= RETURNED * region.area)
