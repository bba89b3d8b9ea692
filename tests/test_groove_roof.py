"""The roof of shapes whose roofs are known by formula."""

from __future__ import annotations

import numpy as np
import pytest

from stopcut.groove.roof import roof
from stopcut.groove.surface import Roof
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Outline, Point, polygon

SQUARE = [(0, 0), (1, 0), (1, 1), (0, 1)]


def rectangle(x: float, y: float, width: float, height: float) -> list[Point]:
    return [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]


def roof_over(*rings: list[Point]) -> Roof:
    return roof(flatten(polygon(*rings), 0.001))


def volume(surface: Roof) -> float:
    """Under all faces: a face's plan moment about its edge's line."""
    total = 0.0
    for face in surface.faces:
        x, y = surface.nodes[face].T
        h = surface.heights[face]
        for i in range(1, len(face) - 1):
            double = (x[i] - x[0]) * (y[i + 1] - y[0]) - (y[i] - y[0]) * (x[i + 1] - x[0])
            total += double * (h[0] + h[i] + h[i + 1]) / 6
    return total


def test_a_rectangles_roof_is_a_hip_roof() -> None:
    surface = roof_over(rectangle(0, 0, 0.9, 0.2))
    assert surface.heights.max() == pytest.approx(0.1, abs=1e-7)
    # A ridge of length b − a over the middle, and two half pyramids: V = a²(3b − a)/12.
    assert volume(surface) == pytest.approx(0.2**2 * (3 * 0.9 - 0.2) / 12, rel=1e-6)


def test_a_squares_roof_is_a_pyramid() -> None:
    surface = roof_over(SQUARE)
    assert len(surface.nodes) == 5
    assert volume(surface) == pytest.approx(1 / 6, rel=1e-6)


def test_an_empty_outline_has_an_empty_roof() -> None:
    surface = roof(flatten(Outline(()), 0.001))
    assert (len(surface.nodes), len(surface.faces), surface.arcs.shape) == (0, 0, (0, 2))
    assert isinstance(surface.heights, np.ndarray)
