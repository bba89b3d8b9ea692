"""Mending a slip: each way as figures and as the changed job."""

from __future__ import annotations

import math

import pytest

from stopcut.errors import CarverError
from stopcut.job.edits import Edit, Refused, apply
from stopcut.job.read import parse_job
from stopcut.options.mended import planing, planing_edits, twins_of, widening, widening_edits
from stopcut.shape.regions import region_of
from stopcut.work import Work

TAN = math.tan(math.radians(60))
TEXT = """\
format = 1
title = "Marrow Lane water point"
[board]
width = 500
height = 160
thickness = 26      # planed
margin = 20
[lettering]
cap_height = 60
[groove]
wall = 60
[[line]]
words = "WATER"     # one word
"""


def work_of(text: str = TEXT) -> Work:
    return Work(parse_job(text))


@pytest.fixture(scope="module")
def work() -> Work:
    return work_of()


def test_a_widened_letter_is_as_much_wider_and_deeper_in_the_changed_job_as_its_figures_say(work: Work) -> None:
    made = widening(work, 1, 3, 1.0)
    assert (made.char, made.figures.by_mm) == ("T", 1.0)
    before, after = (w.letter_grooves[1, 3] for w in (work, work_of(made.job)))
    assert after.placed.bounds_mm.width == pytest.approx(before.placed.bounds_mm.width + 1.0, abs=0.05)
    assert after.max_depth_mm == pytest.approx(made.figures.depth_mm, abs=0.05)
    assert made.figures.deeper_mm >= 0.5 * TAN - 0.05
    assert made.figures.wood_under_mm == pytest.approx(26 - made.figures.depth_mm)


def test_its_neighbours_lose_half_of_it_where_they_stand_and_make_room_when_set_out_anew(work: Work) -> None:
    made = widening(work, 1, 3, 1.0)
    letters = work.setting.lines[0].letters
    before, after = letters[1].gap_after_mm, letters[2].gap_after_mm
    assert before is not None
    assert after is not None
    assert (made.figures.gap_before_mm, made.figures.gap_after_mm) == pytest.approx((before - 0.5, after - 0.5))
    anew = work_of(made.job).setting.lines[0].letters
    assert (made.gap_before_mm, made.gap_after_mm) == (anew[1].gap_after_mm, anew[2].gap_after_mm)
    assert made.gap_before_mm is not None
    assert made.gap_before_mm > before - 0.5


def test_the_other_letters_keep_their_shapes(work: Work) -> None:
    changed = work_of(widening(work, 1, 3, 1.0).job)
    for one, other in zip(work.setting.placed, changed.setting.placed, strict=True):
        assert (one.outline == other.outline) == (one.index != 3)


def test_the_first_letter_has_no_gap_before_it_and_the_last_none_after(work: Work) -> None:
    assert widening(work, 1, 1, 0.5).gap_before_mm is None
    assert widening(work, 1, 5, 0.5).figures.gap_after_mm is None


def test_comments_of_the_job_stay_and_the_change_can_be_undone(work: Work) -> None:
    (edit,) = widening_edits(work, 1, 3, 0.5)
    applied = apply(edit, TEXT)
    assert 'widen = [{ letter = "T", nth = 1, by = "0.5 mm" }]' in applied.text
    assert "# one word" in applied.text
    assert apply(applied.undo, applied.text).text == TEXT


def test_a_letter_widened_again_is_wider_by_both_and_others_stay_as_they_are() -> None:
    once = TEXT + 'widen = [\n  { letter = "A", by = 0.4 },  # a chip\n]\n'
    both = apply(*widening_edits(work_of(once), 1, 3, 0.5), once).text
    assert "# a chip" in both
    assert [(one.letter, one.by_mm) for one in parse_job(both).lines[0].widen] == [("A", 0.4), ("T", 0.5)]
    again = apply(*widening_edits(work_of(both), 1, 2, 0.2), both).text
    assert {one.letter: one.by_mm for one in parse_job(again).lines[0].widen} == pytest.approx({"A": 0.6, "T": 0.5})


def test_a_letter_made_bolder_beside_its_twin_is_told_of_and_both_can_be_widened() -> None:
    work = work_of(TEXT.replace("WATER", "OTTO"))
    assert twins_of(work, 1, 2) == ((1, 3),)
    one = widening(work, 1, 2, 0.5)
    assert "letter 3 of line 1" in one.beside_twins
    assert "shows" in one.beside_twins
    assert [w.nth for w in parse_job(one.job).lines[0].widen] == [1]
    both = widening(work, 1, 2, 0.5, with_twins=True)
    assert [(w.letter, w.nth) for w in parse_job(both.job).lines[0].widen] == [("T", 1), ("T", 2)]
    assert both.with_twins
    changed = work_of(both.job).setting.placed
    assert changed[1].outline == changed[2].outline


def test_a_letter_that_stands_alone_has_no_twin(work: Work) -> None:
    assert twins_of(work, 1, 3) == ()
    assert widening(work, 1, 3, 0.5).beside_twins == ""


@pytest.mark.parametrize(("line", "letter"), [(1, 6), (2, 1), (1, 0)])
def test_there_is_no_widening_a_letter_that_is_not_there(work: Work, line: int, letter: int) -> None:
    with pytest.raises(CarverError, match=f"letter {letter}"):
        widening(work, line, letter, 0.5)


def test_planing_leaves_the_thickness_depths_and_widths_that_its_figures_say(work: Work) -> None:
    made = planing(work, 1.5)
    assert made.figures.thickness_mm == pytest.approx(24.5)
    assert made.figures.narrower_mm == pytest.approx(3 / TAN)
    after = work_of(made.job)
    assert after.job.board.thickness_mm == pytest.approx(24.5)
    assert [g.max_depth_mm for g in after.grooves] == pytest.approx(list(made.figures.depths_mm), abs=0.02)
    for one, other in zip(work.grooves, after.grooves, strict=True):
        assert other.placed.bounds_mm.height <= one.placed.bounds_mm.height - 3 / TAN + 0.05


def test_planing_moves_no_letter(work: Work) -> None:
    after = work_of(planing(work, 1.0).job)
    for one, other in zip(work.grooves, after.grooves, strict=True):
        old, new = region_of(one.placed.on_board, 0.01), region_of(other.placed.on_board, 0.01)
        assert old.buffer(-0.5).covers(new)


def test_planed_twice_is_planed_by_both(work: Work) -> None:
    twice = planing(work_of(planing(work, 1.0).job), 0.5)
    once = planing(work, 1.5)
    assert parse_job(twice.job).planed_mm == parse_job(once.job).planed_mm == pytest.approx(1.5)
    assert twice.figures.depths_mm == pytest.approx(once.figures.depths_mm, abs=0.02)


def test_a_flat_bottom_lies_as_much_less_deep_once_the_face_is_planed() -> None:
    flat = work_of(TEXT.replace("wall = 60", "wall = 60\nflat_bottom = 4"))
    after = work_of(planing(flat, 1.0).job)
    assert max(g.max_depth_mm for g in flat.grooves) == 4
    assert max(g.max_depth_mm for g in after.grooves) == pytest.approx(3)
    areas = zip(flat.grooves, after.grooves, strict=True)
    assert all(b.flat_area_mm2 == pytest.approx(a.flat_area_mm2, rel=0.01, abs=0.5) for a, b in areas)


def test_nobody_planes_a_board_away(work: Work) -> None:
    with pytest.raises(Refused):
        planing(work, 25.5)


def test_letters_that_are_planed_away_are_a_finding_and_the_rest_comes_out(work: Work) -> None:
    made = planing(work, 8.0)
    assert made.figures.gone > 0
    assert {finding.code for finding in made.new_findings} >= {"planed-away"}


def test_planing_can_be_undone_step_by_step(work: Work) -> None:
    text = TEXT
    undo: list[Edit] = []
    for edit in planing_edits(work, 1.0):
        applied = apply(edit, text)
        text, undo = applied.text, [applied.undo, *undo]
    assert "# planed" in text
    for edit in undo:
        text = apply(edit, text).text
    assert text == TEXT
