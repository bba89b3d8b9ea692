"""A job worked out: the stages agree with each other and with what the job asked for."""

import math
from pathlib import Path

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


def test_a_shift_that_pushes_two_grooves_together_is_said(job_text: str) -> None:
    tight = job_text + 'shifts = [{ pair = "LO", by = "-8 mm" }]\n'
    assert not {f.code for f in Work(parse_job(job_text)).findings} & {"thin-wood", "touching"}
    assert {f.code for f in Work(parse_job(tight)).findings} & {"thin-wood", "touching"}


def test_letters_pushed_into_each_other_are_carved_as_one_and_measured_each(job_text: str) -> None:
    work = Work(parse_job(job_text + 'shifts = [{ pair = "LO", by = "-20 mm" }]\n'))
    apart = Work(parse_job(job_text))
    assert len(work.grooves) == len(apart.grooves) - 1
    assert set(work.letter_grooves) == set(apart.letter_grooves)
    for key, own in work.letter_grooves.items():
        assert own.volume_mm3 == pytest.approx(apart.letter_grooves[key].volume_mm3, rel=1e-9)
    # What two letters share is cut once: the board's grooves cover less than the letters' own together.
    together = sum(one.plan_area_mm2 for one in work.grooves)
    assert together < sum(one.plan_area_mm2 for one in apart.grooves) - 1
    assert "touching" in {finding.code for finding in work.findings}


def test_what_will_be_planed_off_makes_the_pattern_bolder_and_leaves_the_finished_letters(job_text: str) -> None:
    # Trigonometry: a face lowered by t takes t / tan(wall) from each edge, so a stem of the pattern is 2t / tan(wall)
    # wider, and t deeper.
    off = Work(parse_job(job_text.replace("[[line]]", '[groove]\nface_off = "0.5 mm"\n\n[[line]]')))
    plain = Work(parse_job(job_text))
    for finished, designed, cut in zip(off.grooves, plain.grooves, off.pattern, strict=True):
        assert finished.volume_mm3 == pytest.approx(designed.volume_mm3, rel=1e-9)
        wider = cut.placed.bounds_mm.width - designed.placed.bounds_mm.width
        assert wider >= 2 * 0.5 / math.tan(math.radians(60)) - 0.02
        # Both outlines are flattened, their half-widths within 0.025 mm of each other; a wall of 60° makes depth of it.
        assert cut.max_depth_mm >= designed.max_depth_mm + 0.5 - (0.01 + 0.015) * math.tan(math.radians(60))


def test_lettering_on_the_board_is_matched_by_its_own_measurements(job_text: str) -> None:
    # Measure a board that was set more open and bolder; matching it must find both again.
    there = Work(
        parse_job(job_text.replace("weight = 500", "weight = 600\nopenness = 1.7").replace("PLOT 7", "LOTION"))
    )
    gaps = there.setting.lines[0].letters
    stem = gaps[4 - 1].stem_mm
    assert stem is not None
    measured = ", ".join(
        f'{{ pair = "{one.placed.char}{two.placed.char}", gap = "{one.gap_after_mm:.3f} mm" }}'
        for one, two in ((gaps[1], gaps[2]), (gaps[3], gaps[4]), (gaps[4], gaps[5]))
    )
    match = f'[match]\ncap_height = 40\nstem = "{stem:.3f} mm"\ngaps = [{measured}]\n\n[[line]]'
    added = Work(parse_job(job_text.replace("[[line]]", match)))
    assert added.setting.lines[0].openness == pytest.approx(1.7, abs=0.01)
    assert added.lettered[0].face.weight == pytest.approx(600, abs=4)
    assert "matched" in {finding.code for finding in added.findings}


def test_a_border_and_an_ornament_are_carved_with_the_letters(job_text: str, tmp_path: Path) -> None:
    square = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M0 0H10V10H0Z"/></svg>'
    (tmp_path / "mark.svg").write_text(square, encoding="utf-8")
    more = (
        "[border]\ninset = 4\nstroke = 3\n\n"
        '[[ornament]]\nfile = "mark.svg"\nx = 60\ny = 60\nwidth = 8\n\n'
        '[[ornament]]\nfile = "mark.svg"\nx = 340\ny = 60\nwidth = 8\ncarve = "none"\n\n[[line]]'
    )
    work = Work(parse_job(job_text.replace("[[line]]", more), base_folder=tmp_path))
    border, mark = work.grooves[-1], work.grooves[-2]
    # Closed forms: a pyramid 8 mm square at 60° is 4 · tan 60° deep; a ring's plan area is outside less inside.
    assert mark.max_depth_mm == pytest.approx(4 * math.tan(math.radians(60)), rel=1e-6)
    assert mark.volume_mm3 == pytest.approx(64 * 4 * math.tan(math.radians(60)) / 3, rel=1e-6)
    assert border.plan_area_mm2 == pytest.approx((400 - 8) * (120 - 8) - (400 - 14) * (120 - 14), rel=1e-6)
    assert len(work.ornaments) == 2


def test_strengthened_letters_are_shown_beside_the_faces_own_at_the_same_place(job_text: str) -> None:
    text = job_text.replace("Cinzel", "Cormorant").replace("weight = 500", 'thinnest = "2 mm"')
    work = Work(parse_job(text))
    assert work.before_strengthening
    for before in work.before_strengthening:
        after = next(p for p in work.setting.placed if (p.line, p.index) == (before.line, before.index))
        assert after.on_board.area > before.on_board.area
        assert (after.x_mm, after.y_mm, after.scale) == (before.x_mm, before.y_mm, before.scale)
    assert "strengthened" in {finding.code for finding in work.findings}
    assert Work(parse_job(job_text)).before_strengthening == ()
