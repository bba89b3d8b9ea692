"""A long list on the Brief in a real browser: twenty lines at once, written, moved, sorted, and gone through."""

from __future__ import annotations

import re

import pytest
from job_pages import job_file, letter, written
from playwright.sync_api import Page, expect
from workshop import Workshop, soon

from stopcut.app.brief_table import AT_ONCE
from stopcut.job.new import new_job_text
from stopcut.job.read import parse_job
from stopcut.store import open_store

pytestmark = pytest.mark.browser


def open_list(page: Page, workshop: Workshop, many: int = 46) -> None:
    """A list of names and years under a heading, opened on its Brief."""
    words = ["HONOURS", *(f"{1950 + n}\tWyn Fenn" for n in range(1, many))]
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        job = store.new(new_job_text(words=words, name="job.toml"), "another window")
    page.goto(f"{workshop.url}/job/{job.id}/brief")
    letter(page, 1)


def handle(page: Page, number: int):
    return page.get_by_role("button", name=re.compile(f"^Line {number}: choose"))


def name_of(page: Page, number: int):
    return page.get_by_role("textbox", name=f"Line {number}, after the tab")


def year_of(page: Page, number: int):
    return page.get_by_role("textbox", name=f"Line {number}, before the tab")


def years(page: Page) -> list[str]:
    return [line.words.split("\t")[0] for line in parse_job(job_file(page)).lines]


def stands(page: Page, number: int, year: str) -> None:
    """Wait until the job has a line's year there."""
    soon(lambda: years(page)[number - 1] == year, f"line {number} is not {year}", page)


def test_twenty_lines_stand_at_once_and_are_written_where_they_stand(page, workshop):
    open_list(page, workshop)
    expect(page.locator(".lines-table .table-line:visible")).to_have_count(AT_ONCE)
    expect(page.get_by_text("Lines 1 to 20 of 46")).to_be_visible()
    expect(page.get_by_role("textbox", name="Line 1", exact=True)).to_have_value("HONOURS")
    name_of(page, 5).fill("Ada Quill")
    name_of(page, 5).press("Enter")
    written(page, 'words = "1954\\tAda Quill"')
    page.get_by_role("button", name="Later lines").click()
    expect(page.get_by_text("Lines 21 to 40 of 46")).to_be_visible()
    expect(year_of(page, 21)).to_have_value("1970")
    year_of(page, 21).fill("1870")
    year_of(page, 21).press("Enter")
    written(page, 'words = "1870\\tWyn Fenn"')
    page.get_by_role("button", name="Later lines").click()
    expect(page.locator(".lines-table .table-line:visible")).to_have_count(6)
    expect(page.get_by_role("button", name="Later lines")).to_be_disabled()
    page.get_by_role("button", name="Undo").click()
    soon(lambda: "1870" not in job_file(page), "undo took nothing back", page)


def test_a_name_is_never_emptied(page, workshop):
    open_list(page, workshop, 10)
    name_of(page, 4).fill(" ")
    name_of(page, 4).press("Enter")
    expect(page.get_by_role("alert").filter(has_text="A line has words")).to_be_visible()
    assert "1953\\tWyn Fenn" in job_file(page)


def test_a_line_is_moved_by_the_arrow_keys_and_keeps_the_hand_on_it(page, workshop):
    open_list(page, workshop)
    handle(page, 20).focus()
    page.keyboard.press("ArrowDown")
    stands(page, 21, "1969")
    expect(handle(page, 21)).to_be_focused()  # on the next twenty by now
    expect(page.get_by_text("Lines 21 to 40 of 46")).to_be_visible()
    page.keyboard.press("ArrowUp")
    stands(page, 20, "1969")
    expect(handle(page, 20)).to_be_focused()


def test_a_line_is_dragged_to_where_another_stands_and_undo_takes_it_back(page, workshop):
    open_list(page, workshop)
    start, end = (handle(page, number).bounding_box() for number in (3, 9))
    page.mouse.move(start["x"] + 20, start["y"] + 10)
    page.mouse.down()
    page.mouse.move(end["x"] + 30, end["y"] + 8, steps=6)
    expect(page.locator(".lines-table .table-line.to")).to_have_count(1)
    page.mouse.up()
    stands(page, 9, "1952")
    stands(page, 3, "1953")
    expect(page.locator(".lines-table .table-line.to")).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    stands(page, 3, "1952")


def test_the_chosen_line_has_its_ways_below_the_table(page, workshop):
    open_list(page, workshop)
    handle(page, 7).click()
    page.get_by_role("button", name="Move line 7 up").click()
    stands(page, 6, "1956")
    page.get_by_role("button", name="A face, weight and case for line 7").click()
    page.get_by_label("Face of line 7").select_option(label="EB Garamond")
    written(page, 'face = "EB Garamond"')
    page.get_by_role("button", name="Take out line 7").click()
    soon(lambda: len(years(page)) == 45, "no line was taken out", page)


def test_a_few_lines_have_a_row_each(page, workshop):
    open_list(page, workshop, 8)
    expect(page.locator(".lines-table")).to_have_count(0)
    expect(page.get_by_role("textbox", name="Line 8", exact=True)).to_have_value("1957\tWyn Fenn")
