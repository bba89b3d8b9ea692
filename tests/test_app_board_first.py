"""The board first: in sight with the fields that change it, at most 45 % of the window, at three sizes."""

from __future__ import annotations

import re

import pytest
from job_pages import go_to, kept_job, letter, new_job
from playwright.sync_api import expect

from stopcut.job.edits import At, SetKey
from stopcut.store import open_store

pytestmark = pytest.mark.browser

DESK, TABLET, PHONE = (1366, 768), (820, 1180), (390, 844)
MOST = 0.455  # of the window's height: 45 %, and a rounding of pixels

WHERE = """() => {
  const place = document.querySelector(".board-place").getBoundingClientRect();
  return { top: place.top, bottom: place.bottom, share: place.height / innerHeight,
    beside: "beside" in document.querySelector(".work").dataset };
}"""


def sized(page, size):
    page.set_viewport_size({"width": size[0], "height": size[1]})


@pytest.mark.parametrize("size", [DESK, TABLET, PHONE])
def test_the_board_keeps_under_half_the_window_and_stays_while_fields_scroll(page, workshop, size):
    sized(page, size)
    new_job(page, workshop, "PLOT\nSEVEN")
    for section in ("Setting out", "Groove"):
        go_to(page, section)
        assert page.evaluate(WHERE)["share"] <= MOST
    page.mouse.move(size[0] / 2, size[1] - 40)
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    page.wait_for_function("scrollY + innerHeight >= document.documentElement.scrollHeight - 2")
    where = page.evaluate(WHERE)
    assert where["top"] > -1, "the board has gone out of sight"
    assert where["bottom"] < size[1] * 0.62


def test_a_tall_board_stands_beside_its_fields_on_a_desk_and_over_them_on_a_tablet(page, workshop):
    sized(page, DESK)
    address = kept_job(workshop, "PLOT\nSEVEN")
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        store.edit(address.rsplit("/", 1)[1], SetKey(At("board"), "height", 700), "another window")
    page.goto(f"{address}/setting-out")
    letter(page, 1)
    page.wait_for_function("'beside' in document.querySelector('.work').dataset")
    board, ledge = page.locator(".board-place").bounding_box(), page.locator(".ledge").bounding_box()
    assert board["x"] + board["width"] <= ledge["x"] + 1
    assert abs(board["y"] - ledge["y"]) < 3
    assert board["y"] + board["height"] <= DESK[1]
    sized(page, TABLET)
    page.wait_for_function("!('beside' in document.querySelector('.work').dataset)")
    assert page.evaluate(WHERE)["share"] <= MOST


def test_a_picture_that_has_not_been_told_what_it_shows_does_not_set_the_board_about(page, workshop):
    held = []

    def between(here):
        there = here.connect_to_server()
        here.on_message(there.send)
        there.on_message(lambda said: held.append(said) if "The same words set otherwise" in said else here.send(said))

    page.route_web_socket("**/socket.io/**", between)
    sized(page, DESK)
    address = kept_job(workshop, "PLOT\nSEVEN")
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        store.edit(address.rsplit("/", 1)[1], SetKey(At("board"), "height", 700), "another window")
    page.goto(f"{address}/setting-out")
    letter(page, 1)
    page.wait_for_function("'beside' in document.querySelector('.work').dataset")
    sized(page, TABLET)
    page.wait_for_function("!('beside' in document.querySelector('.work').dataset)")
    assert held, "the picture was told all the same"


@pytest.mark.parametrize("size", [DESK, TABLET, PHONE])
def test_a_cut_pressed_on_the_board_shows_its_section_without_scrolling(page, workshop, size):
    sized(page, size)
    new_job(page, workshop, "I")
    go_to(page, "Groove")
    expect(page.locator(".findings li").first).to_be_visible()
    page.locator(".stopcut-board .letter").first.click(force=True)
    picture = page.get_by_role("img", name="Section through the groove")
    expect(picture).to_be_in_viewport(ratio=0.9)
    under = page.evaluate(WHERE)
    if not under["beside"]:
        assert picture.bounding_box()["y"] >= under["bottom"] - 1, "the board lies over the section"


def test_nearer_farther_and_the_whole_board_have_presses(page, workshop):
    new_job(page, workshop, "PLOT")
    board = page.locator(".stopcut-board").first
    page.get_by_role("button", name="Nearer").click()
    expect(board).to_have_attribute("data-zoom", "1.60")
    page.get_by_role("button", name="Nearer").click()
    expect(board).to_have_attribute("data-zoom", "2.56")
    page.get_by_role("button", name="Farther").click()
    expect(board).to_have_attribute("data-zoom", "1.60")
    page.get_by_role("button", name="Whole board").last.click()
    expect(board).to_have_attribute("data-zoom", "1.00")


def test_all_sections_of_a_phone_are_in_sight_at_once(page, workshop):
    sized(page, PHONE)
    new_job(page, workshop, "PLOT")
    for name in ("Brief", "Setting out", "Groove", "Bench", "Sheets"):
        link = page.get_by_role("link", name=re.compile(f"^{name}"))
        box = link.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= PHONE[0]
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]
