import numpy as np
import pytest

from stopcut.lettering.thin_runs import BLEND, amounts, moves, thin_strokes
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.thickness import Thickness, thickness

THINNEST = 2.5


def _samples(outline: Outline) -> Thickness:
    return thickness(outline, THINNEST / 20, THINNEST * (1 + BLEND) / 2)


def _strokes(outline: Outline) -> tuple[Thickness, np.ndarray]:
    thick = _samples(outline)
    return thick, thin_strokes(thick, THINNEST, outline.bounds.height)


def _arm(length: float) -> Outline:
    """A post with one arm of 1 mm at mid height."""
    return polygon([(0, 0), (5, 0), (5, 14.5), (5 + length, 14.5), (5 + length, 15.5), (5, 15.5), (5, 30), (0, 30)])


@pytest.mark.parametrize(("length", "stroke"), [(12, True), (3, False)])
def test_a_free_arm_is_a_stroke_only_when_it_is_longer_than_serifs_are(length, stroke):
    thick, strokes = _strokes(_arm(length))
    arm = np.abs(thick.points[:, 0] - 5 - length / 2) < length / 4
    assert strokes[arm].all() == stroke
    assert strokes.any() == stroke


def test_a_short_neck_between_two_thick_parts_is_a_stroke():
    neck = polygon(
        [
            (0, 0),
            (10, 0),
            (10, 9.5),
            (12, 9.5),
            (12, 0),
            (22, 0),
            (22, 20),
            (12, 20),
            (12, 10.5),
            (10, 10.5),
            (10, 20),
            (0, 20),
        ]
    )
    thick, strokes = _strokes(neck)
    assert strokes[np.abs(thick.points[:, 0] - 11) < 0.5].all()


def test_a_long_taper_is_no_stroke():
    taper = polygon([(0, 0), (8, 0), (8, 12), (28, 15), (8, 18), (8, 30), (0, 30)])
    assert not _strokes(taper)[1].any()


def test_the_two_edges_of_a_stroke_share_what_is_wanting():
    thick, strokes = _strokes(_arm(12))
    extents = np.array([[0.0, 30.0]])
    amount = amounts(thick, strokes, THINNEST, extents, np.ones(1))
    middle = strokes & (np.abs(thick.points[:, 0] - 11) < 3)
    assert amount[middle] == pytest.approx(0.75, abs=0.01)
    move = moves(thick, strokes, amount, THINNEST, extents)
    post = (thick.points[:, 0] < 1e-6) | (np.abs(thick.points[:, 1] - 15) > 14)
    assert not move[post].any()
    tip = thick.points[:, 0] > 17 - 1e-9
    assert np.abs(move[tip, 0]).max() < 1e-9  # the free end is stretched across, not along


def test_an_edge_on_the_letters_top_stays_and_the_other_does_all():
    flag = polygon([(0, 0), (5, 0), (5, 29), (20, 29), (20, 30), (0, 30)])
    thick, strokes = _strokes(flag)
    amount = amounts(thick, strokes, THINNEST, np.array([[0.0, 30.0]]), np.ones(1))
    middle = np.abs(thick.points[:, 0] - 13) < 3
    top, below = middle & (thick.out[:, 1] > 0), middle & (thick.out[:, 1] < 0)
    assert np.abs(amount[top]).max() < 1e-9
    assert amount[below] == pytest.approx(1.5, abs=0.01)


def test_what_one_ring_may_not_do_the_edge_across_takes_over():
    ring = polygon([(0, 0), (30, 0), (30, 30), (0, 30)], [(1, 1), (1, 29), (29, 29), (29, 1)])
    thick, strokes = _strokes(ring)
    extents = np.array([[0.0, 30.0], [np.nan, np.nan]])
    amount = amounts(thick, strokes, THINNEST, extents, np.array([1.0, 0.5]))
    upright = strokes & (np.abs(thick.points[:, 1] - 15) < 5)
    outer, inner = upright & (thick.ring == 0), upright & (thick.ring == 1)
    assert amount[inner] == pytest.approx(0.375, abs=0.01)
    assert amount[outer] == pytest.approx(1.125, abs=0.01)


def test_widening_begins_gently_and_never_moves_a_stroke_of_the_asked_width_far():
    thick, strokes = _strokes(_arm(12).scaled(2.5))  # an arm of just the asked width
    amount = amounts(thick, strokes, THINNEST, np.array([[0.0, 75.0]]), np.ones(1))
    assert amount.max() * 2 <= 0.02
