"""Judges of a roof from outside the project: CGAL's exact straight skeleton, shapely's mitred offsets, and a
segment Voronoi diagram, whose round-nosed roof can only be higher.

CGAL: F. Cacciola, "2D Straight Skeleton and Polygon Offsetting", CGAL User and Reference Manual, by compas_cgal. Only
its graph is taken and the faces are traced here. A tie comes as several nodes: nodes closer than one of WELDS are one,
the first of them with which every node has one height from all its faces (welding a near tie can spoil its order).
shapely: GEOS's buffer with mitred joins.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pyvoronoi
import shapely
from compas_cgal.straight_skeleton_2 import (
    interior_straight_skeleton,
    interior_straight_skeleton_with_holes,
    offset_polygon,
    offset_polygon_with_holes,
)
from numpy.typing import NDArray

from stopcut.groove.surface import Roof

Array = NDArray[np.float64]
Graph = tuple[Array, NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]
WELDS = (1e-8, 1e-10, 1e-12)
SAME_HEIGHT = 1e-6
MITRE_LIMIT = 60.0
VORONOI_SCALE = 2.0**24


@dataclass(frozen=True)
class Surface:
    """A roof as figures: nodes (n, 3) with heights, each edge's face area (by the edge's two ends), and the volume."""

    nodes: Array
    areas: dict[tuple[float, ...], float]
    volume: float

    @property
    def area(self) -> float:
        return sum(self.areas.values())

    @property
    def height(self) -> float:
        return float(self.nodes[:, 2].max())


def as_polygons(rings: Sequence[Array]) -> list[list[Array]]:
    """Outer rings, each followed by its holes (in the smallest outer ring round them)."""
    areas = [shapely.Polygon(ring).area for ring in rings]
    outer = [i for i, ring in enumerate(rings) if shapely.LinearRing(ring).is_ccw]
    groups = {i: [rings[i]] for i in outer}
    for i, ring in enumerate(rings):
        if i not in groups:
            inside = shapely.Polygon(ring).representative_point()
            home = min((j for j in outer if shapely.Polygon(rings[j]).contains(inside)), key=lambda j: areas[j])
            groups[home].append(ring)
    return list(groups.values())


def shape_of(rings: Sequence[Array]) -> shapely.MultiPolygon:
    return shapely.MultiPolygon([shapely.Polygon(outer, holes) for outer, *holes in as_polygons(rings)])


def as_surface(roof: Roof) -> Surface:
    """Our own roof in the same figures."""
    nodes = np.column_stack((roof.nodes, roof.heights))
    return _surface(nodes, [face.tolist() for face in roof.faces])


def by_cgal(rings: Sequence[Array]) -> Surface:
    """CGAL's skeleton of the same rings."""
    parts = [_cgal_part(outer, holes) for outer, *holes in as_polygons(rings)]
    return Surface(
        np.vstack([part.nodes for part in parts]),
        {key: area for part in parts for key, area in part.areas.items()},
        sum(part.volume for part in parts),
    )


class NoVerdict(AssertionError):
    """The judge's own graph does not close up: at ties, once rounding has spoiled them, it may not."""


def cgal_graph(rings: Sequence[Array]) -> list[Graph]:
    """What CGAL says, for each part: points, their names, edges by name, kinds of edges (2: boundary)."""
    graphs = []
    for outer, *holes in as_polygons(rings):
        lifted = [np.column_stack((ring, np.zeros(len(ring)))) for ring in (outer, *holes)]
        if holes:
            graphs.append(interior_straight_skeleton_with_holes(lifted[0], lifted[1:], as_graph=False))
        else:
            graphs.append(interior_straight_skeleton(lifted[0], as_graph=False))
    return graphs


def _cgal_part(outer: Array, holes: Sequence[Array]) -> Surface:
    (graph,) = cgal_graph([outer, *holes])
    for weld in WELDS:
        traced = _traced(graph, (outer, *holes), weld)
        if traced is not None:
            return traced
    raise NoVerdict("CGAL's graph could not be traced")


def _traced(graph: Graph, rings: Sequence[Array], weld: float) -> Surface | None:
    points, names, edges, kinds = graph
    place = dict(zip(np.asarray(names).ravel().tolist(), np.asarray(points)[:, :2], strict=True))
    at, number = _welded(place, weld)
    boundary = set()
    links: dict[int, set[int]] = {}
    for (a, b), kind in zip(np.asarray(edges).tolist(), np.asarray(kinds).ravel().tolist(), strict=True):
        i, j = number[a], number[b]
        if i != j:
            links.setdefault(i, set()).add(j)
            links.setdefault(j, set()).add(i)
            if kind == 2:
                boundary |= {(i, j), (j, i)}
    known = {tuple(p): i for i, p in enumerate(at.tolist())}
    faces = []
    for ring in rings:
        loop = [known[tuple(p)] for p in ring.tolist()]
        for i, j in zip(loop, loop[1:] + loop[:1], strict=True):
            face = _trace(at, links, i, j) if (i, j) in boundary else None
            if face is None:
                return None
            faces.append(face)
    heights = np.full(len(at), np.nan)
    heights[[i for pair in boundary for i in pair]] = 0.0
    for face in faces:
        start, end = at[face[0]], at[face[1]]
        along = (end - start) / np.hypot(*(end - start))
        for node in face[2:]:
            x, y = at[node] - start
            height = along[0] * y - along[1] * x
            if abs(heights[node] - height) > SAME_HEIGHT:
                return None
            heights[node] = height
    return _surface(np.column_stack((at, heights)), faces)


def _welded(place: dict[int, Array], weld: float) -> tuple[Array, dict[int, int]]:
    """Points with those closer than weld made one, and each name's number among them. A boundary point stays itself."""
    names = list(place)
    points = np.array([place[name] for name in names])
    tree = shapely.STRtree(shapely.points(points))
    pairs = tree.query(shapely.points(points), predicate="dwithin", distance=weld)
    lead = np.arange(len(points))
    np.minimum.at(lead, pairs[0], pairs[1])
    while (lead[lead] != lead).any():
        lead = lead[lead]
    kept, number = np.unique(lead, return_inverse=True)
    return points[kept], dict(zip(names, number.tolist(), strict=True))


def _trace(at: Array, links: dict[int, set[int]], i: int, j: int) -> list[int] | None:
    """The face on the left of i → j: at each node turn as far left as can be."""
    face = [i]
    before, here = i, j
    while here != i:
        face.append(here)
        if len(face) > len(at):
            return None
        back = at[before] - at[here]
        turns = []
        for there in links[here] - {before}:
            step = at[there] - at[here]
            angle = math.atan2(back[0] * step[1] - back[1] * step[0], back @ step) % (2 * math.pi)
            turns.append((angle, there))
        if not turns:
            return None
        before, here = here, max(turns)[1]
    return face


def _surface(nodes: Array, faces: Sequence[Sequence[int]]) -> Surface:
    areas, volume = {}, 0.0
    for face in faces:
        loop = nodes[list(face)]
        start = loop[0, :2]
        along = (loop[1, :2] - start) / np.hypot(*(loop[1, :2] - start))
        run = (loop[:, :2] - start) @ along
        rise = (loop[:, :2] - start) @ np.array([-along[1], along[0]])
        cross = run * np.roll(rise, -1) - rise * np.roll(run, -1)
        areas[tuple(loop[:2, :2].ravel().tolist())] = float(cross.sum() / 2)
        # ∫ rise over the face (first moment of a polygon about the axis)
        volume += float(((rise + np.roll(rise, -1)) * cross).sum() / 6)
    return Surface(nodes, areas, volume)


def mitred(shape: shapely.Geometry, t: float) -> shapely.Geometry:
    """The shape moved inward by t with mitred joins, by shapely."""
    return shapely.buffer(shape, -t, join_style="mitre", mitre_limit=MITRE_LIMIT)


def cgal_inward_area(rings: Sequence[Array], t: float) -> float:
    """Area of CGAL's own inward offset by t: the court of appeal where shapely's is wrong."""
    total = 0.0
    for outer, *holes in as_polygons(rings):
        lifted = [np.column_stack((ring, np.zeros(len(ring)))).tolist() for ring in (outer, *holes)]
        if holes:
            for polygon, gaps in offset_polygon_with_holes(lifted[0], lifted[1:], t):
                total += polygon.area - sum(gap.area for gap in gaps)
        else:
            total += sum(polygon.area for polygon in offset_polygon(lifted[0], t))
    return total


def area_above(roof: Roof, t: float) -> float:
    """The plan's area over which our roof is higher than t: what the inward offset by t leaves."""
    total = 0.0
    for face in roof.faces:
        x, y = roof.nodes[face].T
        h = roof.heights[face]
        if h.max() > t:
            above = _clipped(list(zip(x.tolist(), y.tolist(), h.tolist(), strict=True)), t)
            total += sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(above, above[1:] + above[:1], strict=True)) / 2
    return total


def _clipped(loop: list[tuple[float, float, float]], t: float) -> list[tuple[float, float, float]]:
    out = []
    for a, b in zip(loop, loop[1:] + loop[:1], strict=True):
        if a[2] >= t:
            out.append(a)
        if (a[2] - t) * (b[2] - t) < 0:
            s = (t - a[2]) / (b[2] - a[2])
            out.append((a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1]), t))
    return out


def volume_by_offsets(area: Callable[[float], float], height: float, panels: int = 3, points: int = 6) -> float:
    """∫ area(t) dt from 0 to height, area(t) being what an inward offset by t leaves: Gauss's rule on equal panels."""
    x, weight = np.polynomial.legendre.leggauss(points)
    total = 0.0
    width = height / panels
    for panel in range(panels):
        for u, w in zip(x.tolist(), weight.tolist(), strict=True):
            total += w * width / 2 * area(width * (panel + (u + 1) / 2))
    return total


def voronoi(
    rings: Sequence[Array],
) -> tuple[pyvoronoi.Pyvoronoi, list[pyvoronoi.Cell], list[pyvoronoi.Edge], list[pyvoronoi.Vertex]]:
    """The segment Voronoi diagram of the outline (Boost.Polygon by pyvoronoi): diagram, cells, edges, vertices."""
    diagram = pyvoronoi.Pyvoronoi(int(VORONOI_SCALE))
    for ring in rings:
        for a, b in zip(ring.tolist(), np.roll(ring, -1, axis=0).tolist(), strict=True):
            diagram.AddSegment([a, b])
    diagram.Construct()
    return diagram, diagram.GetCells(), diagram.GetEdges(), diagram.GetVertices()


def voronoi_axis(rings: Sequence[Array]) -> tuple[Array, Array]:
    """Points on the segment Voronoi diagram's edges, and their distance from the outline."""
    diagram, cells, edges, vertices = voronoi(rings)
    places, distances = [], []
    for edge in edges:
        if edge.is_primary and edge.start >= 0 and edge.end >= 0:
            vertex, site = vertices[edge.start], cells[edge.cell]
            near = diagram.RetrieveScaledSegment(site) if site.contains_segment else diagram.RetrieveScaledPoint(site)
            places.append((vertex.X, vertex.Y))
            distances.append(_distance((vertex.X, vertex.Y), near))
    return np.array(places), np.array(distances)


def _distance(place: tuple[float, float], near: list[list[float]] | list[float]) -> float:
    x, y = place
    if not isinstance(near[0], (list, tuple)):
        return math.hypot(x - near[0], y - near[1])
    (ax, ay), (bx, by) = near
    dx, dy = bx - ax, by - ay
    t = min(1.0, max(0.0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)))
    return math.hypot(x - ax - t * dx, y - ay - t * dy)


def height_at(roof: Roof, places: Array) -> Array:
    """The roof's height at places (n, 2), nan outside."""
    walls = shapely.polygons([shapely.linearrings(roof.nodes[face]) for face in roof.faces])
    at, wall = shapely.STRtree(walls).query(shapely.points(places), predicate="intersects")
    start = np.array([roof.nodes[face[0]] for face in roof.faces])[wall]
    along = np.array([roof.nodes[face[1]] for face in roof.faces])[wall] - start
    off = places[at] - start
    heights = np.full(len(places), np.nan)
    heights[at] = (along[:, 0] * off[:, 1] - along[:, 1] * off[:, 0]) / np.hypot(*along.T)
    return heights
