"""Shapes whose mitred roofs are known by formula, and random ones."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from hypothesis import strategies as st
from numpy.typing import NDArray

from stopcut.shape.flat import Flat

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Known:
    """A shape with its roof's greatest height, plan area and volume."""

    rings: tuple[list[tuple[float, float]], ...]
    height: float
    area: float
    volume: float


def turned(points: list[tuple[float, float]], angle: float) -> list[tuple[float, float]]:
    c, s = math.cos(angle), math.sin(angle)
    return [(c * x - s * y, s * x + c * y) for x, y in points]


def regular(n: int, radius: float) -> list[tuple[float, float]]:
    return [(radius * math.cos(2 * math.pi * i / n), radius * math.sin(2 * math.pi * i / n)) for i in range(n)]


def rectangle(a: float, b: float) -> Known:
    """a ≥ b: a ridge of a − b at height b/2 and a half pyramid at each end, V = b²(3a − b)/12."""
    return Known(([(0, 0), (a, 0), (a, b), (0, b)],), b / 2, a * b, b * b * (3 * a - b) / 12)


def angle_iron(a: float, b: float, w: float) -> Known:
    """An L of arms a and b, both w wide: the offset by t is an L again, of area u(a + b − 2w + u), u = w − 2t."""
    rings = ([(0, 0), (a, 0), (a, w), (w, w), (w, b), (0, b)],)
    return Known(rings, w / 2, w * (a + b - w), ((a + b - 2 * w) * w**2 / 2 + w**3 / 3) / 2)


def cross(length: float, w: float) -> Known:
    """Two bars w wide: the offset is a cross again, of area u(2(length − w) + u), u = w − 2t.

    No higher than w/2, though a circle of radius w/√2 would fit in the middle: 0.707 of it.
    """
    a, b = w / 2, length / 2
    quarter = [(a, a), (a, b), (-a, b)]
    ring = [p for k in range(4) for p in turned(quarter[:2] + quarter[2:], k * math.pi / 2)]
    return Known((ring,), w / 2, w * (2 * length - w), ((length - w) * w**2 + w**3 / 3) / 2)


def frame(a: float, b: float) -> Known:
    """A square of side a with a square hole of side b: area (a + b)(a − b − 4t) left at t."""
    hole = [(x + (a - b) / 2, y + (a - b) / 2) for x, y in ((0, 0), (0, b), (b, b), (b, 0))]
    return Known(([(0, 0), (a, 0), (a, a), (0, a)], hole), (a - b) / 4, a * a - b * b, (a + b) * (a - b) ** 2 / 8)


def polygon_ring(n: int, apothem: float, hole: float) -> Known:
    """A regular n-gon with an n-gon hole, by their apothems: n·tan(π/n)·(R + r)(R − r − 2t) left at t."""
    k = n * math.tan(math.pi / n)
    outer = regular(n, apothem / math.cos(math.pi / n))
    inner = regular(n, hole / math.cos(math.pi / n))[::-1]
    w = apothem - hole
    return Known((outer, inner), w / 2, k * (apothem**2 - hole**2), k * (apothem + hole) * w**2 / 4)


def pointed(n: int) -> Known:
    """A regular n-gon of radius 1: a pyramid over it."""
    apothem = math.cos(math.pi / n)
    area = n / 2 * math.sin(2 * math.pi / n)
    return Known((regular(n, 1.0),), apothem, area, area * apothem / 3)


def star(n: int, inner: float) -> Known:
    """A star of n tips at radius 1: all its edges' lines are as far from the middle, so it is a pyramid too."""
    ring = [
        (r * math.cos(math.pi * i / n), r * math.sin(math.pi * i / n))
        for i in range(2 * n)
        for r in ((1, inner)[i % 2],)
    ]
    (ax, ay), (bx, by) = ring[0], ring[1]
    far = abs(ax * by - bx * ay) / math.hypot(bx - ax, by - ay)
    area = n * inner * math.sin(math.pi / n)
    return Known((ring,), far, area, area * far / 3)


def triangle(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> Known:
    """Height the inscribed circle's radius, 2·area/perimeter."""
    area = ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2
    radius = 2 * area / (math.dist(a, b) + math.dist(b, c) + math.dist(c, a))
    return Known(([a, b, c],), radius, area, area * radius / 3)


KNOWN: dict[str, Known] = {
    "rectangle": rectangle(0.9, 0.2),
    "long rectangle": rectangle(1.9, 0.004),
    "square": rectangle(1, 1),
    "L": angle_iron(0.9, 0.7, 0.15),
    "L of a square": angle_iron(1, 1, 0.5),
    "cross": cross(1.5, 0.2),
    "frame": frame(1, 0.6),
    "twelve-sided ring": polygon_ring(12, 0.9, 0.7),
    "ring of a hundred": polygon_ring(100, 1.0, 0.8),
    "triangle": triangle((0, 0), (1.2, 0), (0.3, 0.7)),
    "needle": triangle((0, 0), (1.5, 0), (1.5, 0.004)),
    "five-pointed star": star(5, 0.381966),
    "star of thirteen": star(13, 0.8),
    **{f"{n}-gon": pointed(n) for n in (3, 5, 6, 17, 64)},
}


def flat_of(rings: tuple[list[tuple[float, float]], ...] | list[Array]) -> Flat:
    """The rings as they are, as a flattened outline of straight edges."""
    arrays = tuple(np.array(ring, dtype=float) for ring in rings)
    return Flat(
        arrays, tuple(np.arange(len(ring)) for ring in arrays), tuple(np.full(len(ring), 90.0) for ring in arrays)
    )


@st.composite
def star_shaped(draw: st.DrawFn, most: int = 24) -> list[tuple[float, float]]:
    """A random simple polygon that one point sees all of: many reflex corners, all sorts of angles."""
    n = draw(st.integers(3, most))
    steps = draw(st.lists(st.integers(1, 20), min_size=n, max_size=n).filter(lambda s: 2 * max(s) < sum(s)))
    radii = draw(st.lists(st.integers(10, 60), min_size=n, max_size=n))
    angles = np.cumsum(steps) / sum(steps) * 2 * math.pi
    return [(r / 60 * math.cos(a), r / 60 * math.sin(a)) for r, a in zip(radii, angles.tolist(), strict=True)]


@st.composite
def blocky(draw: st.DrawFn) -> list[Array]:
    """Random bars on a coarse grid, united: right angles, holes, several parts, ties everywhere."""
    bars = draw(
        st.lists(
            st.tuples(st.integers(0, 8), st.integers(0, 8), st.integers(1, 6), st.integers(1, 6)),
            min_size=1,
            max_size=8,
        )
    )
    whole = shapely.union_all([shapely.box(x, y, x + w, y + h) for x, y, w, h in bars]).buffer(0)
    whole = whole.buffer(-0.25, join_style="mitre").buffer(0.125, join_style="mitre")  # nothing touches at a point
    parts = [shapely.geometry.polygon.orient(part) for part in shapely.get_parts(whole)]
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return [shapely.get_coordinates(ring)[:-1] / 16 for ring in rings]


def shaken(rings: list[Array], size: float, seed: int) -> list[Array]:
    """The same shape with noise on every vertex: ties become near ties."""
    chance = np.random.default_rng(seed)
    return [ring + chance.uniform(-size, size, ring.shape) for ring in rings]


def tracery(across: int, around: int = 20) -> list[Array]:
    """A square panel pierced by across × across round holes, none quite in line."""
    chance = np.random.default_rng(1)
    hole = np.array(regular(around, 0.3))[::-1]
    rings = [np.array([(0.0, 0.0), (across, 0.0), (across, across), (0.0, across)]) / across]
    for i in range(across):
        for j in range(across):
            rings.append((hole + chance.uniform(-0.1, 0.1, 2) + (i + 0.5, j + 0.5)) / across)
    return rings
