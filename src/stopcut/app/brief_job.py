"""What the parts of the brief share: the job as its text has it now, and how one value of it is set.

The brief shows the text itself, also where the board cannot be worked out from it, so that it can be mended here.
"""

from __future__ import annotations

from functools import lru_cache

from stopcut.app.job_page import JobPage
from stopcut.app.open_jobs import Standing
from stopcut.app.uploads import job_folder
from stopcut.app.wording import why_refused
from stopcut.errors import CarverError
from stopcut.job.edit_values import At, Edit, Refused, SetKey
from stopcut.job.job import Job
from stopcut.job.read import parse_job
from stopcut.written.literals import Value

__all__ = ["job_now", "make", "set_value"]


def job_now(standing: Standing) -> Job | None:
    """The job of the newest text; of the last right one where the text is no job; None before anything is known."""
    return _job_of(standing.text) or (None if standing.work is None else standing.work.job)


async def make(page: JobPage, edit: Edit, gesture: str = "") -> None:
    """Make an edit for a field. Raises ValueError with the plain reason where it is refused."""
    try:
        await page.edit_or_raise(edit, gesture)
    except Refused as refused:
        raise ValueError(why_refused(refused)) from None


async def set_value(page: JobPage, at: At, key: str, value: Value | None) -> None:
    """Set one value of the job, or take it out. Raises ValueError with the plain reason where it is refused."""
    await make(page, SetKey(at, key, value))


@lru_cache(maxsize=16)
def _job_of(text: str) -> Job | None:
    try:
        return parse_job(text, base_folder=job_folder()) if text else None
    except CarverError:
        return None
