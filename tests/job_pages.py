"""A job's page as tests use it: opened, looked at, taken from section to section."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect
from workshop import Workshop, fetched, soon

from stopcut.job.new import new_job_text
from stopcut.store import open_store


def kept_job(workshop: Workshop, words: str) -> str:
    """The address, without a section, of a job of these lines that is put in the store.

    Its text is the one that "New job" makes, of which test_app_pages and others see to the pressing.
    """
    with open_store(f"sqlite:///{workshop.home / 'workshop.db'}") as store:
        job = store.new(new_job_text(words=words.splitlines(), name="job.toml"), "another window")
    return f"{workshop.url}/job/{job.id}"


def new_job(page: Page, workshop: Workshop, words: str = "MARROW LANE") -> str:
    """The address, without a section, of a new job; the page is on its brief then."""
    address = kept_job(workshop, words)
    page.goto(f"{address}/brief")
    letter(page, 1)
    return address


def letter(page: Page, index: int, line: str = ""):
    """A letter on the board."""
    found = page.get_by_role("option", name=re.compile(rf"letter {index} of {line}")).first
    expect(found).to_be_attached()
    return found


def line_field(page: Page):
    return page.get_by_role("textbox", name="Line 1", exact=True)


def middle(thing) -> tuple[float, float]:
    box = thing.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def go_to(page: Page, section: str) -> None:
    page.get_by_role("navigation", name="Sections").get_by_role("link", name=section).click()
    expect(page.get_by_role("link", name=section)).to_have_attribute("aria-current", "page")


def gap_words(page: Page) -> str:
    return page.locator(".ledge .large").first.inner_text()


def job_file(page: Page) -> str:
    return fetched(page, page.url.rsplit("/", 1)[0] + "/job.toml")


def written(page: Page, *said: str) -> str:
    """The job's file once it says all of this."""
    soon(lambda: all(one in job_file(page) for one in said), f"the job's file does not say {said}", page)
    return job_file(page)
