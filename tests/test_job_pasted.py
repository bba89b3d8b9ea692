"""Lists as people have them, read into lines and put into a job."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.job.edits import apply
from stopcut.job.new import new_job_text
from stopcut.job.pasted import column_edit, list_edits, read_list
from stopcut.job.read import parse_job


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("Ada Fenn\t1998", "Ada Fenn\t1998"),
        ("1998 | Ada Fenn", "1998\tAda Fenn"),
        ("Ada Fenn      1998", "Ada Fenn\t1998"),
        ("1998 Ada Fenn", "1998\tAda Fenn"),
        ("1998: Ada Fenn", "1998\tAda Fenn"),
        ("Ada Fenn, 1998", "Ada Fenn\t1998"),
        ("Ada Fenn (1998)", "Ada Fenn\t1998"),
        ("1998–2001 Ada Fenn", "1998–2001\tAda Fenn"),
        ("Ada Fenn 1998/99", "Ada Fenn\t1998/99"),
        ("Captain\tAda Fenn\t1998", "Captain Ada Fenn\t1998"),
        ("Ada Fenn", "Ada Fenn"),
        ("Plot 7", "Plot 7"),
        ("1998", "1998"),
    ],
)
def test_a_name_and_its_year_are_parted_however_they_were_written(written: str, read: str) -> None:
    assert read_list(written).words == (read,)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("1998 Ada Fenn\n1999 Vi Otter\n", "Read as year | name, 2 lines"),
        ("Ada Fenn 1998\n\n Vi Otter 1999", "Read as name | year, 2 lines"),
        ("Ada Fenn\nVi Otter\nWyn Avery", "Read as names alone, 3 lines"),
        ("Ada Fenn", "Read as names alone, 1 line"),
    ],
)
def test_it_is_said_how_a_list_was_read_before_it_is_put_in(written: str, says: str) -> None:
    assert read_list(written).says == says


def put(text: str, pasted: str) -> str:
    for edit in list_edits(read_list(pasted), parse_job(text)):
        text = apply(edit, text).text
    return text


def test_a_list_stands_after_what_was_there_and_its_years_level_where_they_come_first() -> None:
    job = parse_job(put(new_job_text(words=["Honours"], name="job.toml"), "1998 Ada Fenn\n1999 Vi Otter"))
    assert [line.words for line in job.lines] == ["Honours", "1998\tAda Fenn", "1999\tVi Otter"]
    assert [line.in_columns for line in job.lines] == [False, True, True]
    assert job.columns.after_tab == "stop"


def test_more_of_a_list_leaves_its_columns_as_they_are() -> None:
    text = put(new_job_text(words=["Honours"], name="job.toml"), "Ada Fenn 1998")
    text = apply(column_edit(parse_job(text), "number", 2), text).text
    job = parse_job(put(text, "1999 Vi Otter\n2000 Wyn Avery"))
    assert (job.columns.number, job.columns.after_tab) == (2, "edge")


def test_a_columns_key_is_set_with_and_without_its_table_and_taken_out() -> None:
    text = new_job_text(words=["Honours"], name="job.toml")
    for key, value in (("number", 3), ("after_tab", "stop"), ("between", "40 mm")):
        text = apply(column_edit(parse_job(text), key, value), text).text
    columns = parse_job(text).columns
    assert (columns.number, columns.after_tab, columns.between_mm) == (3, "stop", 40)
    text = apply(column_edit(parse_job(text), "number", None), text).text
    assert parse_job(text).columns.number == 1


def test_names_alone_stand_in_columns_too() -> None:
    job = parse_job(put(new_job_text(words=["Honours"], name="job.toml"), "Ada Fenn\nVi Otter"))
    assert [line.in_columns for line in job.lines] == [False, True, True]


@given(st.text(st.characters(codec="utf-8", exclude_categories=("C",)) | st.sampled_from("\t| 19"), max_size=80))
def test_nothing_but_what_parts_them_is_lost_of_a_list(text: str) -> None:
    def bare(written: str) -> list[str]:
        return [char for char in written if not char.isspace() and char not in "|,:.()"]

    found = read_list(text)
    assert bare("".join(found.words)) == bare(text)
    assert all(one.count("\t") <= 1 and one.strip() for one in found.words)
