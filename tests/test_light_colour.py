"""Linear light and sRGB, against IEC 61966-2-1:1999."""

from __future__ import annotations

import numpy as np
import pytest

from stopcut.light.colour import SHOULDER, encoded, linear, rolled_off


def test_every_byte_of_srgb_comes_back_from_linear_light():
    assert encoded(linear(np.arange(256) / 255)).tolist() == list(range(256))


@pytest.mark.parametrize(
    # The standard's two pieces meet at 0.04045 ↔ 0.0031308; half the light is byte 188, a fifth of it about 118 + 6.
    ("light", "byte"),
    [(0.0, 0), (0.0031308, 10), (0.18, 118), (0.5, 188), (1.0, 255), (1.7, 255), (-0.1, 0)],
)
def test_light_is_encoded_as_the_standard_says(light, byte):
    assert int(encoded(light)) == byte


def test_linear_light_of_middle_grey():
    assert linear(0.5) == pytest.approx(0.21404, abs=1e-5)


def test_bright_light_is_eased_and_never_turned_round():
    light = np.linspace(0, 4, 1000, dtype=np.float32)
    eased = rolled_off(light)
    assert (eased <= 1).all()
    assert (np.diff(eased) >= 0).all()
    assert (eased[light < SHOULDER] == light[light < SHOULDER]).all()
    assert np.abs(np.diff(eased, 2)).max() < 1e-3
