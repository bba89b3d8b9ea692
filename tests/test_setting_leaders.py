"""Leaders between names and years: where they stand, what they are, and that they are carved with their line."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from honours_jobs import BOARD, dated

from stopcut.errors import WrongJob
from stopcut.job.read import parse_job
from stopcut.setting.leaders import LEADER, PITCH
from stopcut.work import Work

CAP_MM = 15


def work(leaders: str, *lines: str, number: int = 1, more: str = "") -> Work:
    words = "".join(f'[[line]]\nwords = "{one}"\n{more}' for one in lines or dated())
    columns = f'[columns]\nnumber = {number}\nleaders = "{leaders}"\n[lettering]\ncap_height = {CAP_MM}\n'
    return Work(parse_job(BOARD + columns + words))


def middles(board: Work) -> list[list[float]]:
    return [[one.bounds_mm.centre[0] for one in line.leaders] for line in board.setting.lines]


def test_they_stand_on_the_baseline_between_name_and_year_at_one_distance() -> None:
    board = work("points")
    for line in board.setting.lines:
        year = next(letter for letter in line.letters if letter.placed.char.isdigit())
        name = line.letters[line.letters.index(year) - 1]
        assert len(line.leaders) > 5
        assert all(one.bounds_mm.bottom == pytest.approx(line.baseline_y_mm) for one in line.leaders)
        clear = 0.3 * CAP_MM  # a word space is wider
        assert line.leaders[0].bounds_mm.left - name.right_mm > clear
        assert year.left_mm - line.leaders[-1].bounds_mm.right > clear
        steps = np.diff([one.x_mm for one in line.leaders])
        assert steps == pytest.approx(np.full(len(steps), PITCH * CAP_MM))


def test_they_stand_under_one_another_in_each_column() -> None:
    board = work("points", number=2)
    for column in (middles(board)[:4], middles(board)[4:]):
        places = sorted(x for row in column for x in row)
        apart = np.diff(places)
        assert apart[apart > 1e-6] == pytest.approx(PITCH * CAP_MM)


def test_words_stand_where_they_stood_without() -> None:
    plain, led = work("none"), work("points")
    assert [line.leaders for line in plain.setting.lines] == [()] * 7
    for one, other in zip(plain.setting.lines, led.setting.lines, strict=True):
        assert one.letters == other.letters


def test_dots_are_the_face_s_own_full_stops() -> None:
    stop = work("none", "A.B").setting.lines[0].letters[1].placed.bounds_mm
    for line in work("dots").setting.lines:
        for one in line.leaders:
            assert (one.bounds_mm.width, one.bounds_mm.height) == pytest.approx((stop.width, stop.height), abs=0.01)


def test_where_one_alone_has_room_there_is_none() -> None:
    counts = {
        extra: len(work("points", f"{'H' * 24}{'I' * extra}\\t1998").setting.lines[0].leaders) for extra in range(28)
    }
    assert 1 not in counts.values()
    assert {0, 2} <= set(counts.values())
    assert all(one >= other for one, other in pairwise(counts.values()))


def test_a_line_without_a_tab_has_none() -> None:
    assert middles(work("points", "Ada", "Olive", more="in_columns = true\n")) == [[], []]


def test_they_are_carved_as_deep_as_their_line_s_walls_make_them() -> None:
    board = work("points", more="wall = 45\n")
    cut = [one for one in board.grooves if one.placed.char == LEADER]
    assert len(cut) == sum(map(len, middles(board)))
    for one in cut:
        assert one.wall_deg == 45
        half = one.placed.bounds_mm.width / 2 / 2**0.5  # from a square's middle to its sides
        assert one.max_depth_mm == pytest.approx(half, rel=1e-3)


def test_a_face_without_a_full_stop_is_a_fault_at_the_key(monkeypatch: pytest.MonkeyPatch) -> None:
    from stopcut import work as work_module
    from stopcut.errors import FaceLacksCharacter
    from stopcut.lettering.line_letters import letter_line

    def lacking(request):
        if request.words == ".":
            raise FaceLacksCharacter(".", 1, 1, "Cinzel")
        return letter_line(request)

    monkeypatch.setattr(work_module, "letter_line", lacking)
    with pytest.raises(WrongJob, match=r"columns\.leaders.*no full stop"):
        _ = work("dots").setting


def test_another_word_for_them_is_a_fault() -> None:
    with pytest.raises(WrongJob, match=r"columns\.leaders"):
        work("stars")
