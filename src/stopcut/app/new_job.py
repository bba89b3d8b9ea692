"""A new job from one row of fields, and jobs in the order in which they are wanted: pure, for the page of all jobs."""

from __future__ import annotations

import datetime
import string
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from stopcut.app.wording import as_written, day
from stopcut.job.edit_values import At, SetKey, Written
from stopcut.job.edits import apply
from stopcut.job.new import new_job_text
from stopcut.store.values import JobEntry
from stopcut.units import Units

__all__ = ["SIZES", "begun", "by_day_wanted", "is_near", "title_of", "wanted_of", "wanted_words"]

SIZES: Final[Mapping[Units, Mapping[str, str]]] = {
    "mm": {"width": "450", "height": "180", "thickness": "22"},
    "in": {"width": "18", "height": "7", "thickness": "7/8"},
}
"""What a board is begun with, as job.new has it. Our choice: a name board of ordinary size."""

MOST_TITLE = 60
"""Characters of a title that is made from the words. Our choice: a line of the list."""
NEAR_DAYS = 2
"""A job wanted within so many days is told in red. Our choice: what is left of a week's evenings."""


def title_of(lines: Sequence[str]) -> str:
    """A title from a job's words: "MARROW LANE", "Plot 12" is "Marrow Lane Plot 12"."""
    said = " ".join(string.capwords(line) if line.isupper() else line for line in lines if line)
    return said if len(said) <= MOST_TITLE else said[:MOST_TITLE].rsplit(" ", 1)[0]


def begun(
    lines: Sequence[str], units: Units, title: str = "", board: Mapping[str, str] | None = None, wanted: str = ""
) -> str:
    """A new job's text: what was not said of title, board (width, height, thickness, wood) and day is as usual.

    Raises Refused with what is wrong, ValueError for a day that is none.
    """
    text = new_job_text(title.strip() or title_of(lines), lines, units, "job.toml")
    for key, said in (board or {}).items():
        value = as_written(said)
        if value is not None and said.strip() != SIZES[units].get(key):
            text = apply(SetKey(At("board"), key, value), text).text
    if wanted.strip():
        try:
            on = datetime.date.fromisoformat(wanted.strip())
        except ValueError:
            raise ValueError("Write the day as 2027-03-04: year, month, day.") from None
        text = apply(SetKey(At(), "wanted_by", Written(on.isoformat())), text).text
    return text


def wanted_of(text: str) -> datetime.date | None:
    """The day a job is wanted, as its text has it; None where it says none, or none that can be read."""
    try:
        found = tomllib.loads(text).get("wanted_by")
    except tomllib.TOMLDecodeError:
        return None
    return found if isinstance(found, datetime.date) and not isinstance(found, datetime.datetime) else None


def by_day_wanted(entries: Iterable[JobEntry]) -> list[tuple[JobEntry, datetime.date | None]]:
    """Jobs with the day each is wanted, the soonest first; those of no day after them, in the order they come."""
    known = [(entry, wanted_of(entry.text)) for entry in entries]
    return sorted(known, key=lambda one: (one[1] is None, one[1] or datetime.date.max))


def is_near(wanted: datetime.date, today: datetime.date) -> bool:
    """Whether a day is within NEAR_DAYS, or past."""
    return (wanted - today).days <= NEAR_DAYS


def wanted_words(wanted: datetime.date | None, today: datetime.date) -> str:
    """When a job is wanted: "wanted tomorrow", "wanted Thursday 4 March", "no day named"."""
    if wanted is None:
        return "no day named"
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}.get((wanted - today).days)
    return f"wanted {near or day(wanted)}"
