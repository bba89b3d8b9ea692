"""Lists on a board: columns, tabs and stops."""

from __future__ import annotations

from itertools import pairwise

import pytest
from honours_jobs import dated, listed
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.errors import WrongJob
from stopcut.job.read import parse_job
from stopcut.setting.columns import entries
from stopcut.setting.set_board import SetLine
from stopcut.setting.set_out import set_out
from stopcut.work import Work


def set_lines(columns: str, *lines: str, lettering: str = "cap_height = 15") -> tuple[SetLine, ...]:
    return Work(parse_job(listed(columns, *lines, lettering=lettering))).setting.lines


def seen_edges(line: SetLine, request_of: Work) -> tuple[float, float]:
    """Where the eye takes the line to begin and end. [mm]"""
    from stopcut.setting.columns import tabbed
    from stopcut.setting.lay import laid
    from stopcut.setting.line import line_shape

    request = request_of._request(request_of._settled[0])
    shapes = [line_shape(one.lettered, one.tuck, one.word_space) for one in request.lines]
    lain = tabbed(
        [laid(request, s, shape, line.cap_height_mm) for s, shape in zip(request.lines, shapes, strict=True)], request
    )[line.number - 1]
    return line.ink_left_mm + lain.hang_left, line.ink_right_mm - lain.hang_right


def test_names_begin_at_the_left_margin_and_years_end_at_the_right_one() -> None:
    work = Work(parse_job(listed("number = 1", *dated())))
    for line in work.setting.lines:
        assert seen_edges(line, work) == pytest.approx((50, 650), abs=0.01)


def test_lines_of_a_list_stand_at_one_distance() -> None:
    lines = set_lines("number = 1", "HONOURS", *dated())
    steps = [upper.baseline_y_mm - lower.baseline_y_mm for upper, lower in pairwise(lines[1:])]
    assert steps == pytest.approx([steps[0]] * len(steps))
    assert steps[0] > 15


def test_a_list_in_two_columns_is_read_down_and_its_rows_stand_level() -> None:
    lines = set_lines('number = 2\nbetween = "40 mm"', *dated())
    first, second = lines[:4], lines[4:]
    for one, other in zip(first, second, strict=False):
        assert one.baseline_y_mm == pytest.approx(other.baseline_y_mm)
    assert all(line.ink_right_mm < 50 + 280 + 2 for line in first)
    assert all(line.ink_left_mm > 50 + 280 + 40 - 2 for line in second)


def test_what_stands_at_a_stop_begins_level_in_every_line_of_the_list() -> None:
    lines = set_lines('number = 1\nafter_tab = "stop"', *dated(before=True)[:3], "12\\tHeather Elm")
    firsts = [line.letters[4 if line.number < 4 else 2].left_mm for line in lines]
    assert max(firsts) - min(firsts) < 0.1 * 15  # within what an A or an O hangs over
    flat = set_lines('number = 1\nafter_tab = "stop"', "1999\\tHugh", "12\\tHeather")
    assert flat[0].letters[4].left_mm - flat[0].letters[0].left_mm > 0
    assert flat[0].letters[4].left_mm == pytest.approx(flat[1].letters[2].left_mm, abs=0.01)


def test_a_year_is_never_nearer_than_two_words_to_its_name() -> None:
    (plain,) = set_lines("number = 1", "Ada 1998")
    (near,) = set_lines("number = 1\nafter_tab = 'stop'", "Ada\\t1998")

    def apart(line: SetLine) -> float:
        return line.letters[3].left_mm - line.letters[2].right_mm

    assert apart(near) == pytest.approx(2 * apart(plain), rel=1e-6)


def test_a_name_too_long_for_its_column_is_a_stop_and_what_it_proposes_does() -> None:
    text = listed("number = 3", "Featherstonehaugh Appleby\\t2010", *dated()[:5], lettering="cap_height = 18")
    stop, *_ = [one for one in Work(parse_job(text)).findings if one.code == "does-not-fit"]
    assert "too wide for its column" in stop.says
    assert stop.where is not None
    assert stop.where.line == 1
    height = stop.remedy.split("cap height ")[1].split(" mm")[0]
    mended = Work(parse_job(text.replace("cap_height = 18", f"cap_height = {height}")))
    assert not [one for one in mended.findings if one.code == "does-not-fit"]


def test_a_list_is_fitted_to_the_board_as_one_size() -> None:
    work = Work(parse_job(listed("number = 2", *dated(), lettering='cap_height = "fit"')))
    assert len({line.cap_height_mm for line in work.setting.lines}) == 1
    assert not [one for one in work.findings if one.code == "does-not-fit"]
    (limit,) = [one for one in work.findings if one.code == "fit-limit"]
    assert limit.where is not None
    assert limit.where.line == 7  # Nan Appleby is the longest
    for line in work.setting.lines:
        left, right = seen_edges(line, work)
        column = 50 if line.number <= 4 else 50 + (600 - 35) / 2 + 35
        assert (left, right) == pytest.approx((column, column + (600 - 35) / 2), abs=0.05)


def test_names_without_years_stand_in_columns_where_they_say_so() -> None:
    text = listed("number = 2", "Ada", "Olive", "Wyn").replace('"\n[[', '"\nin_columns = true\n[[')
    lines = Work(parse_job(text + "in_columns = true\n")).setting.lines
    assert lines[0].baseline_y_mm == pytest.approx(lines[2].baseline_y_mm)
    assert lines[2].ink_left_mm > 350 > lines[0].ink_right_mm


def test_a_line_read_from_the_right_begins_at_the_right_edge() -> None:
    hebrew = "\u05de\u05e9\u05d4"
    text = listed("number = 1", f"{hebrew}\\t1998").replace("[[line]]", '[[line]]\nface = "Frank Ruhl Libre"')
    (line,) = Work(parse_job(text)).setting.lines
    assert line.letters[0].right_mm > 640
    assert min(letter.left_mm for letter in line.letters[3:]) < 60


def test_a_board_without_tabs_is_set_as_ever() -> None:
    plain = set_lines("number = 3", "MARROW", "LANE")
    assert plain == Work(parse_job(listed("number = 1", "MARROW", "LANE"))).setting.lines


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("Ada\\t1998\\tB", "the words have 2 tabs"),
        ("Ada\\t", "nothing to carve stands after the tab"),
        ("\\t1998", "nothing to carve stands before the tab"),
        ("\\t", "the words are blank"),
    ],
)
def test_a_tab_with_nothing_to_part_is_a_fault(words: str, said: str) -> None:
    with pytest.raises(WrongJob) as wrong:
        parse_job(listed("number = 1", words))
    assert said in str(wrong.value)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("arc = { radius = 400 }", "line[1].arc"),
        ('align = "centre"', "line[1].align"),
    ],
)
def test_what_a_line_with_a_tab_cannot_be_is_a_fault_at_its_key(more: str, said: str) -> None:
    with pytest.raises(WrongJob) as wrong:
        parse_job(listed("number = 1", "Ada\\t1998") + more + "\n")
    assert said in str(wrong.value)


def test_columns_with_no_width_left_for_words_are_a_fault() -> None:
    with pytest.raises(WrongJob, match=r"columns\.between, line 9: 3 columns so far apart leave no width"):
        parse_job(listed("between = 350\nnumber = 3", "Ada\\t1998"))


@settings(max_examples=60)
@given(st.lists(st.booleans(), max_size=40), st.integers(1, 8))
def test_every_line_of_a_list_has_one_place_and_columns_differ_by_one_row_at_most(
    which: list[bool], columns: int
) -> None:
    found = entries(which, [None] * len(which), columns, stop=False)
    assert [one is not None for one in found] == which
    blocks: dict[int, list[tuple[int, int]]] = {}
    for one in found:
        if one is not None:
            blocks.setdefault(one.block, []).append((one.column, one.row))
            assert one.column < one.columns <= columns
    for places in blocks.values():
        assert places == sorted(set(places))
        depths = [sum(1 for column, _ in places if column == k) for k in {column for column, _ in places}]
        assert max(depths) - min(depths) <= 1
        assert depths == sorted(depths, reverse=True)


def test_the_board_set_again_is_the_same() -> None:
    work = Work(parse_job(listed("number = 2", "HONOURS", *dated())))
    request = work._request(work._settled[0])
    assert set_out(request) == set_out(request)
