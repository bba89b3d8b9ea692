"""Lines on the board as rows of points: how long, which way they head, and parts of them. [mm, degrees]"""

from __future__ import annotations

import math

import numpy as np

from stopcut.arrays import Array, Indices

__all__ = ["along", "at", "between", "closed", "evenly", "headings", "nearest", "turned_deg"]


def along(points: Array) -> Array:
    """The distance along a line at each of its points (k, 2 or more), from 0, seen from above. [mm]"""
    steps = np.diff(points[:, :2], axis=0)
    out: Array = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    return out


def at(points: Array, distances: Array, where: Array | float) -> Array:
    """The points of a line at these distances along it, (len(where), columns)."""
    wanted = np.atleast_1d(np.asarray(where, dtype=float))
    out: Array = np.column_stack([np.interp(wanted, distances, column) for column in points.T])
    return out


def between(points: Array, start: float, end: float) -> Array:
    """The part of a line from one distance along it to another, its own points in between."""
    distances = along(points)
    inner = points[(distances > start + 1e-9) & (distances < end - 1e-9)]
    out: Array = np.vstack([at(points, distances, start), inner, at(points, distances, end)])
    return out


def evenly(points: Array, step_mm: float) -> tuple[Array, Array]:
    """Points at even steps of about step_mm along a line, both ends in, and their distances along it."""
    distances = along(points)
    where = np.linspace(0.0, distances[-1], max(3, math.ceil(distances[-1] / step_mm) + 1))
    return at(points, distances, where), where


def headings(points: Array) -> Array:
    """The way each step of a line heads, unwrapped, (k - 1,). [degrees]"""
    steps = np.diff(points[:, :2], axis=0)
    out: Array = np.degrees(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))
    return out


def turned_deg(start: float, end: float) -> float:
    """The turn from one heading to another, -180 to 180. [degrees]"""
    return (end - start + 180.0) % 360.0 - 180.0


def closed(points: Array) -> bool:
    """Whether a line comes back to where it began."""
    return len(points) > 3 and bool(np.array_equal(points[0, :2], points[-1, :2]))


def nearest(lines: list[Array], points: Array) -> tuple[Indices, Array]:
    """For each point the number of the nearest line and how far it is; -1 and inf where there are no lines."""
    if not lines:
        return np.full(len(points), -1), np.full(len(points), np.inf)
    start = np.vstack([line[:-1, :2] for line in lines])
    step = np.vstack([np.diff(line[:, :2], axis=0) for line in lines])
    owner = np.repeat(np.arange(len(lines)), [len(line) - 1 for line in lines])
    squared = np.maximum(np.einsum("ij,ij->i", step, step), 1e-18)
    off = points[:, None, :2] - start[None]
    part = np.clip(np.einsum("kij,ij->ki", off, step) / squared, 0.0, 1.0)
    away = off - part[:, :, None] * step[None]
    far = np.hypot(away[:, :, 0], away[:, :, 1])
    best = far.argmin(axis=1)
    return owner[best], far[np.arange(len(points)), best]
