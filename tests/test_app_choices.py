"""What is chosen or ticked by hand stands until it is taken; what is refused goes back."""

from __future__ import annotations

import pytest
from one_ledge import ledge, window
from playwright.sync_api import expect

__all__ = ["ledge", "window"]

pytestmark = pytest.mark.browser


def radio(window, name):
    return window.page.get_by_role("radio", name=name)


@pytest.fixture
def tick(window):
    return window.page.get_by_role("checkbox", name="old-style figures")


def test_a_choice_stands_while_older_ones_are_shown_and_is_told_once(window):
    straight = radio(window, "a straight line")
    straight.check()
    for _ in range(4):
        window.shows()
        assert straight.is_checked()
    window.let()
    window.rests()
    assert straight.is_checked()
    assert window.told() == [["bend", "straight"]]


def test_a_choice_that_is_refused_goes_back(window):
    wave, straight = radio(window, "a wave"), radio(window, "a straight line")
    wave.check()
    window.tells(["bend", "refused"])
    window.let()
    expect(radio(window, "an arc")).to_be_checked()
    expect(wave).not_to_be_checked()
    straight.check()
    window.tells(["bend", "refused"], ["bend", "straight"])
    window.let()
    window.rests()
    assert straight.is_checked()
    assert window.told() == [["bend", "refused"], ["bend", "straight"]]


def test_a_word_that_is_ticked_stands_while_it_is_shown_as_before(window, tick):
    tick.check()
    for _ in range(4):
        window.shows()
        assert tick.is_checked()
    window.let()
    tick.uncheck()
    window.tells(["tick", True], ["tick", False])
    window.let()
    window.rests()
    assert not tick.is_checked()
    assert window.told() == [["tick", True], ["tick", False]]


def test_two_quick_presses_of_one_word_end_as_the_hand_left_it(window, tick):
    tick.check()
    tick.uncheck()
    window.tells(["tick", True], ["tick", False])
    window.let()
    window.shows()
    assert not tick.is_checked()
    window.let()
    window.rests()
    assert not tick.is_checked()
    assert window.told() == [["tick", True], ["tick", False]]


@pytest.mark.parametrize(
    ("name", "handed_on"), [("a straight line", ["bend", "straight"]), ("old-style figures", ["tick", True])]
)
def test_what_is_pressed_is_chosen_though_the_page_moves_it_meanwhile(window, name, handed_on):
    page = window.page
    box = page.get_by_text(name).bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.evaluate("document.body.prepend(Object.assign(document.createElement('p'), { style: 'height: 90px' }))")
    assert page.get_by_text(name).bounding_box()["y"] > box["y"] + 60
    page.mouse.up()
    window.tells(handed_on)
    window.let()
