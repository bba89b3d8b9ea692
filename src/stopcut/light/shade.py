"""Light on the walls: a distant lamp with its cast shadows, an even sky, and what the walls throw on each other.

All light is told as a share of what falls on an open face: irradiance (what falls on a square millimetre of wall), not
yet what the eye sees. A matt wall of reflectance r sends back r times that, alike in every direction (Lambert's law).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from stopcut.arrays import Array, Indices
from stopcut.light.rays import in_sight, steps
from stopcut.light.wall_map import Spots, WallMap, normals

__all__ = ["Lamp", "SkyView", "bounces", "direct", "sky_view"]


STRETCHES = 4
"""In how many stretches of equal width each face is seen from another. Our choice: a lit strip along one lip is told
from the dark root."""

SEEN_MM = 1e-9
"""How far a wall must rise over another to be seen behind it. [mm] Rounding is about 1e-12, no wall as low as 1e-9."""


@dataclass(frozen=True, slots=True)
class Lamp:
    """A lamp so far off that its light comes from one direction.

    azimuth_deg is where it stands as one looks at the board, anticlockwise from the right (135 is the upper left);
    elevation_deg how high it stands over the board's face, 0 < elevation ≤ 90.
    """

    azimuth_deg: float
    elevation_deg: float

    @property
    def toward(self) -> Array:
        """The unit vector to the lamp: right, up the board, out of the board."""
        azimuth, elevation = math.radians(self.azimuth_deg), math.radians(self.elevation_deg)
        level = math.cos(elevation)
        return np.array([level * math.cos(azimuth), level * math.sin(azimuth), math.sin(elevation)])

    @property
    def on_face(self) -> float:
        """The cosine of incidence on the board's own face."""
        return math.sin(math.radians(self.elevation_deg))


@dataclass(frozen=True, eq=False)
class SkyView:
    """What n spots see: the sky, and stretches of wall in front of it.

    share (n,) is the part of an even sky's light on an open face that reaches each spot. Stretches of wall (t,): the
    number of the spot that sees it; x_mm and y_mm, where its middle lies; part, what it would send of an open face's
    light if it shone as the sky does. A spot's share and its stretches' parts add up to 1, as near as azimuths tell.
    """

    share: Array
    spot: Indices
    x_mm: Array
    y_mm: Array
    part: Array


def direct(walls: WallMap, spots: Spots, normal: Array, lamp: Lamp) -> Array:
    """The lamp's light on spots, cast shadows included, as the cosine of incidence (0 in shadow), (n,).

    normal (n, 3) is which way the walls face (see walls.normals); which spots lie in shadow is told by the facets
    themselves. Divide by lamp.on_face for a share of the open face's light.
    """
    cosine = normal @ lamp.toward
    facing = np.flatnonzero(cosine > 0)
    if lamp.elevation_deg < 90:
        slope = math.tan(math.radians(lamp.elevation_deg))
        facing = facing[in_sight(walls, spots.only(facing), lamp.azimuth_deg, slope)]
    light = np.zeros(len(spots))
    light[facing] = cosine[facing]
    return light


def sky_view(walls: WallMap, spots: Spots, azimuths: int = 16) -> SkyView:
    """What spots see of an even sky over the whole half-space before the board, and of the walls before it.

    Along an azimuth at the angle d from the way the wall leans, the light from above the elevation e is
    n_z·cos²e/2 + n_h·cos d·((π/2 − e)/2 − sin 2e/4), of π for the whole sky; n_z and n_h are the normal's parts out of
    the board and level with it. A ray in plan raises the horizon from the spot's own plane, face by face; each rise is
    the light of the face that made it. Sixteen azimuths are within 0.002 of many (root mean square), eight within
    0.007.
    """
    normal = normals(walls, spots, blended=False)
    share = np.zeros(len(spots))
    stretches: list[tuple[Any, ...]] = [
        (np.empty(0, np.int32), *[np.empty(0, np.float32)] * 3)
    ]  # spot, x, y, part of each
    for number in range(azimuths):
        # Half a step off, so that no azimuth runs along the upright and level strokes of lettering.
        azimuth = 360 * (number + 0.5) / azimuths
        share += _look(walls, spots, normal, azimuth, stretches)
    columns = [list(column) for column in zip(*stretches, strict=True)]
    stretches.clear()
    spot, x, y, part = (_joined(column) for column in columns)
    return SkyView(share * (2 / azimuths), spot, x, y, part * (2 / azimuths))


def _joined(parts: list[Any]) -> Any:
    """One array of many, which are let go of: those of a board are hundreds of megabytes, in single precision too."""
    whole = np.concatenate(parts)
    parts.clear()
    return whole


def bounces(view: SkyView, nearest: Indices, light: Array, times: int = 3) -> Array:
    """What the walls throw on each other: light that has met wood once, twice, … before it comes here, (times, n).

    Multiply the first by the wood's reflectance, the second by its square, and so on, and add them to light.

    Parameters
    ----------
    view : what n spots see, from sky_view.
    nearest : the number of the spot nearest to each stretch of the view, (t,).
    light : what falls on the spots from lamp and sky, (n,).
    times : how many bounces, ≥ 1.
    """
    thrown = np.empty((times + 1, len(light)))
    thrown[0] = light
    for number in range(times):
        arrives = view.part * thrown[number, nearest]
        thrown[number + 1] = np.bincount(view.spot, weights=arrives, minlength=len(light))
    return thrown[1:]


def _look(
    walls: WallMap,
    spots: Spots,
    normal: Array,
    azimuth_deg: float,
    stretches: list[tuple[Any, ...]],
) -> Array:
    """The sky's light along one azimuth (as _above tells it); what walls are seen below it is added to stretches."""
    cos, sin = math.cos(math.radians(azimuth_deg)), math.sin(math.radians(azimuth_deg))
    up, leaning = normal[:, 2], normal[:, 0] * cos + normal[:, 1] * sin
    slope = -leaning / up
    light = _above(up, leaning, slope)
    going = np.ones(len(spots), dtype=bool)
    for step in steps(walls, spots, azimuth_deg, going):
        run, depth = step.leaves.T
        rises = np.flatnonzero(spots.depth_mm[step.ray] - depth > slope[step.ray] * run + SEEN_MM)
        ray = step.ray[rises]
        enters, across = step.enters[rises], step.leaves[rises] - step.enters[rises]
        for stretch in range(STRETCHES):
            end = enters + across * ((stretch + 1) / STRETCHES)
            to = np.maximum((spots.depth_mm[ray] - end[:, 1]) / end[:, 0], slope[ray])
            rest = _above(up[ray], leaning[ray], to)
            middle = enters[:, 0] + across[:, 0] * ((stretch + 0.5) / STRETCHES)
            x, y = spots.x_mm[ray] + middle * cos, spots.y_mm[ray] + middle * sin
            narrow = (one.astype(np.float32) for one in (x, y, light[ray] - rest))
            stretches.append((ray.astype(np.int32), *narrow))
            slope[ray], light[ray] = to, rest
        # Beyond, nothing can stand higher than the board's surface, and that looks lower the farther it is.
        going[step.ray[spots.depth_mm[step.ray] <= slope[step.ray] * run]] = False
    return light


def _above(up: Array, leaning: Array, slope: Array) -> Array:
    """The light from above an elevation, given by its tangent, along one azimuth (see sky_view)."""
    steep = 1 / (1 + slope * slope)
    out: Array = up * steep / 2 + leaning * (np.arctan2(1, slope) - slope * steep) / 2
    return out
