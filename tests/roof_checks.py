"""What must be so of a letter's roof, one function a kind of check; each gives sentences on what is not so.

The bounds are those that the groove promises; slope is checked at 45°, the roof's own.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

import numpy as np
import shapely
from glyphs import cuts, families, glyphs
from judges import as_surface, by_cgal, cgal_inward_area, mitred, shape_of, volume_by_offsets

from stopcut.groove.mend import mended
from stopcut.groove.roof import TOLERANCE_EM, flat_for_roof, roof
from stopcut.groove.surface import Roof
from stopcut.shape.outline import Outline

AREA_TO_FLAT = 1e-6
AREA_TO_CURVE = 2e-4
SLOPE_DEG = 0.01
MENDED_MM = 0.02
EM_MM = 60 / 0.7  # 60 mm caps of 0.7 em
DEPTH = VOLUME = 0.005
CGAL_HEIGHT = 1e-7
CGAL_AREA = 1e-8
CGAL_VOLUME = 1e-6


def corpus_of(family: str) -> Iterator[tuple[str, Outline, Roof]]:
    """(name, outline, roof) of all of a family's letters, regular and bold."""
    for path, weight in cuts(families()[family]):
        for char, outline in glyphs(path, weight).items():
            yield (
                f"{path.stem} {weight or ''} {char}",
                outline,
                roof(mended(flat_for_roof(outline, TOLERANCE_EM), TOLERANCE_EM)),
            )


def held_to_mending(outline: Outline, roof: Roof) -> list[str]:
    """The roof's outline is nowhere farther from the flattened one than mending may move it."""
    before = flat_for_roof(outline, TOLERANCE_EM)
    if before.size == roof.flat.size:
        pairs = zip(before.rings, roof.flat.rings, strict=True)
        far = max(float(np.abs(old - new).max()) for old, new in pairs)
    else:
        edges = [
            shapely.LineString(pair)
            for ring in before.rings
            for pair in zip(ring, np.roll(ring, -1, axis=0), strict=True)
        ]
        lines = shapely.MultiLineString([shapely.LinearRing(ring) for ring in roof.flat.rings])
        places = shapely.points(shapely.get_coordinates(lines.segmentize(TOLERANCE_EM)))
        far = float(shapely.STRtree(edges).query_nearest(places, return_distance=True)[1].max())
    return [f"mending moved it by {far * EM_MM} mm"] if far * EM_MM > MENDED_MM else []


def held_to_theory(outline: Outline, roof: Roof) -> list[str]:
    """What is so of every mitred roof: areas, slopes, one sheet, no spikes, as many faces as edges."""
    wrong = []
    surface = as_surface(roof)
    if abs(surface.area / roof.flat.area - 1) > AREA_TO_FLAT:
        wrong.append(f"plan area {surface.area} of {roof.flat.area}")
    if abs(roof.flat.area / outline.area - 1) > AREA_TO_CURVE:
        wrong.append(f"flattened area {roof.flat.area} of {outline.area}")
    if min(surface.areas.values()) <= 0:
        wrong.append("a wall has no area")
    if (slope := _worst_slope(roof)) > SLOPE_DEG:
        wrong.append(f"a wall is {slope}° off")
    if len(roof.faces) != roof.flat.size:
        wrong.append(f"{len(roof.faces)} walls on {roof.flat.size} edges")
    box = outline.bounds
    inside = (roof.nodes >= (box.left - 0.001, box.bottom - 0.001)) & (
        roof.nodes <= (box.right + 0.001, box.top + 0.001)
    )
    if not inside.all() or roof.heights.min() < 0 or roof.heights.max() > max(box.width, box.height) / 2 + 0.001:
        wrong.append("a spike")
    return wrong + _sheet(roof)


def _worst_slope(roof: Roof) -> float:
    """The most any wall's steepness to any of its nodes differs from 45°. [degrees]"""
    worst = 0.0
    for face in roof.faces:
        nodes, heights = roof.nodes[face], roof.heights[face]
        along = (nodes[1] - nodes[0]) / np.hypot(*(nodes[1] - nodes[0]))
        rise = (nodes - nodes[0]) @ np.array([-along[1], along[0]])
        far = rise > 0.2 * rise.max()
        worst = max(worst, float(np.abs(np.degrees(np.arctan2(heights[far], rise[far])) - 45).max()))
    return worst


def _sheet(roof: Roof) -> list[str]:
    """One watertight sheet: each inner side of a wall is a neighbour's, once each way; each outer one is an edge."""
    sides = Counter((int(a), int(b)) for face in roof.faces for a, b in zip(face, np.roll(face, -1), strict=True))
    outer = {
        (first + i, first + (i + 1) % n)
        for first, n in zip(
            np.cumsum([0, *map(len, roof.flat.rings)]).tolist(), map(len, roof.flat.rings), strict=False
        )
        for i in range(n)
    }
    wrong = []
    if max(sides.values()) > 1:
        wrong.append("a side is used twice")
    if {side for side in sides if (side[1], side[0]) not in sides} != outer:
        wrong.append("the sheet's border is not the outline")
    arcs = {(int(a), int(b)) for a, b in roof.arcs}
    if {side for side in sides if side not in outer} != arcs | {(b, a) for a, b in arcs}:
        wrong.append("arcs and walls disagree")
    nodes, links = len(roof.nodes), len(roof.arcs) + roof.flat.size
    # Euler: nodes − links + faces is one for each part less one for each of its holes.
    parts = sum(1 if shapely.LinearRing(ring).is_ccw else -1 for ring in roof.flat.rings)
    if nodes - links + len(roof.faces) != parts:
        wrong.append("not one sheet a part")
    return wrong


def held_to_offsets(roof: Roof) -> list[str]:
    """Greatest depth and volume by shapely's mitred inward offsets; no deeper than the largest inscribed circle."""
    wrong = []
    rings = roof.flat.rings
    shape, surface = shape_of(rings), as_surface(roof)
    deep = surface.height
    if mitred(shape, deep * (1 - DEPTH)).is_empty and not cgal_inward_area(rings, deep * (1 - DEPTH)) > 0:
        wrong.append(f"nothing is left of it well before {deep}")
    if not mitred(shape, deep * (1 + DEPTH)).is_empty and cgal_inward_area(rings, deep * (1 + DEPTH)) > 0:
        wrong.append(f"something is left of it well after {deep}")
    volume = volume_by_offsets(lambda t: mitred(shape, t).area, deep)
    if not math.isclose(surface.volume, volume, rel_tol=VOLUME):  # GEOS errs now and then: CGAL's offsets decide
        volume = volume_by_offsets(lambda t: cgal_inward_area(rings, t), deep)
    if not math.isclose(surface.volume, volume, rel_tol=VOLUME):
        wrong.append(f"volume {surface.volume}, by offsets {volume}")
    widest = max(shapely.maximum_inscribed_circle(part, 1e-5).length for part in shape.geoms)
    if deep > widest + 2e-5:
        wrong.append(f"deeper, {deep}, than the largest circle within, {widest}")
    return wrong


def held_to_cgal(roof: Roof) -> list[str]:
    """Areas of all walls, greatest height, volume and places of all nodes by CGAL's exact skeleton."""
    wrong = []
    ours, theirs = as_surface(roof), by_cgal(roof.flat.rings)
    if abs(ours.height - theirs.height) > CGAL_HEIGHT:
        wrong.append(f"height {ours.height}, CGAL's {theirs.height}")
    if not math.isclose(ours.volume, theirs.volume, rel_tol=CGAL_VOLUME):
        wrong.append(f"volume {ours.volume}, CGAL's {theirs.volume}")
    off = max(abs(area - theirs.areas[edge]) for edge, area in ours.areas.items())
    if off > CGAL_AREA:
        wrong.append(f"a wall's area is {off} off CGAL's")
    apart = _farthest(ours.nodes, theirs.nodes)
    if apart > CGAL_HEIGHT:
        wrong.append(f"a node is {apart} from CGAL's")
    return wrong


def _farthest(a: np.ndarray, b: np.ndarray) -> float:
    """The farthest that any point of a is from b, or of b from a."""
    square = ((a[:, None, :] - b[None, :, :]) ** 2).sum(axis=2)
    return math.sqrt(max(square.min(axis=1).max(), square.min(axis=0).max()))
