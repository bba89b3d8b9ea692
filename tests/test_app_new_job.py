"""A new job in one row, and the jobs by the day they are wanted."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.app.jobs_page import USUAL_WOOD
from stopcut.app.new_job import SIZES, begun, by_day_wanted, is_near, title_of, wanted_of, wanted_words
from stopcut.app.wood_list import USUAL_WOODS, listed_woods
from stopcut.job.edit_values import Refused
from stopcut.job.new import new_job_text
from stopcut.job.read import parse_job
from stopcut.shop.shop_file import Shop
from stopcut.shop.woods import woods
from stopcut.store.values import JobEntry

NOW = datetime.datetime(2027, 3, 1, tzinfo=datetime.UTC)
TODAY = NOW.date()


def entry(name, wanted=""):
    return JobEntry(name, name, f"wanted_by = {wanted}\n" if wanted else "", 1, NOW)


def test_a_title_is_made_of_the_words_and_of_no_more_than_a_line_holds():
    assert title_of(["MARROW LANE", "Plot 12"]) == "Marrow Lane Plot 12"
    assert len(title_of(["word " * 40])) <= 60


def test_a_row_of_fields_is_a_right_job_with_what_they_say():
    board = {"width": "600", "height": "220", "thickness": "30", "wood": "white oak"}
    job = parse_job(begun(["PLOT 7"], "mm", "", board, "2027-03-04"))
    assert (job.title, job.board.width_mm, job.board.height_mm) == ("Plot 7", 600, 220)
    assert (job.board.thickness_mm, job.board.wood, job.wanted_by) == (30, "white oak", datetime.date(2027, 3, 4))


@pytest.mark.parametrize("units", ["mm", "in"])
def test_fields_left_as_they_were_filled_in_make_the_usual_job(units):
    assert begun(["PLOT 7"], units, "Gate", SIZES[units]) == new_job_text("Gate", ["PLOT 7"], units)


def test_what_is_wrong_is_refused_before_a_job_is_begun():
    with pytest.raises(Refused):
        begun(["PLOT"], "mm", board={"width": "wide"})
    with pytest.raises(ValueError, match="year, month, day"):
        begun(["PLOT"], "mm", wanted="soon")


@given(st.lists(st.sampled_from(["", "2027-03-04", "2027-02-01", "2028-01-01", "no day"])))
def test_the_soonest_wanted_comes_first_and_no_job_is_lost(days):
    entries = [entry(str(at), day) for at, day in enumerate(days)]
    told = by_day_wanted(entries)
    assert sorted(one.id for one, _ in told) == sorted(one.id for one in entries)
    named = [day for _, day in told if day]
    assert named == sorted(named)
    assert all(day is None for _, day in told[len(named) :])


def test_a_day_is_said_as_a_person_says_it():
    assert wanted_words(None, TODAY) == "no day named"
    assert wanted_words(datetime.date(2027, 3, 2), TODAY) == "wanted tomorrow"
    assert wanted_words(datetime.date(2027, 3, 19), TODAY).startswith("wanted Friday 19 March")
    assert is_near(datetime.date(2027, 3, 3), TODAY)
    assert not is_near(datetime.date(2027, 3, 4), TODAY)
    assert wanted_of("wanted_by = 2027-03-04T10:00:00") is None


def test_the_wood_chosen_at_first_is_the_one_that_a_new_job_means():
    job = parse_job(new_job_text("Gate", ["PLOT 7"], "mm"))
    assert Shop().wood_called(job.board.wood).wood.name == USUAL_WOOD


def test_woods_are_listed_once_each_the_usual_ones_first():
    names = {wood.name for wood in woods()}
    listed = listed_woods(names)
    assert sorted(listed) == sorted(names)
    assert tuple(listed[: len(USUAL_WOODS)]) == USUAL_WOODS
    assert listed[len(USUAL_WOODS) :] == sorted(listed[len(USUAL_WOODS) :])
