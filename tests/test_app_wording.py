"""What the pages say of a fault in a job: its place in words, for somebody who does not see the job's file."""

from __future__ import annotations

import pytest

from stopcut.app.wording import fault_on_screen
from stopcut.errors import Fault


@pytest.mark.parametrize(
    ("key", "place"),
    [
        ("line[2].words", "Line 2: nothing is"),
        ("line[3].shifts[2].by", "Line 3, shifts 2, by: nothing is"),
        ("board.cap_height", "Board, cap height: nothing is"),
        ("title", "Title: nothing is"),
        ("words", "Nothing is"),
        ("", "Nothing is"),
    ],
)
def test_a_fault_is_said_with_its_place_in_words_and_without_the_files_key_and_line(key: str, place: str) -> None:
    assert fault_on_screen(Fault(key, 39, "nothing is there", "write something")) == f"{place} there; write something"
