"""Jobs to begin with are right jobs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from job_faults import faults_of

from stopcut.job.new import demo_job_text, new_job_text
from stopcut.job.read import parse_job
from stopcut.units import Units


def test_the_demo_is_the_marrow_lane_gate_board() -> None:
    job = parse_job(demo_job_text())
    assert [line.words for line in job.lines] == ["MARROW LANE", "Allotment Society"]
    assert (job.board.width_mm, job.board.height_mm, job.board.wood) == (900, 260, "lime")


@pytest.mark.parametrize(("units", "width_mm"), [("mm", 450), ("in", 457.2)])
def test_a_starter_job_is_right_in_either_unit(units: Units, width_mm: float) -> None:
    job = parse_job(new_job_text("Plot board", ["MARROW LANE", "Plot 12"], units))
    assert (job.title, job.units, job.board.width_mm) == ("Plot board", units, width_mm)
    assert [line.words for line in job.lines] == ["MARROW LANE", "Plot 12"]


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_settings_at_rest_in_a_starter_job_are_right_once_they_are_woken(units: Units) -> None:
    text = new_job_text(words=["MARROW LANE"], units=units)
    for key in ("wanted_by", "flat_bottom", "size", "shifts"):
        assert text.count(f"\n# {key} = ") == 1
        text = text.replace(f"\n# {key} = ", f"\n{key} = ")
    job = parse_job(text)
    assert job.wanted_by is not None
    assert job.lines[0].flat_bottom_mm is not None
    assert job.lines[0].size == 0.6
    assert len(job.lines[0].shifts) == 1


def test_a_starter_job_says_what_is_out_of_scope() -> None:
    assert "Raised lettering and relief are out of its scope" in new_job_text()


def test_a_starter_job_names_its_own_file_in_the_commands() -> None:
    assert "stopcut measure plot.toml" in new_job_text(name="plot.toml")
    assert 'stopcut measure "my plot.toml"' in new_job_text(name="my plot.toml")


@given(st.text(max_size=20), st.lists(st.text(max_size=20), max_size=3))
def test_any_title_and_words_are_written_so_that_they_are_read_back(title: str, words: list[str]) -> None:
    text = new_job_text(title, words)
    faults = faults_of(text)
    assert all(fault.key in ("title", "line") or fault.key.endswith("].words") for fault in faults)
    if not faults:
        job = parse_job(text)
        assert (job.title, [line.words for line in job.lines]) == (title, words)
