from __future__ import annotations

import numpy as np
import pytest
from setting_faces import SHAPES, outline
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from stopcut.setting.profile import ROW, profile
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Outline


def test_a_block_has_flat_sides_over_its_whole_height() -> None:
    shape = profile(SHAPES["I"], 1.0)
    assert (shape.first, len(shape.left)) == (0, 100)
    assert np.allclose(shape.left, 0)
    assert np.allclose(shape.right, 100)


def test_a_slope_is_taken_at_its_extreme_within_each_row() -> None:
    """The left leg of A runs from 0 at the foot to 350 at the top: row r begins at 3.5 thousandths a thousandth."""
    shape = profile(SHAPES["A"], 1.0)
    assert np.allclose(shape.left, 0.35 * ROW * np.arange(100))


@pytest.mark.parametrize("char", list("AGQRSgjy&"))
def test_rows_agree_with_a_polygon_cut_row_by_row(char: str) -> None:
    drawn, cap = outline("EB Garamond", char), outline("EB Garamond", "H").bounds.top
    shape = profile(drawn, cap)
    rings = flatten(drawn.scaled(1000 / cap), 0.25, area_true=False).rings
    solid = unary_union([Polygon(ring) for ring in rings])
    for row in range(0, len(shape.left), 7):
        bottom = (shape.first + row) * ROW
        slab = solid.intersection(box(-3000, bottom, 3000, bottom + ROW))
        if slab.is_empty:
            assert np.isinf(shape.left[row])
        else:
            assert shape.left[row] == pytest.approx(slab.bounds[0], abs=1e-3)
            assert shape.right[row] == pytest.approx(slab.bounds[2], abs=1e-3)


def test_rows_without_ink_between_the_parts_of_a_letter_are_known() -> None:
    shape = profile(outline("EB Garamond", "i"), outline("EB Garamond", "H").bounds.top)
    assert np.isinf(shape.left).any()
    assert np.isfinite(shape.left[[0, -1]]).all()


def test_columns_are_the_same_upright() -> None:
    first, low, high = profile(SHAPES["T"], 1.0).columns
    assert first == 0
    assert low[10] == pytest.approx(900)
    assert low[35] == pytest.approx(0)
    assert np.allclose(high, 1000)


def test_a_slanted_letter_set_upright_has_the_sides_of_the_upright_one() -> None:
    lean = np.tan(np.radians(12))
    upright = profile(SHAPES["O"], 1.0).band()
    leaning = profile(SHAPES["O"].mapped((1, 0, lean, 1, 0, 0)), 1.0).band(lean)
    assert np.abs(upright[0] - leaning[0]).max() < lean * ROW
    assert np.abs(upright[1] - leaning[1]).max() < lean * ROW


def test_a_low_line_without_ink_in_the_band_is_a_wall() -> None:
    low_line = SHAPES["-"].moved(0, -0.6)
    left, right, *_ = profile(low_line, 1.0).band()
    assert np.allclose(left, 0)
    assert np.allclose(right, 300)


def test_a_space_has_no_sides() -> None:
    with pytest.raises(ValueError, match="no sides"):
        profile(Outline(()), 1.0)


def test_a_glyph_is_measured_once() -> None:
    drawn = outline("EB Garamond", "R")
    assert profile(drawn, 0.65) is profile(drawn.moved(0, 0), 0.65)
