"""Sheets: pages shown before they are printed, files by revision, and drawing that can be stopped."""

from __future__ import annotations

import io
import re
import zipfile

import pypdfium2
import pytest
from job_pages import go_to, letter, new_job
from playwright.sync_api import expect
from workshop import fetched

from stopcut.app.drawn_sheets import KINDS, MISSING, DrawnSheets, drawn
from stopcut.app.open_jobs import OpenJobs, Stopped
from stopcut.errors import CarverError
from stopcut.sheets.previews import page_count as pages
from stopcut.store import open_store


@pytest.fixture
def sheets(tmp_path, job_text):
    """The sheets of one job in a store of its own, and the job's name."""
    with open_store(f"sqlite:///{tmp_path / 'own.db'}") as store:
        jobs = OpenJobs(store)
        yield DrawnSheets(jobs), store.new(job_text, "w").id
        jobs.close()


# Without a browser.


def test_the_whole_board_is_one_page_and_the_test_piece_is_smaller_than_the_board(job_text):
    assert pages(drawn(job_text, "pattern_whole.pdf")) == 1
    assert pages(drawn(job_text, "testpiece.pdf")) <= pages(drawn(job_text, "pattern.pdf"))


def test_exercises_in_the_job_s_face_are_offered_to_practise(job_text):
    pdf = drawn(job_text, "practice.pdf")
    assert 2 <= pages(pdf) <= 4
    first = " ".join(pypdfium2.PdfDocument(io.BytesIO(pdf))[0].get_textpage().get_text_range().split())
    assert "Five uprights" in first
    assert "both hands behind" in first


def test_a_file_of_a_revision_stays_that_revisions(sheets, job_text):
    files, job = sheets
    before = files.file(job, 1, "job.toml")
    assert before == job_text.encode()


def test_a_drawing_that_nobody_waits_for_ends_at_its_next_step_and_is_drawn_by_who_asks_next(sheets):
    files, job = sheets
    told = []

    def stale(doing: str, done: float) -> None:
        told.append(doing)
        raise Stopped

    with pytest.raises(Stopped):
        files.file(job, 1, "pattern.pdf", progress=stale)
    assert told
    assert pages(files.file(job, 1, "pattern.pdf")) >= 1


def test_all_files_come_together_and_what_could_not_be_drawn_is_named(sheets):
    files, job = sheets
    with zipfile.ZipFile(io.BytesIO(files.all_of(job, 1))) as archive:
        assert set(archive.namelist()) == set(KINDS)
    with zipfile.ZipFile(io.BytesIO(files.all_of(job, 1, "Foolscap"))) as archive:
        assert MISSING in archive.namelist()
        assert "Pattern: " in archive.read(MISSING).decode()
        assert "job.toml" in archive.namelist()


def test_a_job_that_is_not_there_has_no_archive(sheets):
    with pytest.raises(CarverError):
        sheets[0].all_of("nothing", 1)


# In the browser.


@pytest.mark.browser
def test_pages_of_every_sheet_are_shown_and_others_on_request(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Sheets")
    for called in ("Pattern", "Bench cards"):
        expect(page.get_by_role("img", name=re.compile(f"^{called}, page 1 of")).first).to_be_visible()
    page.get_by_role("button", name="Show the pages: Test piece").click()
    expect(page.get_by_role("img", name=re.compile("^Test piece, page 1 of"))).to_be_visible()
    page.get_by_role("radio", name="A3").check()
    expect(page.get_by_role("img", name=re.compile("^Pattern, page 1 of"))).to_have_attribute(
        "src", re.compile("paper=A3")
    )


@pytest.mark.browser
def test_a_link_to_the_sheets_of_an_old_revision_still_gives_that_revision(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Sheets")
    before = page.get_by_role("link", name="Job file").get_attribute("href")
    go_to(page, "Brief")
    page.get_by_role("textbox", name="Line 1", exact=True).fill("IO")
    letter(page, 2, "IO")
    assert 'words = "I"' in fetched(page, workshop.url + before)
    go_to(page, "Sheets")
    expect(page.get_by_role("link", name="Job file")).not_to_have_attribute("href", before)


@pytest.mark.browser
def test_drawing_is_stopped_and_goes_on(page, workshop):
    new_job(page, workshop, "MARROW LANE ALLOTMENT SOCIETY\nPLOTHOLDERS AND FRIENDS")
    (held := workshop.home / "held").touch()
    go_to(page, "Sheets")
    page.get_by_role("button", name="Stop", exact=True).last.click()
    expect(page.get_by_role("status").filter(has_text="Stopped")).to_be_visible()
    held.unlink()
    page.get_by_role("button", name="Go on").last.click()
    expect(page.get_by_role("img", name=re.compile("^Bench cards, page 1 of")).first).to_be_visible()


@pytest.mark.browser
def test_what_a_paper_cannot_show_is_said_where_its_pages_would_be(page, workshop):
    new_job(page, workshop, "I")
    go_to(page, "Setting out")
    height = page.get_by_role("textbox", name="Cap height", exact=True)
    height.fill("450 mm")
    height.press("Enter")
    expect(page.locator(".figures").last).to_contain_text("450 mm")
    go_to(page, "Sheets")
    page.get_by_role("button", name="Show the pages: Strokes to practise").click()
    expect(page.get_by_role("alert").filter(has_text="does not fit A4")).to_be_visible()
