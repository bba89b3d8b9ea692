import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.shape.outline import polygon
from stopcut.shape.thickness import thickness


def _bar(length: float, width: float):
    return polygon([(0, 0), (length, 0), (length, width), (0, width)])


@given(st.floats(1, 4), st.floats(0, 360))
@settings(max_examples=25)
def test_the_disc_in_a_bar_has_half_its_width_away_from_the_ends(width, turn):
    thick = thickness(_bar(40, width).turned(turn), 0.1, 3)
    middle = (thick.segment == 0) & (np.abs(thick.arc - 20) < 10)
    assert thick.radius[middle] == pytest.approx(width / 2, abs=0.1**2 / (16 * width / 2) + 1e-9)
    assert thick.lean_deg[middle] == pytest.approx(0, abs=1e-4)


def test_the_disc_in_a_wedge_touches_both_edges_at_the_wedges_angle():
    half = math.radians(10)
    outline = polygon([(0, 0), (50, -50 * math.tan(half)), (50, 50 * math.tan(half))])
    thick = thickness(outline, 0.05, 3)
    lower = (thick.segment == 0) & np.isfinite(thick.radius) & (thick.arc > 2) & (thick.arc < 12)
    # A disc that touches both edges of a wedge at a distance a from its point has the radius a · tan(half the angle).
    assert thick.radius[lower] == pytest.approx(thick.arc[lower] * math.tan(half), rel=2e-3)
    assert thick.lean_deg[lower] == pytest.approx(20, abs=1e-6)
    assert thick.fold[lower] == pytest.approx(thick.arc[lower], rel=2e-2)


def test_a_thin_bar_between_two_thick_posts_has_no_fold_and_one_with_a_free_end_has():
    hung = polygon(
        [(0, 0), (10, 0), (10, 9), (30, 9), (30, 0), (40, 0), (40, 20), (30, 20), (30, 11), (10, 11), (10, 20), (0, 20)]
    )
    free = polygon([(0, 0), (10, 0), (10, 9), (30, 9), (30, 11), (10, 11), (10, 20), (0, 20)])
    for outline, folds in ((hung, False), (free, True)):
        thick = thickness(outline, 0.2, 2)
        bar = (np.abs(thick.points[:, 0] - 20) < 5) & np.isfinite(thick.radius)
        assert bar.sum() == 100
        assert np.isfinite(thick.fold[bar]).all() == folds
    assert thick.fold[bar & (thick.out[:, 1] < 0)] == pytest.approx(31 - thick.points[bar & (thick.out[:, 1] < 0), 0])


def test_the_wood_in_a_counter_is_as_thick_as_the_counter():
    ring = polygon([(0, 0), (30, 0), (30, 30), (0, 30)], [(5, 5), (5, 7), (25, 7), (25, 5)])
    thick = thickness(ring, 0.2, 2, wood=True)
    inside = (thick.ring == 1) & (np.abs(thick.points[:, 0] - 15) < 8)
    assert thick.radius[inside] == pytest.approx(1, abs=0.01)
    assert not np.isfinite(thick.radius[thick.ring == 0]).any()


def test_a_disc_larger_than_the_limit_is_left_out():
    thick = thickness(_bar(40, 4), 0.2, 1)
    assert not np.isfinite(thick.radius[(thick.segment == 0) & (np.abs(thick.arc - 20) < 10)]).any()


def test_an_empty_outline_has_no_samples():
    assert len(thickness(polygon(), 0.1, 1).points) == 0
