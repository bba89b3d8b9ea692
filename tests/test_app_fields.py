"""Fields keep what was written in them, however slowly it is taken and whatever the ledge shows meanwhile."""

from __future__ import annotations

import pytest
from one_ledge import ledge, window
from playwright.sync_api import expect

__all__ = ["ledge", "window"]

pytestmark = pytest.mark.browser


def test_what_was_entered_is_told_once_and_stands_while_older_values_are_shown(window):
    window.radius.fill("900mm")
    window.radius.press("Enter")
    window.tells(["radius", "900mm"])
    window.shows()
    expect(window.radius).to_have_value("900mm")
    window.let()
    expect(window.radius).to_have_value("900 mm")  # as the program writes it
    window.radius.press("Tab")
    window.rests()
    assert window.told() == [["radius", "900mm"]]


def test_a_field_that_is_left_while_what_was_entered_is_being_taken_tells_it_no_second_time(window):
    window.radius.fill("900 mm")
    window.radius.press("Enter")
    window.radius.press("Tab")
    window.tells(["radius", "900 mm"])
    window.let()
    window.rests()
    assert window.told() == [["radius", "900 mm"]]
    expect(window.radius).to_have_value("900 mm")


def test_a_field_that_nobody_wrote_in_tells_nothing_when_it_is_left(window):
    window.radius.focus()
    window.another()
    window.radius.blur()
    expect(window.radius).to_have_value("70 mm")
    window.rests()
    assert window.told() == []


def test_what_another_window_writes_where_somebody_is_writing_is_asked_about(window):
    window.radius.press_sequentially("9")
    window.another()
    expect(window.page.get_by_text("Another window has written “70 mm” here meanwhile.")).to_be_visible()
    expect(window.radius).not_to_have_value("70 mm")
    window.button("Take theirs").click()
    expect(window.radius).to_have_value("70 mm")
    assert window.told() == []


def test_what_was_refused_stays_to_be_mended_with_its_reason_and_escape_puts_the_old_back(window):
    reason = window.page.get_by_text("That is no length.")
    window.radius.fill("refused")
    window.radius.press("Enter")
    window.let()
    expect(reason).to_be_visible()
    expect(window.radius).to_have_value("refused")
    window.radius.press("Escape")
    expect(window.radius).to_have_value("400 mm")
    expect(reason).to_be_hidden()


def test_a_word_that_is_pressed_stays_under_the_finger_while_a_fault_above_it_goes(window):
    reason, press = window.page.get_by_text("That is no length."), window.button("Press")
    window.radius.fill("refused")
    window.radius.press("Enter")
    window.let()
    expect(reason).to_be_visible()
    window.radius.fill("900 mm")
    window.let()
    box = press.bounding_box()
    window.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] - 3)  # a line up it is past it
    window.page.mouse.down()
    window.rests()
    assert window.told() == [["radius", "refused"]]
    window.page.mouse.up()
    expect(reason).to_be_hidden()
    window.tells(["radius", "refused"], ["radius", "900 mm"], ["pressed", None])
    assert press.bounding_box()["y"] < box["y"] - 4, "nothing moved: the test has not tried anything"


def test_what_is_written_next_in_a_field_is_not_taken_for_another_windows(window):
    window.radius.fill("900mm")
    window.radius.press("Enter")
    window.tells(["radius", "900mm"])
    window.radius.fill("800 mm")
    window.shows()
    expect(window.radius).to_have_value("800 mm")
    window.let()
    window.rests()  # what came of the 900mm is shown
    assert window.page.get_by_text("Another window has written").count() == 0
    window.radius.press("Enter")
    window.tells(["radius", "900mm"], ["radius", "800 mm"])
    window.let()
    window.rests()
    assert window.told() == [["radius", "900mm"], ["radius", "800 mm"]]
    expect(window.radius).to_have_value("800 mm")
