"""Sampling: pixels are looked at closely where light changes, and nowhere else."""

from __future__ import annotations

import numpy as np
import pytest
from light_shapes import cut, ell, frame_over, letter

from stopcut.light import sampled
from stopcut.light.raster import pixels
from stopcut.light.sampled import FINER, lamp_light
from stopcut.light.shade import Lamp, direct
from stopcut.light.wall_map import normals, walls_of

SHAPES = {"L": ell(), "S": letter("S").scaled(60), "&": letter("&").scaled(60)}


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("elevation_deg", [20, 35, 70])
def test_sampling_only_the_edges_gives_what_sampling_everywhere_gives(name, elevation_deg):
    one = cut(SHAPES[name], turn_deg=5)
    walls, frame, lamp = walls_of([one]), frame_over([one], 0.4), Lamp(135, elevation_deg)
    found = lamp_light(walls, frame, lamp)
    fine = pixels(walls, frame.finer(FINER))
    spots = fine.spots(walls)
    light = direct(walls, spots, normals(walls, spots), lamp)
    owner = (fine.row // FINER) * frame.columns + fine.column // FINER
    size = frame.rows * frame.columns
    samples, total = np.bincount(owner, minlength=size), np.bincount(owner, weights=light, minlength=size)
    assert np.array_equal(np.sort(found.pixel), np.flatnonzero(samples))
    assert found.cover == pytest.approx(samples[found.pixel] / FINER**2)
    off = np.abs(found.light - total[found.pixel] / samples[found.pixel])
    assert off.max() < 0.12
    assert off.mean() < 2e-3


def test_most_of_a_broad_stroke_is_sampled_once(monkeypatch):
    one = cut(SHAPES["&"])
    walls, frame = walls_of([one]), frame_over([one], 0.1)
    asked = []
    monkeypatch.setattr(sampled, "direct", lambda w, s, n, lamp: asked.append(len(s)) or direct(w, s, n, lamp))
    found = lamp_light(walls, frame, Lamp(135, 30))
    assert sum(asked) < 0.4 * FINER**2 * len(found.pixel)


def test_every_pixels_spot_lies_in_it():
    one = cut(SHAPES["S"])
    frame = frame_over([one], 0.4)
    found = lamp_light(walls_of([one]), frame, Lamp(135, 30))
    assert np.array_equal(frame.pixel_at(found.spots.x_mm, found.spots.y_mm), found.pixel)


def test_letters_that_overlap_are_drawn_all_the_same():
    """They should have been united before; the picture does not fail over it."""
    parts = [cut(SHAPES["L"]), cut(SHAPES["L"], x=4, y=3)]
    found = lamp_light(walls_of(parts), frame_over(parts, 0.4), Lamp(135, 30))
    assert (found.cover <= 1).all()
    assert np.isfinite(found.light).all()
