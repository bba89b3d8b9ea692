"""What is chosen or ticked by hand stands until it is taken; what is refused goes back."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect
from test_app_fields import ledge, window

__all__ = ["ledge", "window"]

pytestmark = pytest.mark.browser


def test_a_choice_stands_while_older_ones_are_shown_and_is_told_once(window):
    straight = window.get_by_role("radio", name="a straight line")
    straight.check()
    for _ in range(8):
        assert straight.is_checked()
        window.wait_for_timeout(60)
    expect(straight).to_be_checked()
    assert window.told() == [["bend", "straight"]]


def test_a_choice_that_is_refused_goes_back(window):
    window.get_by_role("radio", name="a wave").check()
    expect(window.get_by_role("radio", name="an arc")).to_be_checked()
    expect(window.get_by_role("radio", name="a wave")).not_to_be_checked()
    window.get_by_role("radio", name="a straight line").check()
    window.wait_for_timeout(600)
    expect(window.get_by_role("radio", name="a straight line")).to_be_checked()
    assert window.told() == [["bend", "refused"], ["bend", "straight"]]


def test_a_word_that_is_ticked_stands_while_it_is_shown_as_before(window):
    tick = window.get_by_role("checkbox", name="old-style figures")
    tick.check()
    for _ in range(8):
        assert tick.is_checked()
        window.wait_for_timeout(60)
    tick.uncheck()
    window.wait_for_timeout(600)
    expect(tick).not_to_be_checked()
    assert window.told() == [["tick", True], ["tick", False]]


def test_two_quick_presses_of_one_word_end_as_the_hand_left_it(window):
    tick = window.get_by_role("checkbox", name="old-style figures")
    tick.check()
    tick.uncheck()
    window.wait_for_timeout(900)
    expect(tick).not_to_be_checked()
    assert window.told() == [["tick", True], ["tick", False]]
