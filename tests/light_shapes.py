"""Grooves of simple shapes for the tests of light: a long V, an L, a ring, letters; and rays against a mesh."""

from __future__ import annotations

import math

import numpy as np
from glyphs import cuts, families, glyph

from stopcut.groove.groove import groove
from stopcut.groove.mesh import mesh
from stopcut.light.raster import Frame, pixels
from stopcut.light.wall_map import walls_of
from stopcut.shape.outline import Contour, Outline, polygon
from stopcut.shape.placed import Placed

CIRCLE = 4 / 3 * (math.sqrt(2) - 1)  # handles of a quarter circle's cubic


def rectangle(width, height, x=0.0, y=0.0):
    return polygon([(x, y), (x + width, y), (x + width, y + height), (x, y + height)])


def ell(arm=30.0, stroke=10.0):
    return polygon([(0, 0), (arm, 0), (arm, stroke), (stroke, stroke), (stroke, arm), (0, arm)])


def round_contour(x, y, radius, turn=1):
    """A circle of four cubics, anticlockwise (turn 1) or clockwise (turn -1)."""
    quarter = [(1, 0), (1, CIRCLE * turn), (CIRCLE, turn), (0, turn)]
    segments = []
    for k in range(4):
        c, s = [(1, 0), (0, turn), (-1, 0), (0, -turn)][k]
        segments.append(tuple((x + radius * (c * px - s * py), y + radius * (s * px + c * py)) for px, py in quarter))
    return Contour(tuple(segments))


def ring(outer=20.0, inner=12.0):
    return Outline((round_contour(0, 0, outer), round_contour(0, 0, inner, -1)))


def letter(char, family="cinzel"):
    """A letter of a packaged face, in em."""
    path, weight = cuts(families()[family])[0]
    return glyph(path, weight, char)


def cut(outline, wall_deg=60.0, flat_bottom_mm=None, x=0.0, y=0.0, turn_deg=0.0, scale=1.0):
    return groove(Placed(outline, scale, x, y, turn_deg), wall_deg, flat_bottom_mm)


def frame_over(grooves, pixel_mm):
    """A frame that just holds the grooves."""
    nodes = np.concatenate([g.nodes_mm for g in grooves])
    left, bottom = nodes.min(axis=0) - pixel_mm
    right, top = nodes.max(axis=0) + pixel_mm
    return Frame(left, top, pixel_mm, math.ceil((right - left) / pixel_mm), math.ceil((top - bottom) / pixel_mm))


def seen(grooves, pixel_mm):
    """The walls of grooves, and the spots that pixels of that size see of them."""
    walls = walls_of(grooves)
    return walls, pixels(walls, frame_over(grooves, pixel_mm)).spots(walls)


def ray_meets(grooves, origins, direction, clear_mm=1e-6):
    """Whether rays from points (n, 3) meet any triangle of the grooves' meshes (Möller and Trumbore, "Fast, minimum
    storage ray/triangle intersection", 1997; from memory)."""
    hit = np.zeros(len(origins), dtype=bool)
    for surface in map(mesh, grooves):
        a, b, c = (surface.vertices[surface.triangles[:, k]] for k in range(3))
        side, other = b - a, c - a
        across = np.cross(direction, other)
        scale = np.einsum("td,td->t", side, across)
        usable = np.abs(scale) > 1e-12
        a, side, other, across, scale = a[usable], side[usable], other[usable], across[usable], scale[usable]
        for number, origin in enumerate(origins):
            out = origin - a
            u = np.einsum("td,td->t", out, across) / scale
            turned = np.cross(out, side)
            v = turned @ direction / scale
            away = np.einsum("td,td->t", other, turned) / scale
            hit[number] |= bool(((u >= 0) & (v >= 0) & (u + v <= 1) & (away > clear_mm)).any())
    return hit
