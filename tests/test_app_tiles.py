"""Tiles for the lamp: distances, directions and openings, told by figures that the shapes themselves give."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
from light_shapes import cut, ell, frame_over, letter, rectangle, ring
from PIL import Image

from stopcut.app.lamp.tiles import FRAME_KEYWORD, MOST_OPENING, GlyphTile, _tile, pixels_for, tile_png, wood_png
from stopcut.groove.groove import groove
from stopcut.light.colour import encoded
from stopcut.light.raster import Frame, pixels
from stopcut.light.shade import sky_view
from stopcut.light.wall_map import walls_of
from stopcut.light.wood import seed_of, tone_of, wood_colour
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed


def told(tile):
    """What a tile says: where its pixels lie, which hold anything, and their distance, azimuth [rad] and opening."""
    with Image.open(io.BytesIO(tile.png)) as image:
        raw = np.asarray(image).astype(int)
    value = (raw[:, :, 0] << 4) | (raw[:, :, 1] >> 4)
    distance = tile.low + (value - 1) / 4094 * (tile.high - tile.low)
    azimuth = (((raw[:, :, 1] & 15) << 8) | raw[:, :, 2]) / 4096 * 2 * math.pi
    rows, columns = np.indices(value.shape)
    x = tile.left + (columns + 0.5) * tile.per_pixel
    y = tile.top - (rows + 0.5) * tile.per_pixel
    return x, y, value > 0, distance, azimuth, raw[:, :, 3] / 255 * MOST_OPENING


def test_distances_in_a_rectangle_are_those_to_its_nearest_side_just_outside_too():
    x, y, there, distance, _, _ = told(tile_png(cut(rectangle(8, 3))))
    true = np.minimum(np.minimum(x, 8 - x), np.minimum(y, 3 - y))
    assert (there == (distance > -1) & there).all()
    assert (there >= (true > 0)).all()
    assert np.abs(distance - true)[there].max() < 0.0005
    assert distance[there].min() < 0


def test_the_outline_lies_where_distances_pass_through_nothing():
    """The ring of pixels outside brackets the edge: between two neighbours it is told to a fiftieth of one."""
    tile = tile_png(cut(rectangle(8, 3)))
    x, _, there, distance, _, _ = told(tile)
    row = distance.shape[0] // 2
    first = int(np.argmax(there[row]))
    outside, inside = distance[row, first], distance[row, first + 1]
    assert outside < 0 < inside
    at = x[row, first] + tile.per_pixel * outside / (outside - inside)
    assert at == pytest.approx(0.0, abs=tile.per_pixel / 50)


def test_each_wall_of_a_rectangle_looks_across_it():
    x, y, there, distance, azimuth, _ = told(tile_png(cut(rectangle(8, 3))))
    sides = np.stack([x, y, 8 - x, 3 - y])
    sure = there & (np.diff(np.sort(sides, axis=0)[:2], axis=0)[0] > 1e-6)  # not on the very mitre
    for number, looks in enumerate((0, 90, 180, 270)):
        on_it = sure & (distance > 0) & (sides.argmin(axis=0) == number)
        assert on_it.sum() > 50
        assert np.abs((np.degrees(azimuth[on_it]) - looks + 180) % 360 - 180).max() < 0.1


def test_directions_turn_along_a_curve_as_the_true_wall_does():
    x, y, there, distance, azimuth, _ = told(tile_png(cut(ring(20, 12), 60)))
    radius = np.hypot(x, y)
    outer = there & (distance > 0) & (radius > 16.2)
    off = np.degrees(azimuth - np.arctan2(-y, -x))[outer]
    assert np.abs((off + 180) % 360 - 180).max() < 0.4


def test_the_opening_of_a_long_v_goes_from_nothing_at_the_lip_to_one_at_the_root():
    _, y, there, distance, _, opening = told(tile_png(cut(rectangle(6, 120)), 512))
    middle = there & (distance > 0) & (np.abs(y - 60) < 20)
    expected = distance / (6 - distance)
    assert np.abs(opening - expected)[middle].max() < 0.04


def test_openings_give_back_the_sky_that_walls_see_at_ends_and_corners_too():
    """A wall whose opposite rises to the elevation e sees (1 + cos(e + wall)) / 2 of the sky."""
    one = cut(letter("R"), 60)
    tile = tile_png(one)
    x, _, there, distance, _, opening = told(tile)
    within = there & (distance > 0)
    walls = walls_of([one])
    frame = Frame(tile.left, tile.top, tile.per_pixel, x.shape[1], x.shape[0])
    found = pixels(walls, frame)
    some = np.arange(0, len(found.row), 17)
    share = sky_view(walls, found.only(some).spots(walls), 16).share
    row, column = found.row[some], found.column[some]
    assert within[row, column].mean() > 0.99
    wall = math.radians(60)
    told_share = (1 + np.cos(np.arctan(opening[row, column] * math.tan(wall)) + wall)) / 2
    assert math.sqrt(float(((told_share - share) ** 2).mean())) < 0.03


def test_a_tile_knows_nothing_of_size_place_angle_or_flat_bottom():
    small = groove(Placed(letter("S"), 20.0, 0.0, 0.0, line=1, index=1), 60.0)
    large = groove(Placed(letter("S"), 90.0, 300.0, 80.0, 30.0, line=2, index=7), 45.0, 2.5)
    other = groove(Placed(letter("E"), 20.0, 0.0, 0.0, line=1, index=2), 60.0)
    assert _tile(small, 256) == _tile(large, 256) == tile_png(small)
    assert _tile(other, 256) != _tile(small, 256)


def test_the_deepest_pixel_is_as_deep_as_the_groove():
    for char in "RSO":
        one = cut(letter(char), 60, scale=70)
        depth = tile_png(one).high * 70 * math.tan(math.radians(60))
        assert depth == pytest.approx(one.max_depth_mm, rel=0.03)
        assert depth <= one.max_depth_mm + 1e-9


def test_narrow_work_round_a_large_board_gets_more_pixels_but_never_too_many():
    assert pixels_for(cut(letter("I"), 60)) == 256
    assert 256 < pixels_for(cut(ell(200, 10))) < 2048
    assert pixels_for(cut(rectangle(900, 3))) == 2048
    tile = tile_png(cut(ell(800, 3)))
    with Image.open(io.BytesIO(tile.png)) as image:
        assert 1_400_000 < image.width * image.height < 1_520_000


@pytest.mark.parametrize("longest", [32, 300])
def test_a_tile_is_as_long_as_asked_and_its_border_is_empty(longest):
    with Image.open(io.BytesIO(tile_png(cut(letter("m")), longest).png)) as image:
        raw = np.asarray(image)
    assert max(raw.shape[:2]) == longest
    for edge in (raw[0], raw[-1], raw[:, 0], raw[:, -1]):
        assert not edge.any()


def test_the_frame_is_in_the_picture_itself():
    tile = tile_png(cut(letter("a")))
    assert GlyphTile.read(tile.png) == tile
    with Image.open(io.BytesIO(tile.png)) as image:
        assert image.mode == "RGBA"
        assert FRAME_KEYWORD in image.info
    with pytest.raises(KeyError):
        GlyphTile.read(wood_png(100, 50, "width", "lime", "Plot 7"))


def test_a_tile_covers_the_whole_outline():
    one = cut(letter("Q"))
    tile = tile_png(one)
    with Image.open(io.BytesIO(tile.png)) as image:
        right, bottom = tile.left + image.width * tile.per_pixel, tile.top - image.height * tile.per_pixel
    box = frame_over([one], 1e-6)
    assert tile.left < box.left_mm
    assert tile.top > box.top_mm
    assert right > box.left_mm + box.columns * box.pixel_mm
    assert bottom < box.top_mm - box.rows * box.pixel_mm


def test_a_space_has_no_tile():
    with pytest.raises(ValueError, match="empty"):
        tile_png(cut(Outline(())))


def test_the_wood_is_that_of_the_carved_picture():
    with Image.open(io.BytesIO(wood_png(900, 260, "width", "lime", "Plot 7"))) as image:
        shown = np.asarray(image)
    assert shown.shape == (520, 1800, 3)
    frame = Frame(0, 260, 0.5, 1800, 520)
    assert (shown == encoded(wood_colour(tone_of("lime"), "width", seed_of("Plot 7"), frame))).all()


def test_upright_grain_runs_up_the_board():
    with Image.open(io.BytesIO(wood_png(300, 300, "height", "lime", "Plot 7"))) as image:
        shown = np.asarray(image.convert("L")).astype(float)
    along = np.abs(np.diff(shown, axis=0)).mean()
    assert along < 0.5 * np.abs(np.diff(shown, axis=1)).mean()


@pytest.mark.parametrize("size", [(4000.0, 100.0), (60.0, 2500.0), (1500.0, 1500.0)])
def test_wood_for_any_board_is_of_bounded_size_and_true_in_proportion(size):
    width, height = size
    with Image.open(io.BytesIO(wood_png(width, height, "width", "oak", "Plot 7"))) as image:
        assert sum(image.size) <= 4801
        assert max(image.size) <= 2400
        assert image.width / image.height == pytest.approx(width / height, rel=0.02)
