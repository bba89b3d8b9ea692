"""Lettering already on a board, as the pages change it: what is measured, what it decides, and the drawing of it."""

from __future__ import annotations

import re
import tomllib
import xml.etree.ElementTree as ET

import pytest

from stopcut.app.brief_match import found_words
from stopcut.app.match_drawing import MEASURES, match_svg
from stopcut.app.matching import decided, gap_change, gap_written, measure_change, nothing_there
from stopcut.job.edit_json import edits_json, edits_of
from stopcut.job.edit_values import Refused
from stopcut.job.edits import apply
from stopcut.job.read import parse_job
from stopcut.work import Work

TEXT = """\
format = 1
title = "Plot 7"
[board]
width = 400
height = 160
thickness = 20
[lettering]
face = "Cinzel"
cap_height = 40
[[line]]
words = "PLOT SEVEN"
"""

MEASURED = TEXT + '[match]\ncap_height = "30 mm"   # with the small rule\ngaps = [{ pair = "LO", gap = "5 mm" }]\n'


def after(text, change):
    """The text after a change, which goes through the store's own way of keeping edits; all of it can be undone."""
    now, undo = text, []
    for edit in edits_of(edits_json(tuple(change(text)))):
        made = apply(edit, now)
        now, undo = made.text, [made.undo, *undo]
    back = now
    for edit in undo:
        back = apply(edit, back).text
    assert back == text
    return now


def there(text):
    return tomllib.loads(text).get("match")


def test_a_first_measure_makes_the_table_and_the_last_one_takes_it_with_it():
    one = after(TEXT, measure_change("stem", "6 mm"))
    assert one.replace('\n[match]\nstem = "6 mm"\n', "") == TEXT
    assert there(one) == {"stem": "6 mm"}
    assert there(after(one, measure_change("stem", None))) is None


def test_other_measures_and_their_remarks_stay_when_one_goes():
    left = after(MEASURED, measure_change("gaps", None))
    assert left.endswith('cap_height = "30 mm"   # with the small rule\n')


def test_gaps_are_added_changed_and_taken_out_and_the_others_stay_as_written():
    two = after(MEASURED, gap_change(1, "SE", 4))
    assert there(two)["gaps"] == [{"pair": "LO", "gap": "5 mm"}, {"pair": "SE", "gap": 4}]
    assert there(after(two, gap_change(0, "LO", "6 mm")))["gaps"][0] == {"pair": "LO", "gap": "6 mm"}
    assert there(after(two, gap_change(0, "LO", None)))["gaps"] == [{"pair": "SE", "gap": 4}]


def test_a_gap_that_another_window_has_changed_is_not_taken_for_its_neighbour():
    with pytest.raises(Refused, match="another window"):
        gap_change(0, "SE", None)(MEASURED)


@pytest.mark.parametrize(
    "written",
    [
        '[match]\nstem = 6\n[[match.gaps]]\npair = "LO"\ngap = 5\n',
        "[match]\nstem = 6\n",
    ],
)
def test_all_that_was_measured_is_taken_out_however_it_was_written(written):
    assert there(after(TEXT + written, nothing_there)) is None
    assert nothing_there(TEXT) == ()


def test_a_table_written_on_one_line_goes_too():
    inline = TEXT.replace("[board]", 'match = { cap_height = 30, gaps = [{ pair = "LO", gap = 5 }] }\n[board]')
    assert there(after(inline, measure_change("gaps", None))) == {"cap_height": 30}
    assert there(after(inline, nothing_there)) is None


def test_gaps_written_as_tables_are_changed_too():
    tables = TEXT + '[match]\nstem = 6\n[[match.gaps]]\npair = "LO"\ngap = 5\n'
    assert there(after(tables, gap_change(1, "SE", 4)))["gaps"][1] == {"pair": "SE", "gap": 4}


def test_each_measure_decides_its_own_and_no_more():
    assert decided(None) == frozenset()
    assert decided(parse_job(TEXT + "[match]\nstem = 6\n").match) == {"weight", "stem"}
    assert decided(parse_job(MEASURED).match) == {"cap_height", "openness"}


def test_what_is_decided_is_so_on_the_board_whatever_the_line_asks_for():
    line = Work(parse_job(MEASURED)).setting.lines[0]
    other = Work(parse_job(MEASURED.replace("cap_height = 40", "cap_height = 20\nopenness = 2"))).setting.lines[0]
    assert line.cap_height_mm == other.cap_height_mm == 30
    assert line.openness == pytest.approx(other.openness)


@pytest.mark.parametrize(("written", "read"), [("RO 6 mm", ("RO", "6 mm")), (" LE  4.5", ("LE", 4.5))])
def test_a_gap_is_written_as_one_says_it(written, read):
    assert gap_written(written, "mm") == read


@pytest.mark.parametrize("written", ["RO", "6 mm", "ROW 6 mm", "RO six", "R 6"])
def test_a_gap_that_is_none_is_said_to_be_none_in_plain_words(written):
    with pytest.raises(ValueError, match=r"^(Write two letters|.*no length)"):
        gap_written(written, "mm")


def test_what_matching_came_to_is_told_in_words():
    assert found_words(Work(parse_job(TEXT))) == ""
    assert re.match(
        r"Openness [\d.]+ comes nearest to what is on the board; left over: LO", found_words(Work(parse_job(MEASURED)))
    )


def test_the_drawing_has_a_dimension_for_each_measure_within_its_frame():
    drawn = ET.fromstring(match_svg())
    groups = [one for one in drawn if one.get("class", "").startswith("measure")]
    assert [one.get("class") for one in groups] == [f"measure of-{name}" for name in MEASURES]
    assert [one.findtext("text") for one in groups] == ["1", "2", "3"]
    _, _, wide, high = map(float, drawn.get("viewBox").split())
    for text in drawn.iter("text"):
        assert 0 < float(text.get("x")) < wide
        assert 0 < float(text.get("y")) < high
