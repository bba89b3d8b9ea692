"""A job worked out: the stages agree with each other and with what the job asked for."""

import math

import pytest

from stopcut.errors import WrongJob
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.work import Work


@pytest.fixture(scope="module")
def demo() -> Work:
    return Work(parse_job(demo_job_text()))


def test_every_letter_of_the_demo_has_a_groove_where_it_stands(demo: Work) -> None:
    placed = demo.setting.placed
    assert [p.char for p in placed] == list("MARROWLANEAllotmentSociety")
    assert [g.placed for g in demo.grooves[: len(placed)]] == list(placed)


def test_the_demo_stands_within_its_margins(demo: Work) -> None:
    board = demo.job.board
    for line in demo.setting.lines:
        assert line.ink_left_mm >= board.margin_mm - 1
        assert line.ink_right_mm <= board.width_mm - board.margin_mm + 1


def test_a_groove_is_as_deep_as_its_widest_place_and_the_wall_angle_say(demo: Work) -> None:
    # depth = half-width · tan(wall), by trigonometry; no half-width can pass the roof's own greatest height.
    for groove in demo.grooves:
        half_width = float(groove.roof.heights.max()) * groove.placed.scale
        assert groove.max_depth_mm == pytest.approx(min(half_width * math.tan(math.radians(60)), 12), rel=1e-9)


def test_a_line_of_figures_takes_the_height_of_figures_and_says_so(job_text: str) -> None:
    work = Work(parse_job(job_text.replace("PLOT 7", "1931").replace("Cinzel", "Spectral")))
    tops = [letter.placed.bounds_mm.height for letter in work.setting.lines[0].letters if letter.placed.char == "1"]
    assert tops[0] == pytest.approx(40, abs=0.6)
    assert [finding.code for finding in work.findings if finding.code == "height-from-figures"]


def test_a_stem_in_millimetres_is_met_on_a_face_with_weights(job_text: str) -> None:
    work = Work(parse_job(job_text.replace("weight = 500", 'stem = "4.6 mm"').replace("PLOT 7", "IN")))
    assert work.setting.lines[0].letters[0].stem_mm == pytest.approx(4.6, abs=0.05)


def test_a_character_the_face_lacks_is_a_fault_at_its_line(job_text: str) -> None:
    with pytest.raises(WrongJob) as caught:
        _ = Work(parse_job(job_text.replace("PLOT 7", "PLØT Ⴉ"))).setting
    fault = caught.value.faults[0]
    assert fault.key == "line[1].words"
    assert fault.line == job_text.splitlines().index('words = "PLOT 7"') + 1
    assert "Ⴉ" in fault.found or "Ø" in fault.found


def test_an_unknown_face_is_a_fault_at_the_key_that_names_it(job_text: str) -> None:
    with pytest.raises(WrongJob) as caught:
        _ = Work(parse_job(job_text.replace("Cinzel", "Cinzell"))).setting
    fault = caught.value.faults[0]
    assert (fault.key, "Cinzel" in fault.found) == ("lettering.face", True)


def test_fit_with_a_stem_in_millimetres_settles(job_text: str) -> None:
    text = job_text.replace("weight = 500", 'stem = "9 mm"').replace("cap_height = 40", 'cap_height = "fit"')
    line = Work(parse_job(text.replace("PLOT 7", "INN"))).setting.lines[0]
    assert line.letters[0].stem_mm == pytest.approx(9, abs=0.05)
    assert line.cap_height_mm > 40
