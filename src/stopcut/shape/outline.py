"""Outlines: closed contours of straight, quadratic and cubic pieces, as immutable values.

A clean outline (which is what lettering hands on) has no overlaps: outer contours run anticlockwise, holes clockwise,
and no two pieces cross.
"""

from __future__ import annotations

import hashlib
import math
import struct
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from stopcut.arrays import Array

__all__ = ["Bounds", "Contour", "Outline", "Point", "Segment", "polygon"]

Point = tuple[float, float]
Segment = tuple[Point, ...]
"""Two points: a straight piece; three: a quadratic Bézier; four: a cubic. First and last lie on the outline."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """An upright box."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Right less left."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Top less bottom."""
        return self.top - self.bottom

    @property
    def centre(self) -> Point:
        """The box's middle."""
        return ((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    def union(self, other: Bounds) -> Bounds:
        """The smallest box around both."""
        return Bounds(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def grown(self, by: float) -> Bounds:
        """The box with every side moved out by that much (in, if it is negative)."""
        return Bounds(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def meets(self, other: Bounds) -> bool:
        """Whether the two have area in common; a shared side is not enough."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )

    def holds(self, other: Bounds) -> bool:
        """Whether the other lies wholly within, sides included."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.bottom <= other.bottom
            and other.top <= self.top
        )


@dataclass(frozen=True, slots=True)
class Contour:
    """One closed run of segments; each begins where the one before ends, the first where the last ends."""

    segments: tuple[Segment, ...]

    @property
    def area(self) -> float:
        """Signed area under the curves themselves, positive anticlockwise. Exact (Green's theorem)."""
        return sum(_swept(segment) for segment in self.segments)

    @property
    def bounds(self) -> Bounds:
        """The box around the curves themselves (not their control points)."""
        xs, ys = zip(*(p for s in self.segments for p in _extremes(s)), strict=True)
        return Bounds(min(xs), min(ys), max(xs), max(ys))

    def mapped(self, matrix: tuple[float, float, float, float, float, float]) -> Contour:
        """Every point (x, y) taken to (a·x + c·y + e, b·x + d·y + f) for matrix (a, b, c, d, e, f)."""
        a, b, c, d, e, f = matrix
        return Contour(
            tuple(tuple((a * x + c * y + e, b * x + d * y + f) for x, y in segment) for segment in self.segments)
        )


@dataclass(frozen=True)
class Outline:
    """A shape to be cut: its contours, outer ones anticlockwise and holes clockwise. May be empty (a space)."""

    contours: tuple[Contour, ...]

    def __bool__(self) -> bool:
        return bool(self.contours)

    @property
    def segments(self) -> Iterator[Segment]:
        """All segments in order; a segment's place in this order is its source number when flattened."""
        return (segment for contour in self.contours for segment in contour.segments)

    @cached_property
    def area(self) -> float:
        """Area of the shape, holes taken off, under the curves themselves."""
        return sum(contour.area for contour in self.contours)

    @cached_property
    def bounds(self) -> Bounds:
        """The box around the curves. Raises ValueError for an empty outline."""
        if not self.contours:
            raise ValueError("an empty outline has no bounds")
        boxes = [contour.bounds for contour in self.contours]
        box = boxes[0]
        for other in boxes[1:]:
            box = box.union(other)
        return box

    @cached_property
    def digest(self) -> str:
        """A key for the shape: equal for equal coordinates, to the last bit."""
        hasher = hashlib.blake2b(digest_size=16)
        for contour in self.contours:
            hasher.update(b"contour")
            for segment in contour.segments:
                hasher.update(struct.pack(f"<B{2 * len(segment)}d", len(segment), *(v for p in segment for v in p)))
        return hasher.hexdigest()

    def mapped(self, matrix: tuple[float, float, float, float, float, float]) -> Outline:
        """Every point (x, y) taken to (a·x + c·y + e, b·x + d·y + f) for matrix (a, b, c, d, e, f)."""
        return Outline(tuple(contour.mapped(matrix) for contour in self.contours))

    def scaled(self, factor: float) -> Outline:
        """Enlarged about the origin."""
        return self.mapped((factor, 0, 0, factor, 0, 0))

    def moved(self, dx: float, dy: float) -> Outline:
        """Shifted."""
        return self.mapped((1, 0, 0, 1, dx, dy))

    def turned(self, angle_deg: float) -> Outline:
        """Turned anticlockwise about the origin. [degrees]"""
        cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
        return self.mapped((cos, sin, -sin, cos, 0, 0))


def polygon(*rings: Iterable[Point]) -> Outline:
    """An outline of straight pieces; give outer rings anticlockwise and holes clockwise, not closed."""
    contours = []
    for ring in rings:
        points = [(float(x), float(y)) for x, y in ring]
        contours.append(Contour(tuple(zip(points, points[1:] + points[:1], strict=True))))
    return Outline(tuple(contours))


def _swept(segment: Segment) -> float:
    """½∮(x dy − y dx) along one segment, by its Bernstein coefficients."""
    degree = len(segment) - 1
    total = 0.0
    for i, (xi, yi) in enumerate(segment):
        for j, (xj, yj) in enumerate(segment):
            if i < j:
                total += _weight(degree, i, j) * (xi * yj - xj * yi)
    return total / 2


def _weight(n: int, i: int, j: int) -> float:
    """∫(Bᵢ Bⱼ′ − Bⱼ Bᵢ′) over 0…1 for Bernstein polynomials of degree n."""
    return _half(n, i, j) - _half(n, j, i)


def _half(n: int, i: int, j: int) -> float:
    """∫ Bᵢⁿ (Bⱼⁿ)′ over 0…1, from (Bⱼⁿ)′ = n (Bⱼ₋₁ⁿ⁻¹ − Bⱼⁿ⁻¹)."""
    total = 0.0
    for k, sign in ((j - 1, 1), (j, -1)):
        if 0 <= k <= n - 1:
            total += sign * math.comb(n, i) * math.comb(n - 1, k) / math.comb(2 * n - 1, i + k) / (2 * n)
    return n * total


def _extremes(segment: Segment) -> list[Point]:
    """The ends of a segment and its points with an upright or level tangent."""
    points: list[Point] = [segment[0], segment[-1]]
    control: Array = np.asarray(segment, dtype=float)
    if len(segment) == 2:
        return points
    for axis in (0, 1):
        p = control[:, axis]
        if len(segment) == 3:
            roots = [(p[0] - p[1]) / d] if (d := p[0] - 2 * p[1] + p[2]) else []
        else:
            a, b, c = -p[0] + 3 * p[1] - 3 * p[2] + p[3], 2 * (p[0] - 2 * p[1] + p[2]), p[1] - p[0]
            roots = [r.real for r in np.roots([a, b, c]) if abs(r.imag) < 1e-12]
        points += [_at(segment, float(t)) for t in roots if 0 < t < 1]
    return points


def _at(segment: Segment, t: float) -> Point:
    """The point at parameter t (de Casteljau)."""
    points = list(segment)
    while len(points) > 1:
        points = [(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for (x0, y0), (x1, y1) in pairwise(points)]
    return points[0]
