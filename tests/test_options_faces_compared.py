"""Faces compared for carving: the very words at the very size, each face worked out as the job would be with it."""

from __future__ import annotations

import pytest

from stopcut.bench.minutes import Logged
from stopcut.cli.faces_command import compared_in_words
from stopcut.errors import CarverError
from stopcut.groove.shape_facts import Carved
from stopcut.job.edits import At, SetKey, apply
from stopcut.job.read import parse_job
from stopcut.options.faces_compared import CarvedBy, compared, packaged_families
from stopcut.work import Work


@pytest.fixture
def work(job_text: str) -> Work:
    return Work(parse_job(job_text))


def test_a_jobs_own_face_comes_to_what_the_job_itself_comes_to(work: Work) -> None:
    found, plan = compared(work, "Cinzel"), work.plan("reading")
    assert found.minutes == plan.minutes
    assert (found.tools, found.steps) == (len(plan.tools), len(plan.steps))
    assert found.thinnest_mm == min(Carved.of(groove).thinnest_mm for groove in work.grooves)
    assert found.fits


def test_another_face_comes_to_what_the_job_would_with_it(work: Work) -> None:
    changed = Work(parse_job(apply(SetKey(At("lettering"), "face", "Jost"), work.job.text).text))
    assert compared(work, "Jost").minutes == changed.plan("reading").minutes
    assert compared(work, "Jost").minutes != compared(work, "Cinzel").minutes


def test_a_sans_has_stronger_thin_strokes_than_a_face_of_fine_hairlines(work: Work) -> None:
    sans, fine = compared(work, "Jost").thinnest_mm, compared(work, "Cardo").thinnest_mm
    assert sans is not None
    assert fine is not None
    assert sans > 2 * fine


def test_a_face_that_runs_wide_keeps_the_size_and_is_said_not_to_fit(job_text: str) -> None:
    fitted = job_text.replace("cap_height = 40\n", "").replace("width = 400", "width = 180").replace("Cinzel", "Jost")
    work = Work(parse_job(fitted))
    assert compared(work, "Jost").fits
    assert not compared(work, "Libre Baskerville").fits


def test_a_face_without_a_character_of_the_words_says_which(job_text: str) -> None:
    greek = Work(parse_job(job_text.replace("Cinzel", "Cardo").replace("PLOT 7", "ΠΛ")))
    with pytest.raises(CarverError, match="Cinzel has no 'Π'"):
        compared(greek, "Cinzel")


def test_a_face_that_is_not_at_hand_is_refused(work: Work) -> None:
    with pytest.raises(CarverError, match="nowhere"):
        compared(work, "A face from nowhere")


def test_timed_letters_and_fixed_tools_count_in_every_face(work: Work) -> None:
    slow = CarvedBy(logged=[Logged(10, 20)] * 6)
    assert compared(work, "Jost", slow).minutes.likely > 1.5 * compared(work, "Jost").minutes.likely
    fixed = CarvedBy(only=("chisel 12", "gouge 8, medium"))
    assert compared(work, "Jost", fixed).tools <= 3


def test_what_progress_raises_ends_the_work(work: Work) -> None:
    class Enough(Exception):
        pass

    def stop(doing: str, done: float) -> None:
        assert doing.startswith("Jost: ")
        raise Enough

    with pytest.raises(Enough):
        compared(work, "Jost", progress=stop)


def test_the_faces_that_come_with_stopcut_are_compared_and_no_others() -> None:
    families = packaged_families()
    assert {"Cinzel", "Jost", "Zilla Slab"} <= set(families)
    assert len(set(families)) == len(families)


def test_the_table_has_the_quickest_face_first_and_says_what_cannot_be(work: Work) -> None:
    made = [compared(work, family) for family in ("Cinzel", "Jost")]
    rows = compared_in_words(made, {"Marcellus": "Marcellus has no 'ø'"}, "mm").splitlines()
    times = {one.family: one.minutes.likely for one in made}
    assert [row.split()[0] for row in rows[1:3]] == sorted(times, key=lambda family: times[family])
    assert " mm " in rows[1]
    assert rows[3] == "Marcellus: Marcellus has no 'ø'"
    assert " in " in compared_in_words(made, {}, "in").splitlines()[1]
