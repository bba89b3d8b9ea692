"""Cells: a grid over the walls for light that changes slowly, no finer than need be."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.light.raster import Frame, nearest_middle
from stopcut.light.shade import SkyView

__all__ = ["Cells"]


MOST_CELLS = 60_000
"""For how many cells sky and thrown light are found. Our choice: the demo's board at 1800 pixels has a cell a pixel."""


@dataclass(frozen=True, eq=False)
class Cells:
    """Cells over n pixels: of one pixel each if they are few, larger if they are many.

    number counts the cells in use among all of the grid's, -1 for the others; among (n,) is the cell of each pixel;
    middle (cells,) the pixel nearest each one's middle; row and column (n,) the pixels' places on the grid, in cells
    from the middle of the first.
    """

    grid: Frame
    number: Indices
    among: Indices
    middle: Indices
    row: Array
    column: Array

    @classmethod
    def of(cls, frame: Frame, pixel: Indices, most: int = MOST_CELLS) -> Cells:
        """Cells over pixels (n,) of a frame, numbered row after row; most or fewer if the pixels lie close together."""
        size = max(1, math.ceil(math.sqrt(len(pixel) / most)))
        grid = frame.coarser(size)
        row, column = np.divmod(pixel, frame.columns)
        used, among = np.unique((row // size) * grid.columns + column // size, return_inverse=True)
        number = np.full(grid.rows * grid.columns, -1)
        number[used] = np.arange(len(used))
        middle = nearest_middle(row % size, column % size, size, among)
        return cls(grid, number, among, middle, (row + 0.5) / size - 0.5, (column + 0.5) / size - 0.5)

    def mean(self, light: Array) -> Array:
        """The mean of the pixels' light in each cell."""
        return np.bincount(self.among, weights=light) / np.bincount(self.among)

    def nearest(self, view: SkyView) -> Indices:
        """Which cell each stretch of wall lies in; the viewer's own where it falls between samples."""
        found = self.number[self.grid.pixel_at(view.x_mm, view.y_mm)]
        return np.where(found < 0, view.spot, found)

    def spread(self, light: Array) -> Array:
        """Light of cells (k, cells) at the pixels (k, n), between the middles of the cells around (bilinear)."""
        if len(self.middle) == len(self.among):
            return light[:, self.among]
        total, weights = np.zeros((len(light), len(self.among))), np.zeros(len(self.among))
        top, left = np.floor(self.row).astype(np.int64), np.floor(self.column).astype(np.int64)
        for row in (top, top + 1):
            for column in (left, left + 1):
                on = (row >= 0) & (row < self.grid.rows) & (column >= 0) & (column < self.grid.columns)
                cell = np.where(on, self.number[np.where(on, row * self.grid.columns + column, 0)], -1)
                weight = np.where(cell < 0, 0.0, (1 - np.abs(self.row - row)) * (1 - np.abs(self.column - column)))
                total += weight * light[:, cell]
                weights += weight
        return total / weights
