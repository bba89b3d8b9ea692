"""What a job says of strokes, widening and times, as the whole work takes it up."""

from __future__ import annotations

import pytest

from stopcut.errors import Severity
from stopcut.job.read import parse_job
from stopcut.shop.rates import PUBLISHED_RATES, Logged, Rates
from stopcut.work import Work

TEXT = """\
format = 1
title = "Marrow Lane seed store"
[board]
width = 500
height = 160
thickness = 26
[lettering]
cap_height = 50
[[line]]
words = "HORN"
"""


def work_of(keys: str = "") -> Work:
    return Work(parse_job(TEXT + keys))


def test_a_stroke_is_called_what_the_job_calls_it_and_no_other_letters_is() -> None:
    plain = work_of().plan()
    kinds = {(s.index, s.number): s.kind for s in plain.strokes}
    assert kinds[3, 1] != "diagonal"
    named = work_of('strokes = [{ letter = "R", stroke = 1, kind = "diagonal" }]\n').plan()
    assert {(s.index, s.number): s.kind for s in named.strokes} == {**kinds, (3, 1): "diagonal"}
    assert any(cut.stroke == 1 and cut.stroke_kind == "diagonal" for cut in named.cuts if cut.letter == 3)
    assert named.findings == ()


def test_what_a_stroke_is_called_decides_when_it_is_cut() -> None:
    cuts = {kind: work_of(f'strokes = [{{ letter = "H", stroke = 1, kind = "{kind}" }}]\n') for kind in ("bar", "stem")}
    places = {}
    for kind, work in cuts.items():
        own = [cut for cut in work.plan().cuts if cut.letter == 1 and cut.stroke == 1 and cut.kind == "wall"]
        places[kind] = min(cut.place for cut in own)
    assert places["bar"] > places["stem"]


def test_a_name_for_a_letter_that_is_gone_is_a_finding_and_the_board_comes_out() -> None:
    work = work_of(
        'strokes = [{ letter = "Q", stroke = 1, kind = "arc" }]\nwiden = [{ letter = "R", nth = 2, by = 1 }]\n'
    )
    found = [finding for finding in work.findings if finding.code == "no-such-letter"]
    assert [finding.severity for finding in found] == [Severity.LOOK] * 2
    assert "no “Q”" in found[0].says
    assert "no second “R”" in found[1].says
    assert len(work.grooves) == 4


def test_a_name_for_a_stroke_that_a_letter_does_not_have_is_a_finding_of_the_plan() -> None:
    (finding,) = work_of('strokes = [{ letter = "O", stroke = 9, kind = "arc" }]\n').plan().findings
    assert finding.code == "no-such-stroke"
    assert "'O' (line 1, letter 2) has no stroke 9" in finding.says


def test_timed_letters_move_the_plans_minutes_and_narrow_their_spread() -> None:
    work = work_of()
    plain = work.plan()
    reckoned = plain.reckoned[1, 1]
    timed = work.plan(logged=[Logged(reckoned, 1.5 * reckoned)] * 8)
    assert plain.untimed is None
    assert timed.untimed == plain.minutes
    assert timed.pace.letters == 8
    assert 1.3 < timed.minutes.likely / plain.minutes.likely < 1.5
    assert timed.minutes.high / timed.minutes.low < plain.minutes.high / plain.minutes.low
    assert timed.reckoned == plain.reckoned


def test_own_rates_are_what_the_minutes_are_reckoned_with() -> None:
    work = work_of()
    doubled = {
        name: 2 * getattr(PUBLISHED_RATES, name) for name in ("stab_s", "stab_s_per_mm", "pare_s", "pare_s_per_mm")
    }
    doubled |= {
        name: 2 * getattr(PUBLISHED_RATES, name) for name in ("point_s_per_mm", "pick_up_s", "letter_s", "tip_s")
    }
    halved = {name: getattr(PUBLISHED_RATES, name) / 2 for name in ("mm2_per_min", "floor_mm2_per_min")}
    slow = work.plan(rates=Rates(**doubled, **halved))
    # A little less than twice as long: for one who cuts more slowly another tool is sooner worth its pick-up.
    assert slow.minutes.likely == pytest.approx(2 * work.plan().minutes.likely, rel=0.05)


def test_a_widened_letter_fits_the_margins_where_letters_are_as_large_as_they_allow() -> None:
    fit = TEXT.replace("cap_height = 50", 'cap_height = "fit"')
    work = Work(parse_job(fit + 'widen = [{ letter = "O", by = "2 mm" }]\n'))
    line = work.setting.lines[0]
    assert line.ink_left_mm >= work.job.board.margin_mm - 1
    plain = Work(parse_job(fit)).setting.lines[0]
    assert line.cap_height_mm < plain.cap_height_mm
