"""Rasters of the grooves: which wall each pixel sees, exactly at the pixel's centre.

Every edge of the planar map is crossed with the rows of pixel centres it spans (half-open, so that a vertex counts
once); at a crossing the face to the right takes over from the face to the left. Sorted along each row, a running sum of
those changes is the face at every pixel. Only pixels that lie in a groove are stored, groove by groove.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from stopcut.arrays import Array, Flags, Indices
from stopcut.light.wall_map import Spots, WallMap, spots_on

__all__ = ["Frame", "Pixels", "nearest_middle", "pixels"]


@dataclass(frozen=True, slots=True)
class Frame:
    """A grid of square pixels over the board: row 0 on top, column 0 on the left.

    left_mm and top_mm are the grid's upper left corner on the board; pixel_mm is a pixel's side.
    """

    left_mm: float
    top_mm: float
    pixel_mm: float
    columns: int
    rows: int

    def finer(self, times: int) -> Frame:
        """The same grid with every pixel cut into times × times."""
        return Frame(self.left_mm, self.top_mm, self.pixel_mm / times, self.columns * times, self.rows * times)

    def coarser(self, times: int) -> Frame:
        """A grid whose pixels are times × times of this one's; the last ones may reach beyond it."""
        columns, rows = -(-self.columns // times), -(-self.rows // times)
        return Frame(self.left_mm, self.top_mm, self.pixel_mm * times, columns, rows)

    def x_mm(self, columns: Indices) -> Array:
        """Where the centres of columns lie on the board. [mm]"""
        return self.left_mm + (columns.astype(np.float64) + 0.5) * self.pixel_mm

    def y_mm(self, rows: Indices) -> Array:
        """Where the centres of rows lie on the board. [mm]"""
        return self.top_mm - (rows.astype(np.float64) + 0.5) * self.pixel_mm

    def pixel_at(self, x_mm: Array, y_mm: Array) -> Indices:
        """The number, row after row, of the pixel that points lie in; for points off the grid, the nearest one's."""
        column = np.clip(((x_mm - self.left_mm) / self.pixel_mm).astype(np.int64), 0, self.columns - 1)
        row = np.clip(((self.top_mm - y_mm) / self.pixel_mm).astype(np.int64), 0, self.rows - 1)
        return row * self.columns + column


@dataclass(frozen=True, eq=False)
class Pixels:
    """The pixels of a frame whose centres lie in a groove: their rows and columns, and the face each sees (n,)."""

    frame: Frame
    row: Indices
    column: Indices
    face: Indices

    def only(self, which: Indices | Flags) -> Pixels:
        """Some of the pixels, by their numbers or flags."""
        return Pixels(self.frame, self.row[which], self.column[which], self.face[which])

    def spots(self, walls: WallMap) -> Spots:
        """The spots of the walls at the pixels' centres."""
        return spots_on(walls, self.face, self.frame.x_mm(self.column), self.frame.y_mm(self.row))


def pixels(walls: WallMap, frame: Frame) -> Pixels:
    """The grooves' pixels in the frame: groove after groove, within each row after row from the left."""
    edge, row = _rows_spanned(walls, frame)
    column = _first_column(walls, frame, edge, row)
    # The face right of a crossing less the face left of it, in numbers from 1 with 0 for the ground. An edge that runs
    # down the picture has its left face on the picture's right.
    change = walls.left[edge] - walls.right[edge]
    change[walls.ends[edge, 1] > walls.starts[edge, 1]] *= -1
    # A sum of changes does not care for their order at one place, so whole columns are enough to sort by.
    groove = walls.groove[walls.left[edge]]
    order = np.argsort((groove * frame.rows + row) * (frame.columns + 1) + column, kind="stable")
    row, column = row[order], column[order]
    face = np.cumsum(change[order]) - 1
    until = np.append(column[1:], 0)
    until[face < 0] = 0
    count = np.maximum(until - column, 0)
    return Pixels(frame, np.repeat(row, count), np.repeat(column, count) + _ramps(count), np.repeat(face, count))


def nearest_middle(row: Indices, column: Indices, size: int, among: Indices) -> Indices:
    """For each of some squares, which of its members lies nearest its middle.

    among (n,) is the square of each member; row and column (n,) its place in it, of size × size.
    """
    off = (2 * row + 1 - size) ** 2 + (2 * column + 1 - size) ** 2
    order = np.argsort(-off.astype(np.int32), kind="stable")
    nearest = np.empty(int(among.max(initial=-1)) + 1, dtype=np.int64)
    nearest[among[order]] = order  # the last one written stays
    return nearest


def _rows_spanned(walls: WallMap, frame: Frame) -> tuple[Indices, Indices]:
    """Every pair of an edge and a row of pixel centres it spans."""
    top = (frame.top_mm - np.maximum(walls.starts[:, 1], walls.ends[:, 1])) / frame.pixel_mm
    bottom = (frame.top_mm - np.minimum(walls.starts[:, 1], walls.ends[:, 1])) / frame.pixel_mm
    first = np.clip(np.ceil(top - 0.5), 0, frame.rows).astype(np.int64)
    count = np.clip(np.ceil(bottom - 0.5), 0, frame.rows).astype(np.int64) - first
    return np.repeat(np.arange(len(first)), count), np.repeat(first, count) + _ramps(count)


def _first_column(walls: WallMap, frame: Frame, edge: Indices, row: Indices) -> Indices:
    """The first column whose centre is not left of where the edge crosses the row; columns if beyond the frame."""
    start, step = walls.starts, walls.ends - walls.starts
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # level edges, which span no row
        lean = step[:, 0] / step[:, 1]
    x = start[edge, 0] + (frame.y_mm(row) - start[edge, 1]) * lean[edge]
    column: Indices = np.clip(np.ceil((x - frame.left_mm) / frame.pixel_mm - 0.5), 0, frame.columns).astype(np.int64)
    return column


def _ramps(counts: Indices) -> Indices:
    """0, 1, … count − 1 for each count, laid end to end."""
    ends = np.cumsum(counts)
    return np.arange(ends[-1] if len(ends) else 0) - np.repeat(ends - counts, counts)
