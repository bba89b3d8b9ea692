"""The wood's colour and figure."""

from __future__ import annotations

import numpy as np
import pytest

from stopcut.light.colour import encoded
from stopcut.light.raster import Frame
from stopcut.light.wood import PLAIN, TONES, seed_of, tone_of, wood_colour
from stopcut.shop.woods import woods

FRAME = Frame(0.0, 150.0, 0.5, 600, 300)
LIME = TONES["European lime"]


def test_every_wood_of_the_table_has_a_tone_and_no_tone_lacks_its_wood():
    assert set(TONES) == {wood.name for wood in woods()}


@pytest.mark.parametrize(
    ("called", "name"),
    [
        ("lime", "European lime"),
        ("oak", "white oak"),
        ("Black Walnut", "black walnut"),
        ("redwood", "redwood, young-growth"),
    ],
)
def test_a_wood_is_known_by_the_name_a_carver_gives_it(called, name):
    assert tone_of(called) is TONES[name]


def test_an_unknown_wood_is_drawn_plain():
    assert tone_of("old gate") is PLAIN


@pytest.mark.parametrize("name", TONES)
def test_a_board_is_on_the_whole_its_species_tone(name):
    picture = encoded(wood_colour(TONES[name], "width", 5, FRAME))
    tone = [int(TONES[name].colour[i : i + 2], 16) for i in (0, 2, 4)]
    assert picture.reshape(-1, 3).mean(axis=0) == pytest.approx(tone, abs=16)


@pytest.mark.parametrize("name", ["European lime", "sugar maple", "black walnut", "northern red oak"])
def test_streaks_are_faint_and_run_along_the_grain(name):
    for grain, along, across in (("width", 1, 0), ("height", 0, 1)):
        light = wood_colour(TONES[name], grain, 5, FRAME).mean(axis=2)
        light = light / light.mean()
        assert np.abs(np.diff(light, axis=along)).mean() < 0.35 * np.abs(np.diff(light, axis=across)).mean()
        assert light.std() < 0.15


def test_the_same_title_gives_the_same_board_and_another_title_another():
    first, again, other = (
        wood_colour(LIME, "width", seed_of(title), FRAME) for title in ("Plot 7", "Plot 7", "Plot 8")
    )
    assert np.array_equal(first, again)
    assert np.abs(first - other).max() > 0.01


def test_a_finer_picture_shows_the_same_figure():
    oak = TONES["white oak"]
    coarse = wood_colour(oak, "width", 3, FRAME)
    fine = wood_colour(oak, "width", 3, FRAME.finer(2)).reshape(300, 2, 600, 2, 3).mean(axis=(1, 3))
    assert np.abs(coarse / fine - 1).mean() < 0.02
    other = wood_colour(oak, "width", 4, FRAME)
    assert np.abs(coarse / other - 1).mean() > 0.03


def test_growth_rings_run_on_into_the_groove():
    pine = TONES["eastern white pine"]
    flat, sunk = (wood_colour(pine, "width", 3, FRAME, np.full((300, 600), depth)) for depth in (0.0, 2.0))
    assert np.abs(flat / sunk - 1).mean() > 0.01
