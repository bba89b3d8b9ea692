"""Reading the words before they are cut: all remarks together, in reading order."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from stopcut.job.against_message import against_message
from stopcut.job.misprints import misprints
from stopcut.job.new import demo_job_text
from stopcut.job.proof import proof
from stopcut.job.read import parse_job

MESSAGE = """Good morning,
for the gate we should like "Marrow Lane Allotment Society" and under it "it's our ground since 1921".
Kind regards"""


def test_a_board_is_read_against_its_message_and_for_itself() -> None:
    lines = ["MARROW LANE", "ALLOTMENT SOCIETV", "IT’S OUR OUR  GROUND", "SINCE 192l"]
    found = [
        (remark.kind, remark.line, lines[remark.line - 1][remark.start : remark.end])
        for remark in proof(MESSAGE, lines)
    ]
    assert found == [
        ("differs", 2, "SOCIETV"),
        ("added", 3, "OUR"),
        ("doubled", 3, "OUR"),
        ("spaces", 3, "  "),
        ("differs", 4, "192l"),
        ("figures", 4, "l"),
    ]


def test_the_demos_words_pass_both_ways() -> None:
    lines = [line.words for line in parse_job(demo_job_text()).lines]
    assert proof("", lines) == ()
    assert proof("Please carve: " + "\n".join(lines).title(), lines) == ()


@given(message=st.text(max_size=40), lines=st.lists(st.text(max_size=20), max_size=3))
def test_no_remark_is_lost_and_all_are_in_reading_order(message: str, lines: list[str]) -> None:
    found = proof(message, lines)
    assert sorted(map(repr, found)) == sorted(map(repr, (*against_message(message, lines), *misprints(lines))))
    places = [(remark.line, remark.start) for remark in found]
    assert places == sorted(places)
