"""A list sorted by year or surname: every line with all that belongs to it, and the rest as it was written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.job.edits import apply
from stopcut.job.read import parse_job
from stopcut.job.sorted_list import sort_edits

HEAD = 'format = 1\ntitle = "Honours"  # of the society\n[board]\nwidth = 700\nheight = 900\nthickness = 20\n\n'


def text_of(*lines: str, tail: str = "") -> str:
    return HEAD + "".join(f'[[line]]\nwords = "{one}"\n' for one in lines) + tail


def sorted_text(text: str, order) -> str:
    for edit in sort_edits(parse_job(text), order):
        text = apply(edit, text).text
    return text


def words(text: str) -> list[str]:
    return [line.words for line in parse_job(text).lines]


NAMES = ("Vi Otter\\t2001", "Ada Fenn\\t1999", "Olive Quill\\t1998", "Wyn Fenn\\t2000")


def test_by_year_and_by_surname_with_the_heading_left_where_it_was() -> None:
    text = text_of("HONOURS", *NAMES)
    by_year = words(sorted_text(text, "year"))
    assert by_year == ["HONOURS", "Olive Quill\t1998", "Ada Fenn\t1999", "Wyn Fenn\t2000", "Vi Otter\t2001"]
    by_name = words(sorted_text(text, "surname"))
    assert by_name == ["HONOURS", "Ada Fenn\t1999", "Wyn Fenn\t2000", "Vi Otter\t2001", "Olive Quill\t1998"]


def test_undo_takes_it_back_to_the_letter() -> None:
    text = text_of("HONOURS", *NAMES, tail="# the end")
    (edit,) = sort_edits(parse_job(text), "year")
    applied = apply(edit, text)
    assert apply(applied.undo, applied.text).text == text


def test_a_line_moves_with_its_keys_tables_and_comments() -> None:
    text = (
        HEAD
        + '# the founder\n[[line]]\nwords = "Vi Otter\\t2001"\nshifts = [{ pair = "Vi", by = 0.2 }]  # by eye\n\n'
        + '[[line]]\nwords = "Ada Fenn\\t1999"\nsize = 0.9\n[[line.widen]]\nletter = "A"\nby = 0.5'
    )
    after = sorted_text(text, "year")
    first, second = parse_job(after).lines
    assert (first.words, first.size, first.widen[0].letter) == ("Ada Fenn\t1999", 0.9, "A")
    assert (second.words, second.shifts[0].pair) == ("Vi Otter\t2001", "Vi")
    assert after.index("# the founder") == after.index('[[line]]\nwords = "Vi') - len("# the founder\n")
    assert "# by eye" in after
    assert sorted(after.split()) == sorted(text.split())


@pytest.mark.parametrize(
    "lines",
    [
        ("1998\\tVi Otter", "1999\\tAda Fenn"),  # the year first
        ("Vi Fenn Jr\\t2001", "Ada Quill\\t1998"),  # what follows a surname
        ("Ada Élan\\t2001", "Vi Fenn\\t1998"),  # an accent
    ],
)
def test_surnames_are_found_where_they_stand(lines: tuple[str, str]) -> None:
    wanted = sorted(lines, key=lambda one: one.replace("Élan", "Elan").replace(" Jr", "").split("\\t")[0].split()[-1])
    if lines[0].startswith("1998"):
        wanted = [lines[1], lines[0]]
    assert words(sorted_text(text_of(*lines), "surname")) == [one.replace("\\t", "\t") for one in wanted]


def test_a_line_without_a_year_comes_last_and_what_is_in_order_is_left_alone() -> None:
    text = text_of("Ada Fenn\\t1999", "Vi Otter", tail="in_columns = true\n")
    assert sort_edits(parse_job(text), "year") == ()
    turned = text_of("Vi Otter") + 'in_columns = true\n[[line]]\nwords = "Ada Fenn\\t1999"\n'
    assert words(sorted_text(turned, "year")) == ["Ada Fenn\t1999", "Vi Otter"]


def test_two_lists_with_a_line_between_are_sorted_each_by_itself() -> None:
    text = text_of("B\\t1999", "A\\t1998", "THEN", "D\\t1997", "C\\t1996")
    assert words(sorted_text(text, "year")) == ["A\t1998", "B\t1999", "THEN", "C\t1996", "D\t1997"]


@given(st.lists(st.tuples(st.text("ABCabc", min_size=1, max_size=3), st.integers(1000, 2099)), min_size=1, max_size=20))
def test_sorting_keeps_every_line_once_and_twice_is_once(names: list[tuple[str, int]]) -> None:
    text = text_of(*(f"{name}\\t{year}" for name, year in names))
    for order in ("year", "surname"):
        once = sorted_text(text, order)
        assert sorted(words(once)) == sorted(words(text))
        assert sort_edits(parse_job(once), order) == ()
