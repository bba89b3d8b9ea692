"""carved.png: size, resolution, light and wood of the picture of the board."""

from __future__ import annotations

import io
from types import SimpleNamespace

import numpy as np
import pytest
from light_shapes import cut, letter, rectangle
from PIL import Image

from stopcut.sheets.carved_picture import PAGE, carved_png


def work(grooves=None, title="Plot 7", width=240.0, height=90.0, wood="lime", grain="width"):
    """Only what the picture reads of a job."""
    if grooves is None:
        grooves = [cut(rectangle(12, 60), x=60, y=15), cut(letter("R"), scale=80, x=120, y=18)]
    board = SimpleNamespace(width_mm=width, height_mm=height, wood=wood, grain=grain)
    return SimpleNamespace(grooves=tuple(grooves), job=SimpleNamespace(title=title, board=board))


def picture(width_px=600, **changed):
    return Image.open(io.BytesIO(carved_png(work(**changed), width_px)))


def board_box(image):
    """Where the board lies in the picture: the box of what is far warmer than page and shadow."""
    rgb = np.asarray(image, dtype=int)
    warm = rgb[:, :, 0] - rgb[:, :, 2] > 25
    rows, columns = np.flatnonzero(warm.any(axis=1)), np.flatnonzero(warm.any(axis=0))
    return columns[0], rows[0], columns[-1] + 1, rows[-1] + 1


@pytest.mark.parametrize("width_px", [400, 1001])
def test_the_picture_is_as_wide_as_asked_and_true_in_proportion(width_px):
    image = picture(width_px)
    left, top, right, bottom = board_box(image)
    assert image.width == width_px
    assert (bottom - top) / (right - left) == pytest.approx(90 / 240, abs=1.5 / (right - left))
    assert 4 <= left == image.width - right
    assert left == top == image.height - bottom


def test_printed_at_its_own_resolution_the_board_is_true_to_size():
    image = picture(1200)
    left, _, right, _ = board_box(image)
    assert (right - left) / image.info["dpi"][0] * 25.4 == pytest.approx(240, rel=0.005)
    assert image.info["dpi"][0] == image.info["dpi"][1]


def test_the_picture_says_that_it_is_srgb():
    assert picture().info["srgb"] == 0


def test_light_falls_on_the_right_wall_of_a_stem_and_leaves_the_left_one_dark():
    image = np.asarray(picture(1000).convert("L"), dtype=float)
    left, top, _, _ = board_box(picture(1000))
    scale = (1000 - 2 * left) / 240
    row = round(top + scale * 45)
    face, dark, lit = (image[row, round(left + scale * x)] for x in (50, 62, 71))
    assert dark < 0.7 * face
    assert lit > 1.06 * face
    assert dark > 15


def test_all_around_the_board_is_page():
    image = np.asarray(picture())
    page = [int(PAGE[i : i + 2], 16) for i in (0, 2, 4)]
    assert image[0, 0].tolist() == pytest.approx(page, abs=1)
    assert (image[:, 0] == image[0, 0]).all()
    left, top, right, bottom = board_box(picture())
    assert image[bottom + 1, left + 50].mean() < 0.95 * image[top - 2, left + 50].mean()
    assert image[top + 50, right + 1].mean() < 0.95 * image[top + 50, left - 2].mean()


def test_the_same_job_gives_the_same_picture_to_the_byte():
    assert carved_png(work(), 300) == carved_png(work(), 300)
    assert carved_png(work(), 300) != carved_png(work(title="Plot 8"), 300)


def test_a_dark_wood_makes_a_darker_board():
    lime, walnut = (np.asarray(picture(wood=wood))[60:120, 60:120].mean() for wood in ("lime", "walnut"))
    assert walnut < 0.7 * lime


@pytest.mark.parametrize("size", [(2000.0, 30.0), (30.0, 400.0)])
def test_long_and_tall_boards_without_letters_are_drawn_too(size):
    width, height = size
    image = picture(400, grooves=[], width=width, height=height)
    left, top, right, bottom = board_box(image)
    assert (bottom - top) / (right - left) == pytest.approx(height / width, rel=0.1)
    assert image.height <= 2 * 400


def test_the_boards_eased_edges_are_bright_towards_the_lamp_and_dark_away_from_it():
    image = np.asarray(picture(1000, grooves=[]).convert("L"), dtype=float)
    left, top, right, bottom = board_box(picture(1000, grooves=[]))
    face = image[200, 500]
    assert image[top + 1, 500] > 1.05 * face
    assert image[200, left + 1] > 1.05 * face
    assert image[bottom - 2, 500] < 0.8 * face
    assert image[200, right - 2] < 0.8 * face


def test_the_board_alone_is_the_middle_of_the_picture_with_its_page():
    alone = np.asarray(Image.open(io.BytesIO(carved_png(work(), 400, page=False))), dtype=int)
    with_page = np.asarray(picture(400 + 2 * 8), dtype=int)  # 2 % of 416 pixels on each side
    assert np.array_equal(alone, with_page[8:-8, 8:-8])
