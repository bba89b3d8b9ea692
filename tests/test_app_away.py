"""The program away: what cannot be kept cannot be touched, what is kept goes on, and nothing says the contrary."""

from __future__ import annotations

import re

import pytest
from job_pages import go_to, letter, middle, new_job
from playwright.sync_api import expect
from workshop import PATIENCE_MS, Forked

pytestmark = pytest.mark.browser

NOTHING = "The program does not answer: nothing is saved."


@pytest.fixture
def own(tmp_path, starts):
    """A workshop that is killed."""
    workshop = Forked(tmp_path, starts).start()
    yield workshop
    workshop.stop()


@pytest.fixture
def window(browser):
    """A window that minds nothing: the program behind it goes away."""
    context = browser.new_context(viewport={"width": 1000, "height": 1100}, reduced_motion="reduce")
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    yield page
    context.close()


def stands(letter) -> str:
    """Where a letter is shown."""
    return letter.locator("path").get_attribute("transform")


def says(page, text):
    """What the head says in the room of what was saved."""
    expect(page.locator(".head .state")).to_have_attribute("data-away", text)
    shown = page.locator(".head .state").evaluate("one => getComputedStyle(one, '::after').content")
    assert shown == f'"{text}"'


def test_a_board_whose_program_is_away_is_locked_and_says_so_until_it_is_back(window, own):
    new_job(window, own, "PLOT")
    go_to(window, "Setting out")
    moved = letter(window, 2)
    moved.click()
    before = stands(moved)
    own.kill()
    expect(window.locator(".locked-words:visible")).to_have_count(1)
    says(window, NOTHING)
    expect(window.locator("#popup")).to_be_hidden()
    x, y = middle(moved)
    window.mouse.move(x, y)
    window.mouse.down()
    window.mouse.move(x + 40, y, steps=4)
    window.mouse.up()
    window.locator(".letter-place").first.press("ArrowRight")
    assert stands(moved) == before, "a move that nobody keeps is shown"
    window.get_by_role("link", name="Sheets").click()
    says(window, "Sheets waits until the program answers.")
    expect(window).to_have_url(re.compile("setting-out$"))
    own.start()
    expect(window.locator("html[data-away]")).to_have_count(0)
    expect(window.locator(".locked-words:visible")).to_have_count(0)
    letter(window, 2).click()
    window.locator(".letter-place").first.press("Shift+ArrowRight")
    expect(window.get_by_role("button", name="Undo")).to_be_enabled()


def test_a_letter_under_the_finger_when_the_network_goes_is_back_where_it_was_kept(window, own):
    new_job(window, own, "PLOT")
    go_to(window, "Setting out")
    moved = letter(window, 2)
    before, high = stands(moved), moved.bounding_box()["y"]
    x, y = middle(moved)
    window.mouse.move(x, y)
    window.mouse.down()
    window.mouse.move(x + 40, y, steps=4)
    expect(window.locator(".stopcut-board.dragging")).to_be_attached()
    window.evaluate("dispatchEvent(new Event('offline'))")
    expect(window.locator(".stopcut-board.locked").first).to_be_attached()
    assert stands(moved) == before
    assert abs(moved.bounding_box()["y"] - high) < 3, "what is said has moved the board"
    window.mouse.up()
    window.evaluate("dispatchEvent(new Event('online'))")
    expect(window.locator(".stopcut-board.locked")).to_have_count(0)
    window.mouse.move(x, y)
    window.mouse.down()
    window.mouse.move(x + 40, y, steps=4)
    window.mouse.up()
    expect(window.get_by_role("button", name="Undo")).to_be_enabled()
    expect(moved.locator("path")).not_to_have_attribute("transform", before)


def test_the_bench_goes_on_without_the_program_and_nothing_moves_or_says_the_contrary(window, own):
    new_job(window, own, "I")
    go_to(window, "Bench")
    done = window.get_by_role("button", name="Done", exact=True)
    expect(done).to_be_visible()
    there = done.bounding_box()
    own.kill()
    expect(window.get_by_text("Ticks are kept here until it is back.", exact=False)).to_be_visible()
    done.click()
    expect(window.get_by_text("Network away. Kept here, 1 not sent.", exact=False)).to_be_visible()
    says(window, "Network away")
    assert done.bounding_box() == there
    expect(window.locator("#popup")).to_be_hidden()
    window.get_by_role("link", name="Brief").click()
    says(window, "Brief waits for the network")
    assert done.bounding_box() == there
    own.start()
    expect(window.get_by_text("All sent", exact=False)).to_be_visible()
    expect(window.locator("html[data-away]")).to_have_count(0)
