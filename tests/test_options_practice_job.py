"""The job of a practice sheet: chosen letters alone, as the job they are from cuts them."""

from __future__ import annotations

import pytest

from stopcut.errors import CarverError
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.options.practice_job import ALPHABET, practice_text
from stopcut.work import Work


def test_the_practice_job_has_each_letter_once_at_the_job_s_size_and_nothing_else() -> None:
    text = demo_job_text() + (
        '[border]\ninset = 12\nstroke = 4\n[[avoid]]\nwhat = "knot"\nx = 5\ny = 5\nradius = 2\n'
        '[[avoid]]\nwhat = "nail"\nx = 9\ny = 5\nradius = 2\n'
    )
    job = parse_job(practice_text(Work(parse_job(text)), "REER E"))
    assert [line.words for line in job.lines] == ["R E"]
    assert job.lines[0].cap_height_mm == pytest.approx(60)
    assert job.lines[0].wall_deg == 60
    assert job.border is None
    assert job.avoid == ()
    assert job.title == "Marrow Lane gate board: practice"


def test_letters_of_a_fitted_line_are_practised_at_the_size_it_came_out() -> None:
    whole = Work(parse_job(demo_job_text().replace("cap_height = 60", 'cap_height = "fit"')))
    cap = whole.setting.lines[0].cap_height_mm
    assert parse_job(practice_text(whole, "W")).lines[0].cap_height_mm == pytest.approx(cap, abs=1e-3)


@pytest.mark.parametrize(("letters", "said"), [("  ", "no letter"), ("".join(map(chr, range(0x100, 0x180))), "60")])
def test_no_letter_and_a_crowd_of_letters_are_declined(letters: str, said: str) -> None:
    with pytest.raises(CarverError, match=said):
        practice_text(Work(parse_job(demo_job_text())), letters)


@pytest.mark.parametrize("face", ["Cinzel", "EB Garamond", "Alegreya Sans"])
def test_a_to_z_fits_its_board_in_every_face(face: str) -> None:
    whole = Work(parse_job(demo_job_text().replace('face = "Cinzel"', f'face = "{face}"')))
    work = Work(parse_job(practice_text(whole, ALPHABET)))
    assert [finding.code for finding in work.setting.findings if finding.code == "does-not-fit"] == []
