"""Names too long for their column, drawn in where that is consented to."""

from __future__ import annotations

import pytest
from honours_jobs import BOARD, dated, listed

from stopcut.app.remedies import remedies
from stopcut.job.edits import apply
from stopcut.job.read import parse_job
from stopcut.setting.drawn_in import TIGHTEST
from stopcut.setting.fitting import HAIR_MM
from stopcut.setting.profile import profile
from stopcut.setting.set_board import SetLine
from stopcut.setting.spacing import hang
from stopcut.work import Work

LONG = "Wynifred Appleby\\t2010"
COLUMN_MM = (600 - 35) / 2


def work(columns: str, *lines: str, cap_height: str = "16.5") -> Work:
    return Work(parse_job(listed(f"number = 2\n{columns}", *lines, lettering=f"cap_height = {cap_height}")))


def codes(board: Work) -> set[str]:
    return {one.code for one in board.findings}


@pytest.mark.parametrize("after", ["edge", "stop"])
def test_a_long_name_stands_tighter_as_little_as_does_and_nothing_else_changes(after: str) -> None:
    lines = (LONG, *dated()[:5])
    plain = work(f'after_tab = "{after}"', *lines)
    board = work(f'draw_in = true\nafter_tab = "{after}"', *lines)
    assert "does-not-fit" in codes(plain)
    assert "does-not-fit" not in codes(board)
    long, *others = board.setting.lines
    assert TIGHTEST < long.openness < 1
    assert {line.openness for line in others} == {1}
    assert {line.cap_height_mm for line in board.setting.lines} == {16.5}
    widths = [right - left for left, right in (seen_edges_of(board, line) for line in board.setting.lines)]
    assert max(widths) == pytest.approx(COLUMN_MM, abs=0.05)  # at a stop that of the widest year
    (note,) = [one for one in board.causes if one.code == "drawn-in"]
    assert note.says == f"Line 1 is drawn in to its column: openness {long.openness:.2f} (it asked for 1)."


def seen_edges_of(board: Work, line: SetLine) -> tuple[float, float]:
    """Where the eye takes a line to begin and end. [mm]"""
    lettered = board.lettered[line.number - 1]
    first, last = (profile(lettered.letters[n].outline, lettered.face.cap_height) for n in (0, -1))
    unit = line.cap_height_mm / 1000
    return line.ink_left_mm + hang(first, 0) * unit, line.ink_right_mm - hang(last, 1) * unit


def test_one_line_alone_may_be_drawn_in() -> None:
    text = listed("number = 2", LONG, LONG, *dated()[:4], lettering="cap_height = 16.5")
    text = text.replace('2010"\n', '2010"\ndraw_in = true\n', 1)
    first, second, *_ = Work(parse_job(text)).setting.lines
    assert (first.openness < 1, second.openness) == (True, 1)


def test_no_line_is_set_tighter_than_the_limit_and_what_is_left_over_is_said() -> None:
    board = work("draw_in = true", "Featherstonehaugh Applebyfield\\t2010", *dated()[:5])
    assert board.setting.lines[0].openness == TIGHTEST
    assert "does-not-fit" in codes(board)


def test_a_list_that_is_fitted_becomes_larger_by_what_its_long_names_give_up() -> None:
    lines = (LONG, *dated()[:5])
    plain, board = work("", *lines, cap_height='"fit"'), work("draw_in = true", *lines, cap_height='"fit"')
    before, after = (one.setting.lines[0].cap_height_mm for one in (plain, board))
    assert after > 1.05 * before
    assert "does-not-fit" not in codes(board)
    assert board.setting.lines[0].openness == pytest.approx(TIGHTEST, abs=0.01)
    assert len({line.cap_height_mm for line in board.setting.lines}) == 1


def test_a_name_without_a_year_is_drawn_in_to_its_column() -> None:
    text = listed("number = 3\ndraw_in = true", "WYNIFRED APPLEBY", "ADA", "VI", lettering="cap_height = 13")
    text = text.replace('"\n[[', '"\nin_columns = true\n[[') + "in_columns = true\n"
    long, ada, _ = Work(parse_job(text)).setting.lines
    assert long.openness < 1 == ada.openness
    assert long.ink_right_mm - long.ink_left_mm <= (600 - 70) / 3 + HAIR_MM


def test_a_line_with_the_board_s_width_to_itself_is_not_drawn_in() -> None:
    text = f'{BOARD}[columns]\ndraw_in = true\n[lettering]\ncap_height = 60\n[[line]]\nwords = "MARROW LANE SOCIETY"\n'
    board = Work(parse_job(text))
    assert board.setting.lines[0].openness == 1
    assert "does-not-fit" in codes(board)


def test_the_finding_has_the_consent_as_a_press_for_one_line_and_for_all() -> None:
    text = listed("number = 2", LONG, *dated()[:5], lettering="cap_height = 16.5")
    board = Work(parse_job(text))
    presses = {one.label: one for cause in board.causes for one in remedies(cause, board.job, text, board.setting)}
    for label, key in (("Draw in line 1", "line[1]"), ("Draw in all that are too long", "columns")):
        after = text
        for edit in presses[label].edits:
            after = apply(edit, after).text
        assert after.count("draw_in = true") == 1, key
        assert "does-not-fit" not in codes(Work(parse_job(after)))


def test_what_drawing_in_would_not_mend_has_no_such_press() -> None:
    text = listed("number = 2", "Featherstonehaugh Appleby\\t2010", *dated()[:5], lettering="cap_height = 16.5")
    board = Work(parse_job(text))
    assert "does-not-fit" in codes(board)
    assert not any(
        "Draw in" in one.label for cause in board.causes for one in remedies(cause, board.job, text, board.setting)
    )
