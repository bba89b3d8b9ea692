"""Remedies: what a press does mends what it stands beside, and is an edit like any other."""

from __future__ import annotations

import re

import pytest

from stopcut.app.findings_list import figure_first
from stopcut.app.remedies import remedies
from stopcut.groove.causes import by_cause
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
wood = "white oak"
[lettering]
face = "Cinzel"
cap_height = 40
[[line]]
words = "PLOM"
[[line]]
words = "SEVEN"
"""


def pressed(text, label):
    """The job after a press."""
    work = Work(parse_job(text))
    press = next(
        one for cause in work.causes for one in remedies(cause, work.job, text, work.setting) if label in one.label
    )
    for edit in press.edits:
        text = apply(edit, text).text
    return text


def codes(text):
    return {cause.code for cause in Work(parse_job(text)).causes}


def thinnest_of(text):
    """The worst thin stroke that is told of. [mm]"""
    return next(float(one.says.split(" mm")[0]) for one in Work(parse_job(text)).causes if one.code == "thin-stroke")


def test_a_stouter_thinnest_stroke_mends_thin_strokes_of_all_lines_by_one_value():
    after = pressed(TEXT, "Thinnest stroke 2.5 mm")
    assert after.count("thinnest") == 1
    assert thinnest_of(after) > 1.3 * thinnest_of(TEXT)
    work = Work(parse_job(after))
    again = [one.label for cause in work.causes for one in remedies(cause, work.job, after, work.setting)]
    assert "Thinnest stroke 2.5 mm" not in again, "a press that would change nothing"


def test_a_line_with_a_value_of_its_own_has_that_changed():
    after = pressed(TEXT.replace('words = "SEVEN"', 'words = "SEVEN"\nthinnest = 1'), "Thinnest stroke 2.5 mm")
    assert re.search(r'words = "SEVEN"\nthinnest = "2.5 mm"', after)
    assert thinnest_of(after) > 1.3 * thinnest_of(TEXT)


def test_a_flat_bottom_mends_a_groove_that_is_too_deep():
    deep = TEXT.replace("thickness = 20", "thickness = 7")
    assert "too-deep" in codes(deep)
    assert "too-deep" not in codes(pressed(deep, "Flat bottom"))


def test_lines_too_wide_for_the_board_are_made_as_large_as_the_margins_allow():
    wide = TEXT.replace("cap_height = 40", "cap_height = 150")
    assert "does-not-fit" in codes(wide)
    assert "does-not-fit" not in codes(pressed(wide, "As large as the margins allow"))


def test_what_takes_a_carvers_own_judgement_has_no_press():
    work = Work(parse_job(TEXT))
    (apex,) = [cause for cause in by_cause(work.findings, 2) if cause.code == "sharp-apex"]
    assert remedies(apex, work.job, TEXT, work.setting) == ()


def test_an_ornaments_remedy_is_an_ornaments_and_its_press_makes_it_stout_enough(tmp_path):
    drawn = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><path d="M0 0h100v2H0z"/></svg>'
    (tmp_path / "bar.svg").write_text(drawn)
    text = TEXT + '[[ornament]]\nfile = "bar.svg"\nx = 200\ny = 12\nwidth = 80\ncarve = "groove"\n'

    def made(text):
        work = Work(parse_job(text, base_folder=tmp_path))
        return work, [cause for cause in work.causes if cause.of == "the ornament bar"]

    work, (thin,) = made(text)
    assert "1.6 times as wide" in thin.screen
    assert "cap height" not in thin.remedy
    (press,) = remedies(thin, work.job, text, work.setting)
    assert press.label == "Make it 1.6 times as wide: 128 mm"
    assert made(apply(press.edits[0], text).text)[1] == []


@pytest.mark.parametrize(
    ("says", "figure"),
    [
        ("1 mm is the thinnest stroke in 27 lines.", "1 mm"),
        ("13° is the wood inside the apex of M.", "13°"),
        ("Under 3 mm of wood stands between two strokes.", "Under 3 mm"),
        ("1 1/16 in is how deep it goes.", "1 1/16 in"),
        ("0.5 mm, not 2.5 mm, is how broad it gets.", "0.5 mm"),
        ("R and O touch.", ""),
    ],
)
def test_an_entrys_figure_comes_first_by_itself(says, figure):
    assert figure_first(says) == (figure, says[len(figure) :])


def gap_labels(text):
    work = Work(parse_job(text))
    gaps = {"touching", "thin-wood", "short-grain", "shift-without-pair"}
    return [
        one.label
        for cause in work.causes
        if cause.code in gaps
        for one in remedies(cause, work.job, text, work.setting)
    ]


@pytest.mark.parametrize(("by", "code"), [("-20 mm", "touching"), ("-4.5 mm", "thin-wood")])
def test_a_gap_that_a_hand_has_made_too_narrow_is_as_worked_out_again_by_a_press(by, code):
    tight = TEXT.replace('words = "PLOM"', f'words = "PLOM"\nshifts = [{{ pair = "LO", by = "{by}" }}]')
    assert code in codes(tight)
    after = pressed(tight, "LO as worked out")
    assert not {"touching", "thin-wood"} & codes(after)
    assert "shifts" not in after


def test_a_gap_with_short_grain_is_opened_as_far_as_its_fibres_lack_and_no_press_is_left():
    text = TEXT.replace('words = "PLOM"', 'words = "INN"').replace("width = 400", "width = 900")
    text = text.replace("cap_height = 40", "cap_height = 40\nopenness = 0\nweight = 900")
    assert "short-grain" in codes(text)
    label = next(one for one in gap_labels(text) if "wider by" in one)
    after = pressed(text, label)
    assert gap_labels(after) == []
    assert "short-grain" not in codes(after)


def test_a_shift_whose_pair_is_gone_is_taken_out_by_a_press_and_the_others_stay():
    text = TEXT.replace(
        'words = "PLOM"',
        'words = "PLOM"\nshifts = [{ pair = "RO", by = "1 mm" }, { pair = "RO", nth = 2, by = "2 mm" }]',
    )
    assert gap_labels(text) == ["Take it out", "Take it out"]
    once = pressed(text, "Take it out")
    assert once.count("RO") == 1
    assert "shifts" not in pressed(once, "Take it out")
