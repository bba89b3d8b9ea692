"""What stands on a ledge, as tests read it."""

from __future__ import annotations

import re

from workshop import fetched, soon


def job_text(page) -> str:
    """The job's text as the program hands it out."""
    return fetched(page, f"{page.url.rsplit('/', 1)[0]}/job.toml")


def eventually(page, found) -> None:
    """Wait until the job's text holds something."""
    soon(lambda: re.search(found, job_text(page)), f"{found} is not in the job's text", page)


def field(page, label: str, value: str) -> None:
    """Write a field and leave it."""
    found = page.get_by_role("textbox", name=label, exact=True)
    found.fill(value)
    found.press("Enter")
