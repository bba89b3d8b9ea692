"""A groove's walls, edge by edge of the outline: where each begins and ends, which stroke it belongs to, how it bends.

Every edge of the outline carries one face of the wall. Faces in a row that belong together make a stretch: it ends at a
corner of the outline, and where one stroke's wall goes over into another's or into a serif. Every face is in exactly
one stretch.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final, Literal

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.bench.paths import along, between, nearest
from stopcut.bench.plan import Stroke
from stopcut.groove.figures import face_areas
from stopcut.groove.surface import Groove

__all__ = ["Label", "Stretch", "StrokePart", "Walls", "stretches", "walls_of"]

StrokePart = Literal["wall", "serif", "end"]
CORNER_DEG: Final = 15.0
"""A break of the outline's tangent of so much is a corner where one cut ends and the next begins. [degrees] Our
choice."""
KINK_DEG: Final = 40.0
"""And so is a vertex where the flattened outline turns this much. [degrees] Our choice: tips too tight for a curve."""
ACROSS_MM: Final = 10.0
BROKEN_MM: Final = 0.07
"""An edge of the first length laid across a break stands off it by a quarter of the length times the break; more than
the second is a corner too. [mm] Our choice: half of an edge's tolerance."""
JOIN_DEG: Final = 0.5
ALIKE: Final = 3.0
"""Curves that join with a lesser break than the first are two curves; with a greater one they are one, drawn as many
pieces, if no edge is longer than its neighbour by more than the second. [degrees, times] Our choice."""
SHORT_MM: Final = 1.0
"""A stretch between smooth ends that is shorter than this goes with its neighbour. [mm] Our choice: no edge is so
narrow."""


@dataclass(frozen=True, slots=True)
class Label:
    """Which stroke's wall a face is (0 for none), and which part of it: along the stroke, of a serif, or its end."""

    stroke: int
    region: StrokePart


@dataclass(frozen=True, eq=False)
class Walls:
    """All faces of a groove's walls, ring after ring as roof.faces.

    start (n, 2) and direction (n, 2) are each edge's beginning and heading, length_mm (n,) its length; bend (n,) its
    curvature, positive where the wall goes round the groove (a concave wall) [1/mm]; turn (n,) the turn of the outline
    at its start [degrees] and corner (n,) whether that is a corner. following and before (n,) are its neighbours in the
    ring. area_mm2 (n,) is the wall's as it lies; labels (n,) whose it is.
    """

    groove: Groove
    start: Array
    direction: Array
    length_mm: Array
    bend: Array
    turn: Array
    corner: Flags
    following: Indices
    before: Indices
    area_mm2: Array
    labels: tuple[Label, ...]

    @property
    def normal(self) -> Array:
        """The horizontal normal of each wall, into the groove, (n, 2)."""
        return np.column_stack([-self.direction[:, 1], self.direction[:, 0]])

    @cached_property
    def profiles(self) -> list[list[tuple[float, float]]]:
        """For each face its inner corners from the edge's start on: how far along the edge, and how deep. [mm]

        These are the roof's nodes, or the places where the wall meets the flat bottom.
        """
        nodes, loops = self.groove.nodes_mm, self.groove.roof.faces
        steep = self.groove.placed.scale * math.tan(math.radians(self.groove.wall_deg))
        depths = self.groove.roof.heights * steep
        owner = np.repeat(np.arange(len(loops)), [len(loop) for loop in loops])
        flat = np.concatenate(loops) if loops else np.empty(0, dtype=np.int64)
        run = np.einsum("ij,ij->i", nodes[flat] - self.start[owner], self.direction[owner]).tolist()
        deep = depths[flat].tolist()
        out = []
        first = 0
        for loop in loops:
            last = first + len(loop)
            inner = list(zip(run[first + 2 : last][::-1], deep[first + 2 : last][::-1], strict=True))
            if self.groove.flat_bottom_mm is not None:
                inner = _cut_off(inner, run[first + 1], self.groove.flat_bottom_mm)
            out.append(inner)
            first = last
        return out

    def whole(self, faces: Sequence[int]) -> bool:
        """Whether faces in a row go all the way round a ring without a corner."""
        return bool(self.following[faces[-1]] == faces[0] and not self.corner[faces[0]])

    def path(self, faces: Sequence[int]) -> Array:
        """The line that a cut of these faces in a row follows, (k, 3): on the outline, each point with its depth.

        A point stands for each place where the wall's lower edge bends. Where the outline turns only a little, one
        point on the vertex stands for both its faces; at an inner corner, and where a cut ends in a bend about the
        wood, the line runs on over the open groove.
        """
        out: list[tuple[float, float, float]] = []
        whole = self.whole(faces)
        for face in faces:
            out += self._on_face(face, first=face == faces[0] and not whole, last=face == faces[-1] and not whole)
        if whole:
            out.append(out[0])
        return np.array(out)

    def _on_face(self, face: int, *, first: bool, last: bool) -> list[tuple[float, float, float]]:
        """A face's points but for the vertex at its end, unless it is the last."""
        profile, length = self.profiles[face], float(self.length_mm[face])
        after = int(self.following[face])
        marks: list[tuple[float, float]] = []
        sharp_start = bool(self.corner[face]) or (first and self.turn[face] < 0)
        sharp_end = bool(self.corner[after]) or (last and self.turn[after] < 0)
        inner = profile
        if not sharp_start:
            marks.append((0.0, profile[0][1]))
            inner = [mark for mark in inner[1:] if mark[0] > 0]
        elif self.turn[face] > 0:
            marks.append((0.0, 0.0))
        if not sharp_end:
            inner = [mark for mark in (inner[:-1] if inner and inner[-1] is profile[-1] else inner) if mark[0] < length]
        marks += inner
        if sharp_end and self.turn[after] > 0:
            marks.append((length, 0.0))
        elif not sharp_end and last:
            marks.append((length, profile[-1][1]))
        (x, y), (dx, dy) = self.start[face].tolist(), self.direction[face].tolist()
        return [(x + s * dx, y + s * dy, depth) for s, depth in marks]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Faces in a row that belong together. smooth_start and smooth_end say whether the outline goes on without a
    corner there."""

    faces: tuple[int, ...]
    label: Label
    smooth_start: bool
    smooth_end: bool


def walls_of(groove: Groove, strokes: Sequence[Stroke]) -> Walls:
    """Every face of the walls, told apart. The groove must have faces."""
    roof = groove.roof
    sizes = [len(ring) for ring in roof.flat.rings]
    following, before = _round(sizes)
    count = len(following)
    start = groove.nodes_mm[:count]
    step = groove.nodes_mm[following] - start
    length = np.hypot(step[:, 0], step[:, 1])
    direction = step / length[:, None]
    heading = np.degrees(np.arctan2(direction[:, 1], direction[:, 0]))
    turn = (heading - heading[before] + 180.0) % 360.0 - 180.0
    breaks = np.concatenate(roof.flat.breaks)
    # Between two long edges even a slight break is where one setting of an edge ends and the next begins.
    across = np.radians(np.abs(breaks)) * np.minimum(np.minimum(length, length[before]), ACROSS_MM) / 4
    corner = (np.abs(breaks) >= CORNER_DEG) | (np.abs(turn) >= KINK_DEG) | (across > BROKEN_MM)
    return Walls(
        groove=groove,
        start=start,
        direction=direction,
        length_mm=length,
        bend=_bends(groove, turn, length, corner, breaks, sizes),
        turn=turn,
        corner=corner,
        following=following,
        before=before,
        area_mm2=_areas(groove, start, direction),
        labels=_labels(groove, strokes),
    )


def _round(sizes: list[int]) -> tuple[Indices, Indices]:
    """The next and the previous edge of each edge in its ring."""
    following, first = [], 0
    for size in sizes:
        following.append(first + np.roll(np.arange(size), -1))
        first += size
    after = np.concatenate(following)
    before = np.empty_like(after)
    before[after] = np.arange(len(after))
    return after, before


def _bends(groove: Groove, turn: Array, length: Array, corner: Flags, breaks: Array, sizes: list[int]) -> Array:
    """The curvature of each edge: of the curve it came from, the turns at both its ends evened out."""
    out = np.zeros(len(turn))
    sources = np.concatenate(groove.roof.flat.sources)
    first = 0
    for size in sizes:
        own = np.arange(first, first + size)
        before = np.roll(own, 1)
        alike = np.maximum(length[own], length[before]) <= ALIKE * np.minimum(length[own], length[before])
        joined = (sources[own] == sources[before]) | ((np.abs(breaks[own]) >= JOIN_DEG) & alike)
        joined &= ~corner[own]
        bend = np.zeros(size)
        # At a vertex inside a curve the turn is spread over half of each of its edges.
        reach = (length[own] + length[before]) / 2
        at_vertex = np.where(joined, np.radians(turn[own]) / reach, 0.0)
        at_end, end_joined = np.roll(at_vertex, -1), np.roll(joined, -1)
        known = joined.astype(float) + end_joined
        bend = np.where(known > 0, (at_vertex + at_end) / np.maximum(known, 1.0), 0.0)
        out[own] = bend
        first += size
    return out


def _areas(groove: Groove, start: Array, direction: Array) -> Array:
    """The area of each face as it lies, the flat bottom left out. [mm²]"""
    wall = math.radians(groove.wall_deg)
    scale = groove.placed.scale
    out: Array = face_areas(groove.roof) * scale**2
    if groove.flat_bottom_mm is not None:
        top = groove.flat_bottom_mm / math.tan(wall)
        for face, loop in enumerate(groove.roof.faces):
            up = groove.roof.heights[loop] * scale
            if up.max() > top:
                run, up = _below((groove.nodes_mm[loop] - start[face]) @ direction[face], up, top)
                out[face] = abs(float(np.dot(run, np.roll(up, -1)) - np.dot(up, np.roll(run, -1)))) / 2
    areas: Array = out / math.cos(wall)
    return areas


def _cut_off(inner: list[tuple[float, float]], length: float, top: float) -> list[tuple[float, float]]:
    """A face's inner corners once all that is deeper than top is flat bottom."""
    if all(deep <= top for _, deep in inner):
        return inner
    out: list[tuple[float, float]] = []
    for (a, a_deep), (b, b_deep) in pairwise([(0.0, 0.0), *inner, (length, 0.0)]):
        if (a_deep > top) != (b_deep > top):
            out.append((a + (top - a_deep) / (b_deep - a_deep) * (b - a), top))
        if b_deep <= top:
            out.append((b, b_deep))
    return out[:-1]


def _below(run: Array, up: Array, top: float) -> tuple[Array, Array]:
    """The part of a polygon below a height."""
    out: list[tuple[float, float]] = []
    for n in range(len(run)):
        a, b = (float(run[n - 1]), float(up[n - 1])), (float(run[n]), float(up[n]))
        if (a[1] <= top) != (b[1] <= top):
            part = (top - a[1]) / (b[1] - a[1])
            out.append((a[0] + part * (b[0] - a[0]), top))
        if b[1] <= top:
            out.append(b)
    kept = np.array(out)
    return kept[:, 0], kept[:, 1]


def _labels(groove: Groove, strokes: Sequence[Stroke]) -> tuple[Label, ...]:
    """Whose wall each face is, by the lines along its lower edge."""
    main = [stroke for stroke in strokes if stroke.kind != "serif"]
    serifs = [stroke for stroke in strokes if stroke.kind == "serif"]
    place, on_centre = _lower_places(groove)
    if not main:
        return (Label(0, "wall"),) * len(place)
    owner = nearest([stroke.points for stroke in main], place)[0]
    paths, flared = _centre_paths(groove, serifs)
    on_path = nearest(paths, place)[0]
    corners = [line.points for line in groove.lines if line.kind == "corner" and len(line.points) > 1]
    to_serif = nearest([stroke.points for stroke in serifs], place)
    to_corner = nearest(corners, place)[1]
    out = []
    for face in range(len(place)):
        stroke = main[owner[face]].number
        if on_centre[face]:
            serif = flared[on_path[face]]
            out.append(Label(serif, "serif") if serif else Label(stroke, "wall"))
        elif serifs and to_serif[1][face] <= to_corner[face] + NEAR_MM:
            out.append(Label(serifs[to_serif[0][face]].number, "serif"))
        elif to_corner[face] <= NEAR_MM:
            out.append(Label(stroke, "end"))
        else:
            out.append(Label(stroke, "wall"))
    return tuple(out)


NEAR_MM: Final = 0.05
"""What lies so near to a line lies on it. [mm] Our choice."""


def _lower_places(groove: Groove) -> tuple[Array, Flags]:
    """A place on each face's lower edge: the middle of its longest stretch of centre line, or its deepest point."""
    roof, nodes = groove.roof, groove.nodes_mm
    steps = {
        _step(a, b)
        for line in groove.lines
        if line.kind == "centre"
        for a, b in zip(line.points[:-1].tolist(), line.points[1:].tolist(), strict=True)
    }
    ends = nodes[roof.arcs].tolist()
    centre = [_step(a, b) in steps for a, b in ends]
    longest = np.zeros(len(roof.faces))
    place = np.array([nodes[loop[int(groove.depths_mm[loop].argmax())]] for loop in roof.faces])
    for arc in np.flatnonzero(centre).tolist():
        (ax, ay), (bx, by) = ends[arc]
        far = math.hypot(bx - ax, by - ay)
        for face in roof.arc_faces[arc].tolist():
            if far > longest[face]:
                longest[face] = far
                place[face] = (ax + bx) / 2, (ay + by) / 2
    return place, longest > 0


def _step(a: Sequence[float], b: Sequence[float]) -> tuple[tuple[int, int], tuple[int, int]]:
    """A step of a line either way round, to 1 μm."""
    one, other = ((round(x * 1000), round(y * 1000)) for x, y in (a, b))
    return (one, other) if one <= other else (other, one)


def _centre_paths(groove: Groove, serifs: Sequence[Stroke]) -> tuple[list[Array], list[int]]:
    """The centre lines in pieces, and for each piece the number of the serif that it flares into (0 for none)."""
    paths: list[Array] = []
    flared: list[int] = []
    for line in groove.lines:
        if line.kind != "centre" or len(line.points) < 2:
            continue
        length = float(along(line.points)[-1])
        cuts = [0.0, length]
        if line.parallel:
            cuts = sorted({0.0, line.parallel[0][0], line.parallel[-1][1], length})
        for start, end in pairwise(cuts):
            if end - start < 1e-9:
                continue
            piece = between(line.points, start, end)
            inside = any(a <= (start + end) / 2 <= b for a, b in line.parallel)
            tips = [piece[0]] * (start == 0.0) + [piece[-1]] * (end == length)
            paths.append(piece)
            flared.append(0 if inside or not line.parallel else _serif_at(tips, serifs))
    return paths, flared


def _serif_at(tips: list[Array], serifs: Sequence[Stroke]) -> int:
    """The serif whose bottom is at one of these ends of a centre line."""
    for serif in serifs:
        for tip in tips:
            if np.hypot(*(serif.points - tip).T).min() <= NEAR_MM:
                return serif.number
    return 0


def stretches(walls: Walls) -> list[Stretch]:
    """All faces in stretches, ring after ring."""
    out: list[Stretch] = []
    seen: set[int] = set()
    for face in range(len(walls.following)):
        if face in seen:
            continue
        ring = _ring_from(walls, face)
        seen.update(ring)
        out += _parted(walls, ring)
    return out


def _ring_from(walls: Walls, face: int) -> list[int]:
    ring = [face]
    while (after := int(walls.following[ring[-1]])) != face:
        ring.append(after)
    return ring


def _parted(walls: Walls, ring: list[int]) -> list[Stretch]:
    """A ring's stretches, short smooth ones taken in by their neighbours."""
    labels = _without_short(walls, ring)
    starts = [n for n in range(len(ring)) if walls.corner[ring[n]] or labels[ring[n]] != labels[ring[n - 1]]]
    if not starts:
        return [Stretch(tuple(ring), labels[ring[0]], True, True)]
    out = []
    for n, start in enumerate(starts):
        end = starts[(n + 1) % len(starts)]
        faces = tuple(ring[start:end] if end > start else ring[start:] + ring[:end])
        smooth = not walls.corner[faces[0]], not walls.corner[walls.following[faces[-1]]]
        out.append(Stretch(faces, labels[faces[0]], *smooth))
    return out


def _without_short(walls: Walls, ring: list[int]) -> dict[int, Label]:
    """Labels by face, those of short runs between smooth ends replaced by the run's before or after them."""
    labels = {face: walls.labels[face] for face in ring}
    breaks = [n for n in range(len(ring)) if walls.corner[ring[n]] or labels[ring[n]] != labels[ring[n - 1]]]
    for n, start in enumerate(breaks):
        end = breaks[(n + 1) % len(breaks)]
        faces = ring[start:end] if end > start else ring[start:] + ring[:end]
        if float(walls.length_mm[faces].sum()) >= SHORT_MM:
            continue
        after = int(walls.following[faces[-1]])
        if not walls.corner[faces[0]]:
            labels.update(dict.fromkeys(faces, labels[int(walls.before[faces[0]])]))
        elif not walls.corner[after]:
            labels.update(dict.fromkeys(faces, labels[after]))
    return labels
