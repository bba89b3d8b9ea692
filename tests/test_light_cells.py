"""Cells: light that changes slowly, found in fewer places than there are pixels."""

from __future__ import annotations

import numpy as np
import pytest
from light_shapes import cut, frame_over, letter

from stopcut.light import carved
from stopcut.light.carved import wall_light
from stopcut.light.cells import Cells
from stopcut.light.raster import Frame

FRAME = Frame(0.0, 30.0, 0.5, 100, 60)


def test_few_pixels_have_a_cell_each():
    pixel = np.array([703, 12, 5999, 4])
    cells = Cells.of(FRAME, pixel, most=4)
    light = np.array([[4.0, 2.0, 9.0, 1.0]])
    assert cells.spread(cells.mean(light[0])[None]).tolist() == light.tolist()
    assert pixel[cells.middle].tolist() == sorted(pixel.tolist())


def test_many_pixels_share_cells_and_an_even_slope_of_light_comes_back_whole():
    row, column = np.divmod(np.arange(6000), 100)
    pixel = np.flatnonzero(np.hypot(row - 30, column - 50) < 25)
    row, column = row[pixel], column[pixel]
    cells = Cells.of(FRAME, pixel, most=len(pixel) // 8)
    assert len(cells.middle) < len(pixel) / 7
    slope = 3.0 + 0.25 * row - 0.125 * column
    whole = np.array([cells.among[k] for k in range(len(pixel))])
    full = np.bincount(whole) == 9
    # Where all four cells around a pixel are whole ones, their means lie on the slope, and so does the pixel.
    spread = cells.spread(np.stack([cells.mean(slope), cells.mean(np.ones(len(pixel)))]))
    inner = np.hypot(row - 30, column - 50) < 18
    assert full.any()
    assert spread[0, inner] == pytest.approx(slope[inner])
    assert spread[1] == pytest.approx(np.ones(len(pixel)))


def test_the_middle_pixel_of_a_cell_is_the_one_at_its_middle():
    cells = Cells.of(FRAME, np.arange(6000), most=6000 // 9 + 1)
    row, column = np.divmod(cells.middle, 100)
    whole = (row < 60) & (column < 99)
    assert (row[whole] % 3 == 1).all()
    assert (column[whole] % 3 == 1).all()


def test_light_on_walls_hardly_differs_between_a_cell_a_pixel_and_larger_ones(monkeypatch):
    one = cut(letter("R"), scale=120)
    frame = frame_over([one], 0.25)
    fine = wall_light([one], frame)
    of = Cells.of
    monkeypatch.setattr(carved.Cells, "of", lambda frame, pixel: of(frame, pixel, len(pixel) // 4 + 1))
    coarse = wall_light([one], frame)
    assert np.array_equal(fine.pixel, coarse.pixel)
    off = fine.light - coarse.light
    assert np.abs(off).max() > 0
    # First light and light thrown once; the second blurs by a cell at the root, where lit and dark walls meet.
    assert np.sqrt((off[0] ** 2).mean()) < 0.01
    assert np.median(np.abs(off[1])) < 0.01
    assert abs(off[1].mean()) < 0.03
