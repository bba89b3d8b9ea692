"""Colour for screens: light is reckoned in linear amounts and told to a screen as sRGB (IEC 61966-2-1)."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stopcut.arrays import Array, Single

__all__ = ["encoded", "linear", "rolled_off"]


SHOULDER = 0.66
"""From here on bright light is pressed together instead of cut off at 1, as film does. Our choice, by eye."""

_STEPS = 8192
"""Linear amounts are told apart to this many steps before they are encoded by table: always finer than 8 bits of sRGB,
whose darkest steps are 1/3295 apart."""


def linear(encoded: ArrayLike) -> Array:
    """Linear light 0…1 of sRGB values 0…1."""
    value = np.asarray(encoded, dtype=float)
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def encoded(light: ArrayLike) -> NDArray[np.uint8]:
    """sRGB bytes of linear light; what lies outside 0…1 is cut off."""
    steps = np.arange(_STEPS + 1) / _STEPS
    table = np.where(steps <= 0.0031308, 12.92 * steps, 1.055 * steps ** (1 / 2.4) - 0.055)
    place = (np.clip(np.asarray(light), 0, 1) * _STEPS + 0.5).astype(np.int16)
    out: NDArray[np.uint8] = (table * 255 + 0.5).astype(np.uint8)[place]
    return out


def rolled_off(light: Single) -> Single:
    """Light with everything above SHOULDER eased towards 1, without a kink."""
    out = light.copy()
    bright = light > SHOULDER
    room = 1 - SHOULDER
    out[bright] = 1 - room * np.exp(-(light[bright] - SHOULDER) / room)
    return out
