"""Fields keep what was written in them, however slowly it is taken and whatever the ledge shows meanwhile."""

from __future__ import annotations

import httpx
import pytest
from app_process import app_process
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def ledge(tmp_path_factory):
    with app_process(tmp_path_factory.mktemp("ledge"), "ledge_pages:pages") as running:
        yield running


@pytest.fixture
def window(context, ledge):
    """The ledge, fresh, with what has been told since."""
    page = context.new_page()
    page.goto(ledge.address)
    expect(page.locator("#ready")).to_be_visible()
    page.before = len(httpx.get(f"{ledge.address}/told").json())
    page.told = lambda: httpx.get(f"{ledge.address}/told").json()[page.before :]
    yield page
    page.close()


def radius(window: Page):
    return window.get_by_role("textbox", name="Radius")


def test_what_was_entered_is_told_once_and_stands_while_older_values_are_shown(window):
    radius(window).fill("900mm")
    radius(window).press("Enter")
    window.wait_for_timeout(100)
    expect(radius(window)).to_have_value("900mm")
    expect(radius(window)).to_have_value("900 mm")  # as the program writes it
    radius(window).press("Tab")
    window.wait_for_timeout(200)
    assert window.told() == [["radius", "900mm"]]


def test_a_field_that_is_left_while_what_was_entered_is_being_taken_tells_it_no_second_time(window):
    radius(window).fill("900 mm")
    radius(window).press("Enter")
    radius(window).press("Tab")
    window.wait_for_timeout(800)
    assert window.told() == [["radius", "900 mm"]]
    expect(radius(window)).to_have_value("900 mm")


def test_a_field_that_nobody_wrote_in_tells_nothing_when_it_is_left(window):
    radius(window).focus()
    window.get_by_role("button", name="Another window").evaluate("button => button.click()")
    radius(window).blur()
    expect(radius(window)).to_have_value("70 mm")
    window.wait_for_timeout(200)
    assert window.told() == []


def test_what_another_window_writes_where_somebody_is_writing_is_asked_about(window):
    radius(window).press_sequentially("9")
    window.get_by_role("button", name="Another window").evaluate("button => button.click()")
    expect(window.get_by_text("Another window has written “70 mm” here meanwhile.")).to_be_visible()
    expect(radius(window)).not_to_have_value("70 mm")
    window.get_by_role("button", name="Take theirs").click()
    expect(radius(window)).to_have_value("70 mm")
    assert window.told() == []


def test_what_was_refused_stays_to_be_mended_with_its_reason_and_escape_puts_the_old_back(window):
    radius(window).fill("refused")
    radius(window).press("Enter")
    expect(window.get_by_text("That is no length.")).to_be_visible()
    expect(radius(window)).to_have_value("refused")
    radius(window).press("Escape")
    expect(radius(window)).to_have_value("400 mm")
    expect(window.get_by_text("That is no length.")).to_be_hidden()


def test_what_is_written_next_in_a_field_is_not_taken_for_another_windows(window):
    radius(window).fill("900mm")
    radius(window).press("Enter")
    radius(window).fill("800 mm")
    expect(radius(window)).to_have_value("800 mm")
    window.wait_for_timeout(700)  # what came of the 900mm is shown
    assert window.get_by_text("Another window has written").count() == 0
    radius(window).press("Enter")
    window.wait_for_timeout(700)
    assert window.told() == [["radius", "900mm"], ["radius", "800 mm"]]
    expect(radius(window)).to_have_value("800 mm")
