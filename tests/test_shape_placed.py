"""A letter on the board stands where it was put."""

import pytest

from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.shape.outline import polygon
from stopcut.shape.placed import Placed
from stopcut.work import Work

STEM = polygon([(0, 0), (0.1, 0), (0.1, 0.7), (0, 0.7)])


def test_an_em_shape_is_scaled_then_moved() -> None:
    box = Placed(STEM, 100, 30, 40).bounds_mm
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx((30, 40, 40, 110))


def test_turning_is_anticlockwise_about_the_pen() -> None:
    box = Placed(STEM, 100, 0, 0, turn_deg=90).bounds_mm
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx((-70, 0, 0, 10))


def test_area_on_the_board_is_in_square_millimetres() -> None:
    assert Placed(STEM, 100, 5, 5, turn_deg=33).on_board.area == pytest.approx(10 * 70)


def test_the_box_of_an_upright_letter_is_that_of_its_curves_on_the_board() -> None:
    upright = [one for one in Work(parse_job(demo_job_text())).setting.placed if not one.turn_deg]
    assert upright
    for letter in upright:
        own, box = letter.on_board.bounds, letter.bounds_mm
        assert (box.left, box.bottom, box.right, box.top) == pytest.approx((own.left, own.bottom, own.right, own.top))
