"""Causes: one thing that holds of many lines is told once, and nothing of it is lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.errors import Across, Finding, Severity, Where
from stopcut.groove.causes import by_cause
from stopcut.job.read import parse_job
from stopcut.sheets.cover import paged
from stopcut.sheets.measured import measured
from stopcut.sheets.notes import finding_notes
from stopcut.work import Work

HONOURS = """\
format = 1
title = "Hedgerow honours"
[board]
width = 700
height = 1100
thickness = 25
wood = "white oak"
[lettering]
face = "Cinzel"
cap_height = 15
"""


@pytest.fixture(scope="module")
def honours():
    lines = [f'[[line]]\nwords = "AMOS {year}"\n' for year in range(1998, 2018)]
    return Work(parse_job(HONOURS + "".join(lines)))


def thin(line, mm, letters=(1,), code="thin-stroke", severity=Severity.LOOK, apart=""):
    across = Across(
        f"{mm} mm is the thinnest stroke {{where}}.", -mm, tuple((line, n) for n in letters), ("a",), 2.5, apart
    )
    where = Where(line or None, letters[0], float(mm), float(line))
    return Finding(code, severity, f"{mm} mm is thin in line {line}.", "Widen.", where, "Press.", across)


def test_one_cause_in_many_lines_is_one_entry_with_the_worst_figure_and_its_place():
    (cause,) = by_cause([thin(1, 2.0), thin(2, 1.0), thin(5, 1.5), thin(7, 2.2)], 9)
    assert cause.says == "1.0 mm is the thinnest stroke in 4 lines."
    assert cause.where.line == 2
    assert cause.lines == (1, 2, 5, 7)
    assert len(cause.spots) == 4
    assert (cause.remedy, cause.screen, cause.wants_mm) == ("Widen.", "Press.", 2.5)


def test_few_lines_are_named_all_are_called_all_and_one_says_what_it_said():
    assert "in lines 1, 4 and 6." in by_cause([thin(n, 1.0) for n in (1, 4, 6)], 9)[0].says
    assert "in all 4 lines." in by_cause([thin(n, 1.0) for n in (1, 2, 3, 4)], 4)[0].says
    assert by_cause([thin(3, 1.0)], 9)[0].says == "1.0 mm is thin in line 3."


def test_other_severities_ornaments_and_things_to_avoid_stay_causes_of_their_own():
    ornament = thin(0, 0.5, apart="the ornament leaf")
    found = by_cause([thin(1, 1.0), thin(2, 1.0, severity=Severity.STOP), ornament, thin(3, 1, code="too-deep")], 3)
    assert [(one.code, one.severity, one.of) for one in found] == [
        ("thin-stroke", Severity.STOP, ""),
        ("thin-stroke", Severity.LOOK, ""),
        ("thin-stroke", Severity.LOOK, "the ornament leaf"),
        ("too-deep", Severity.LOOK, ""),
    ]
    assert [one.number for one in found] == [1, 2, 3, 4]


CODES = ("thin-stroke", "too-deep", "small-counter")


@given(
    st.lists(
        st.builds(
            thin,
            st.integers(1, 40),
            st.integers(1, 9),
            st.tuples(st.integers(1, 30)),
            st.sampled_from(CODES),
            st.sampled_from(list(Severity)),
        )
    )
)
def test_every_line_letter_and_place_found_is_in_some_cause_and_no_other(found):
    causes = by_cause(found, 40)
    told = {(one.code, one.severity, letter) for one in causes for letter in one.letters}
    assert told == {(one.code, one.severity, letter) for one in found for letter in one.across.letters}
    assert sum(len(one.spots) for one in causes) == len(found)
    assert len({(one.code, one.severity) for one in causes}) == len(causes)
    assert [one.severity for one in causes] == sorted((one.severity for one in causes), key=list(Severity).index)


def test_an_honour_board_tells_each_cause_once_and_its_cover_has_room_for_all(honours):
    thin_ones = [cause for cause in honours.causes if cause.code == "thin-stroke"]
    assert len(thin_ones) == 1
    assert "in all 20 lines; white oak" in thin_ones[0].says
    assert len(honours.causes) < 8
    assert len(list(paged(finding_notes(honours.causes, 180), 250))) == 1


def test_what_a_program_reads_has_every_finding_as_it_was_found(honours):
    told = measured(honours)["findings"]
    assert sum(one["code"] == "thin-stroke" for one in told) == 20
    assert set(told[0]) == {"code", "severity", "where", "says", "remedy"}
