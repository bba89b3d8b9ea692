"""Pushing a letter opens one gap and closes the other, and only those."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.app.moving import gaps_moved, gaps_of_letter, shifts_after
from stopcut.job.edits import At, SetWords, apply
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.work import Work

HEBREW = demo_job_text().replace('words = "MARROW LANE"', 'words = "שלום רב"\nface = "Frank Ruhl Libre"')


@pytest.fixture(scope="module")
def text():
    return demo_job_text()


def pushed(text, key, dx, follows=False):
    """The setting after a push, by the very edits that the page makes."""
    work = Work(parse_job(text))
    for edit in shifts_after(work.job, gaps_moved(work.setting, key, dx, follows)):
        text = apply(edit, text).text
    return Work(parse_job(text)).setting


def lefts(board, line=0):
    return [letter.left_mm for letter in board.lines[line].letters]


@settings(max_examples=15)
@given(dx=st.floats(-2, 2), index=st.sampled_from([2, 3, 4, 5]))
def test_a_letter_pushed_alone_moves_by_as_much_and_no_other_does(text, dx, index):
    before, after = lefts(Work(parse_job(text)).setting), lefts(pushed(text, f"1:{index}", dx))
    for number, (was, now) in enumerate(zip(before, after, strict=True), 1):
        # shifts are written in thousandths of a per cent of the cap height: 0.0006 mm at 60 mm, twice
        assert now - was == pytest.approx(dx if number == index else 0, abs=0.0025)


def test_with_those_after_it_only_the_gap_before_changes(text):
    was, now = Work(parse_job(text)).setting.lines[0], pushed(text, "1:3", 1.5, follows=True).lines[0]
    changes = [(b.gap_after_mm or 0) - (a.gap_after_mm or 0) for a, b in zip(was.letters, now.letters, strict=True)]
    assert changes == pytest.approx([0, 1.5, *[0] * (len(changes) - 2)], abs=0.01)


def test_in_a_line_read_from_the_right_a_push_to_the_right_still_goes_right():
    was = Work(parse_job(HEBREW)).setting
    now = pushed(HEBREW, "1:2", 1.0)
    assert lefts(now)[1] - lefts(was)[1] == pytest.approx(1.0, abs=0.02)


def test_a_push_back_to_where_the_model_had_it_leaves_no_shift_in_the_job(text):
    work = Work(parse_job(text))
    there, back = (gaps_moved(work.setting, "1:3", dx, False) for dx in (1.0, -1.0))
    for edit in shifts_after(work.job, there):
        text = apply(edit, text).text
    assert [edit.by for edit in shifts_after(parse_job(text), back)] == [None, None]


def test_pushes_that_come_faster_than_they_are_worked_out_add_up(text):
    work = Work(parse_job(text))  # what the page knows: it stays behind
    push = gaps_moved(work.setting, "1:3", 0.1, False)
    for _ in range(10):
        for edit in shifts_after(parse_job(text), push):
            text = apply(edit, text).text
    moved = lefts(Work(parse_job(text)).setting)[2] - lefts(work.setting)[2]
    assert moved == pytest.approx(1.0, abs=0.007)  # each is written in thousandths of a per cent


def test_the_first_letter_of_a_word_has_only_the_gap_after_it(text):
    board = Work(parse_job(text)).setting
    assert [gap.first for gap in gaps_of_letter(board, "1:1")] == [1]
    assert gaps_moved(board, "1:1", 1.0, follows=True) == ()


def test_a_letter_that_is_not_there_has_no_gaps(text):
    assert gaps_of_letter(Work(parse_job(text)).setting, "9:1") == ()


LIGATURES = demo_job_text().replace(
    'words = "MARROW LANE"', 'words = "in fine infill"\nface = "Cardo"\nfeatures = ["liga"]\ncap_height = 30'
)


def test_a_letter_beside_a_ligature_is_moved_and_its_shift_keeps_to_its_gap_when_words_change():
    letters = [one.placed.char for one in Work(parse_job(LIGATURES)).setting.lines[0].letters]
    assert letters[2:4] == ["fi", "n"], "this face has the ligature"
    work = Work(parse_job(LIGATURES))
    moved = gaps_moved(work.setting, "1:4", 0.5, follows=True)
    assert [(one.pair, one.nth) for one in moved] == [("in", 2)]  # the first is a word of its own
    text = LIGATURES
    for edit in shifts_after(work.job, moved):
        text = apply(edit, text).text
    after = Work(parse_job(text)).setting.lines[0].letters
    assert [round(one.shift_mm, 2) for one in after if one.shift_mm] == [0.5]
    assert after[2].shift_mm == pytest.approx(0.5, abs=0.001)
    line = parse_job(text).lines[0]
    text = apply(SetWords(At("line", 1, line.words), "fine infill"), text).text
    now = Work(parse_job(text)).setting.lines[0].letters
    assert now[0].placed.char == "fi"
    assert now[0].shift_mm == pytest.approx(0.5, abs=0.001)
