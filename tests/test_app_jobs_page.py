"""The page with all jobs in a real browser: begun, called otherwise, copied, put away, brought in and taken out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from workshop import Forked

pytestmark = pytest.mark.browser


@pytest.fixture
def own(tmp_path: Path, starts):
    """A workshop without a job."""
    started = Forked(tmp_path, starts).start()
    yield started
    started.stop()


def jobs_at_hand(page: Page):
    return page.locator(".job-list > li:has(h2)")


def bring(page: Page, name: str, data: bytes) -> None:
    """Choose a file for the one word that opens the chooser."""
    page.get_by_label("Bring in a job file").set_input_files(
        {"name": name, "mimeType": "application/toml", "buffer": data}
    )


def taken_out(page: Page, link: str) -> bytes:
    with page.expect_download() as taken:
        page.get_by_role("link", name=link).click()
    return taken.value.path().read_bytes()


def test_an_empty_workshop_begins_with_the_gate_board_in_one_press(own, page):
    page.goto(own.url)
    page.get_by_role("button", name="Begin with the gate board").click()
    page.wait_for_url("**/brief")
    expect(page.get_by_role("option", name=re.compile("letter 1 of MARROW LANE"))).to_be_attached()
    page.goto(own.url)
    expect(page.get_by_role("img", name="The board: Marrow Lane gate board")).to_be_visible()
    expect(page.get_by_role("button", name="Begin with the gate board")).to_have_count(0)


def test_each_line_that_is_written_is_a_line_of_the_board_in_the_units_chosen(page, workshop):
    page.goto(workshop.url)
    page.get_by_label("Words of a new job").fill("SEEDS\n\nPlease close the door\n")
    page.get_by_label("inches", exact=True).check()
    page.get_by_role("button", name="New job").click()
    page.wait_for_url("**/brief")
    expect(page.get_by_role("textbox", name="Line 2", exact=True)).to_have_value("Please close the door")
    expect(page.get_by_role("textbox", name="Line 3", exact=True)).to_have_count(0)
    expect(page.get_by_label("Width", exact=True)).to_have_value("18 in")


def test_no_job_is_begun_without_words(page, workshop):
    page.goto(workshop.url)
    was = jobs_at_hand(page).count()
    page.get_by_role("button", name="New job").click()
    expect(page.get_by_role("alert").filter(has_text="Write the words")).to_be_visible()
    page.reload()
    expect(jobs_at_hand(page)).to_have_count(was)


def test_a_title_is_changed_in_its_place_and_a_wrong_one_is_told_beside_it(own, page):
    page.goto(own.url)
    page.get_by_role("button", name="Begin with the gate board").click()
    page.wait_for_url("**/brief")
    page.goto(own.url)
    page.get_by_role("button", name="Rename Marrow Lane gate board").click()
    title = page.get_by_label("Title of Marrow Lane gate board")
    expect(title).to_be_focused()
    title.fill("x" * 300)
    title.press("Enter")
    expect(jobs_at_hand(page).get_by_role("alert").filter(has_text="200")).to_be_visible()
    title.fill("North gate")
    title.press("Enter")
    expect(page.get_by_role("link", name="North gate", exact=True)).to_be_visible()
    page.reload()
    expect(page.get_by_role("link", name="North gate", exact=True)).to_be_visible()


def test_a_copy_stands_beside_its_job_and_what_is_put_away_can_be_taken_out_again(own, page):
    page.goto(own.url)
    page.get_by_role("button", name="Begin with the gate board").click()
    page.wait_for_url("**/brief")
    page.goto(own.url)
    page.get_by_role("button", name="Duplicate Marrow Lane gate board").click()
    expect(jobs_at_hand(page)).to_have_count(2)
    page.get_by_role("button", name="Archive: Marrow Lane gate board, copy").click()
    expect(jobs_at_hand(page)).to_have_count(1)
    page.get_by_label("archive", exact=True).check()
    page.get_by_role("button", name="Take out of the archive: Marrow Lane gate board, copy").click()
    expect(page.get_by_text("Nothing is in the archive.")).to_be_visible()
    page.get_by_label("at hand", exact=True).check()
    expect(jobs_at_hand(page)).to_have_count(2)


def test_a_job_file_goes_in_and_out_byte_for_byte(page, workshop, job_text):
    sent = f"# the plot by the gate – ask for its number\r\n{job_text}# the end\r\n".encode()
    page.goto(workshop.url)
    bring(page, "plot.toml", sent)
    page.wait_for_url("**/brief")
    page.goto(workshop.url)
    assert taken_out(page, "Job file of Plot 7") == sent


def test_a_wrong_job_file_is_answered_with_every_fault_and_nothing_of_it_is_kept(page, workshop, job_text):
    page.goto(workshop.url)
    was = jobs_at_hand(page).count()
    bring(page, "plot.toml", job_text.replace("400", '"4 stone"').replace("weight = 500", "weight = 5000").encode())
    expect(page.get_by_role("alert").filter(has_text="plot.toml is wrong, and nothing of it was kept")).to_be_visible()
    told = page.get_by_role("alert")
    expect(told.get_by_role("listitem").filter(has_text="board.width, line 5")).to_be_visible()
    expect(told.get_by_role("listitem").filter(has_text="lettering.weight, line 13")).to_be_visible()
    page.reload()
    expect(jobs_at_hand(page)).to_have_count(was)


def test_a_file_that_is_no_text_or_too_large_is_refused_with_its_reason(page, workshop):
    page.goto(workshop.url)
    bring(page, "leaf.toml", b"\xff\xfe\x00\x01")
    expect(page.get_by_role("alert").filter(has_text="leaf.toml is no job file: it is not text.")).to_be_visible()
    bring(page, "long.toml", b"#" * 200_001)
    expect(page.get_by_role("alert").filter(has_text="at most 200 kB")).to_be_visible()


def test_a_job_file_may_be_dropped_beside_the_word(page, workshop, job_text):
    page.goto(workshop.url)
    expect(page.get_by_text("or drop it here")).to_be_visible()
    carried = page.evaluate_handle(
        """text => { const held = new DataTransfer();
            held.items.add(new File([text], "plot.toml", {type: "application/toml"})); return held }""",
        job_text,
    )
    page.locator(".bring").dispatch_event("drop", {"dataTransfer": carried})
    page.wait_for_url("**/brief")
    expect(page.locator("h1")).to_have_text("Plot 7")


def test_a_store_that_was_damaged_is_told_on_the_page(page, tmp_path, starts):
    (tmp_path / "workshop.db").write_bytes(b"SQLite format 3\0" + b"not a store any more" * 400)
    own = Forked(tmp_path, starts).start()
    try:
        page.goto(own.url)
        expect(page.get_by_role("status").filter(has_text="is damaged")).to_contain_text("set aside")
    finally:
        page.goto("about:blank")  # what it still asks for at the end would be called wrong
        own.stop()


def test_all_jobs_fit_a_phone_and_are_reached_by_keyboard(own, page):
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(own.url)
    page.get_by_role("button", name="Begin with the gate board").click()
    page.wait_for_url("**/brief")
    page.goto(own.url)
    expect(jobs_at_hand(page)).to_have_count(1)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    reached = []
    for _ in range(30):  # a day is four stops of them
        page.keyboard.press("Tab")
        reached.append(
            page.evaluate("document.activeElement.getAttribute('aria-label') || document.activeElement.textContent")
        )
    for wanted in ("Class lists", "Tool roll", "New job", "Bring in a job file", "Rename Marrow Lane gate board"):
        assert wanted in reached, reached
