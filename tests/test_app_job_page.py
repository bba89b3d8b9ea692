"""The workshop as a carver uses it, in a real Chromium: words, letters pushed, undo, two windows, a restart."""

from __future__ import annotations

import re

import pytest
from job_pages import gap_words, go_to, letter, line_field, middle, new_job
from playwright.sync_api import Page, expect
from workshop import Forked

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def lit():
    return True


def drag(page: Page, thing, dx: float) -> None:
    """Push a letter by its left stem."""
    box = thing.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + dx / 2, y, steps=4)
    page.mouse.move(x + dx, y, steps=4)
    page.mouse.up()


def test_words_written_stand_on_the_board_at_once_and_are_kept(page, workshop):
    new_job(page, workshop)
    line_field(page).fill("PLOT 7")
    letter(page, 5, "PLOT 7")
    expect(page.locator(".state")).to_contain_text("saved")
    page.reload()
    letter(page, 5, "PLOT 7")
    expect(line_field(page)).to_have_value("PLOT 7")


def test_a_letter_dragged_on_the_board_stays_where_it_was_put(page, workshop):
    new_job(page, workshop)
    go_to(page, "Setting out")
    third = letter(page, 3)
    was = middle(third)
    drag(page, third, 12)
    expect(page.locator(".ledge .by-hand").first).to_contain_text("by hand +")
    assert middle(letter(page, 3))[0] - was[0] == pytest.approx(12, abs=1)
    page.reload()
    assert middle(letter(page, 3))[0] - was[0] == pytest.approx(12, abs=1)


def test_arrow_keys_move_the_chosen_letter_and_undo_takes_it_back(page, workshop):
    new_job(page, workshop)
    go_to(page, "Setting out")
    letter(page, 3).click()
    expect(page.locator(".ledge .large").first).to_contain_text("worked out")
    before = gap_words(page)
    page.keyboard.press("Shift+ArrowRight")
    expect(page.locator(".ledge .by-hand").first).to_contain_text("by hand +1")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".ledge .by-hand").first).to_have_text("")
    assert gap_words(page) == before
    page.get_by_role("button", name="Redo").click()
    expect(page.locator(".ledge .by-hand").first).to_contain_text("by hand +1")


def test_two_windows_on_one_job_see_each_others_edits_and_each_undoes_its_own(page, workshop):
    address = new_job(page, workshop)
    other = page.context.new_page()
    other.goto(f"{address}/brief")
    letter(other, 3)
    line_field(page).fill("MARROW LANES")
    expect(line_field(other)).to_have_value("MARROW LANES")
    other.get_by_label("Title").fill("Gate")
    other.get_by_label("Title").press("Enter")
    expect(page.locator("h1")).to_have_text("Gate")
    page.get_by_role("button", name="Undo").click()
    expect(line_field(page)).to_have_value("MARROW LANE")
    expect(page.locator("h1")).to_have_text("Gate")


def test_undo_survives_the_end_of_the_program(page, tmp_path, starts):
    own = Forked(tmp_path, starts).start()
    try:
        new_job(page, own)
        line_field(page).fill("PLOT 7")
        letter(page, 5, "PLOT 7")
        own.kill()
        page.wait_for_function(
            "getComputedStyle(document.querySelector('.head .state'), '::after').content.includes('nothing is saved')"
        )
        with page.expect_navigation():  # the page finds the program again by itself
            own.start()
        letter(page, 5, "PLOT 7")
        page.get_by_role("button", name="Undo").click()
        expect(line_field(page)).to_have_value("MARROW LANE")
    finally:
        page.goto("about:blank")  # what it still asks for at the end would be called wrong
        own.stop()


def test_a_measure_that_cannot_be_read_is_said_under_its_field_and_changes_nothing(page, workshop):
    new_job(page, workshop)
    page.get_by_label("Thickness").fill("28 stone")
    page.get_by_label("Thickness").press("Enter")
    expect(page.get_by_role("alert").filter(has_text="28 stone")).to_be_visible()
    page.reload()
    letter(page, 3)
    expect(page.get_by_label("Thickness")).not_to_have_value("28 stone")


def test_the_groove_is_cut_through_where_one_points(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Groove")
    page.mouse.move(*middle(letter(page, 1)))
    expect(page.get_by_role("img", name="Section through the groove")).to_be_visible()
    expect(page.locator(".figures").first).to_contain_text("Wall from the face")
    expect(page.locator(".figures").first).to_contain_text("60°")


def test_every_page_of_the_sheets_is_shown_before_it_is_printed(page, workshop):
    new_job(page, workshop)
    go_to(page, "Sheets")
    first = page.get_by_role("img", name=re.compile("Pattern, page 1 of"))
    expect(first).to_be_visible()
    assert first.evaluate("async image => { await image.decode(); return image.naturalWidth }") > 500
    with page.expect_download() as taken:
        page.get_by_role("link", name="All of them").click()
    assert taken.value.path().read_bytes().startswith(b"PK")


def test_the_whole_job_can_be_seen_on_a_phone(page, workshop):
    page.set_viewport_size({"width": 360, "height": 740})
    new_job(page, workshop)
    for section in ("Brief", "Setting out", "Groove", "Sheets"):
        go_to(page, section)
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, section
