"""The face's own spacing of a job's words, laid beside the setting by eye."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
import uharfbuzz as hb

from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.lettering.faces import find_face
from stopcut.options.spacings import face_spacing
from stopcut.work import Work


def work(align: str = "centre", words: str = "AVOWAL Ty", extra: str = "", lettering: str = "weight = 400") -> Work:
    return Work(
        parse_job(
            f"""format = 1
title = "Plot 7"
[board]
width = 900
height = 200
thickness = 22
wood = "lime"
margin = 20
[lettering]
face = "EB Garamond"
{lettering}
cap_height = 60
align = "{align}"
[[line]]
words = "{words}"
{extra}
"""
        )
    )


def kerned(words: str, features: dict[str, bool]) -> list[float]:
    """Pens of EB Garamond 400 by HarfBuzz. [em]"""
    font = hb.Font(hb.Face(hb.Blob.from_file_path(str(find_face("EB Garamond", 400).path))))
    font.set_variations({"wght": 400})
    buffer = hb.Buffer()
    buffer.add_str(words)
    buffer.guess_segment_properties()
    hb.shape(font, buffer, features)
    pens, pen = [], 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        pens += [] if words[info.cluster] == " " else [pen / font.face.upem]
        pen += place.x_advance
    return pens


def test_letters_stand_apart_as_the_face_would_set_them_at_that_size() -> None:
    made = work()
    (line,) = face_spacing(made).lines
    pens = [letter.placed.x_mm for letter in line.letters]
    expected = [pen * line.scale for pen in kerned("AVOWAL Ty", {})]
    assert [pen - pens[0] for pen in pens] == pytest.approx([pen - expected[0] for pen in expected], abs=1e-6)
    (by_eye,) = made.setting.lines
    assert line.scale == by_eye.scale
    assert [letter.placed.y_mm for letter in line.letters] == [letter.placed.y_mm for letter in by_eye.letters]
    assert [one.gap_after_mm is None for one in line.letters] == [one.gap_after_mm is None for one in by_eye.letters]
    for letter, following in pairwise(line.letters):
        if letter.gap_after_mm is not None:
            assert following.placed.bounds_mm.left - letter.placed.bounds_mm.right == pytest.approx(letter.gap_after_mm)


@pytest.mark.parametrize("align", ["left", "centre", "right", "spread"])
def test_a_line_keeps_the_edge_or_middle_that_the_job_aligns_it_by(align: str) -> None:
    made = work(align)
    (by_eye,), (line,) = made.setting.lines, face_spacing(made).lines
    assert line.ink_right_mm - line.ink_left_mm != pytest.approx(by_eye.ink_right_mm - by_eye.ink_left_mm, abs=0.5)
    kept = {
        "left": lambda one: one.ink_left_mm,
        "right": lambda one: one.ink_right_mm,
        "centre": lambda one: one.ink_left_mm + one.ink_right_mm,
        "spread": lambda one: one.ink_left_mm + one.ink_right_mm,
    }[align]
    assert kept(line) == pytest.approx(kept(by_eye))


def test_shifts_by_hand_and_openness_have_no_part_in_the_faces_own_spacing() -> None:
    plainly, shifted = work(), work(extra='openness = 2\nshifts = [{ pair = "AV", by = 9 }]')
    places = [[letter.placed.x_mm for letter in face_spacing(one).lines[0].letters] for one in (plainly, shifted)]
    assert places[0] == pytest.approx(places[1], abs=0.2)  # the middle of the line's ink moves a hair with the gaps
    gaps = [[b - a for a, b in pairwise(line)] for line in places]
    assert gaps[0] == pytest.approx(gaps[1], abs=1e-9)


def test_features_stems_and_strengthened_strokes_are_spaced_by_the_face_that_is_drawn() -> None:
    caps = face_spacing(work(words="small", extra='features = ["smcp"]')).lines[0]
    expected = kerned("small", {"smcp": True})
    assert caps.letters[4].placed.x_mm - caps.letters[0].placed.x_mm == pytest.approx(
        (expected[4] - expected[0]) * caps.scale, abs=1e-6
    )
    bold = work(lettering="stem = 9")
    line = face_spacing(bold).lines[0]
    assert line.letters[0].placed.outline == bold.setting.lines[0].letters[0].placed.outline
    assert line.letters[6].placed.x_mm - line.letters[0].placed.x_mm != pytest.approx(
        kerned("AVOWAL Ty", {})[6] * line.scale, abs=0.5
    )
    strong = work(lettering="weight = 400\nthinnest = 3")
    pens = [letter.placed.x_mm for letter in face_spacing(strong).lines[0].letters]
    thin = [letter.placed.x_mm for letter in face_spacing(work()).lines[0].letters]
    assert [pen - pens[0] for pen in pens] == pytest.approx([pen - thin[0] for pen in thin], abs=1e-6)


def test_the_demo_is_spaced_by_its_faces_on_the_same_lines() -> None:
    made = Work(parse_job(demo_job_text()))
    by_face = face_spacing(made)
    assert [replace(line, letters=(), ink_left_mm=0, ink_right_mm=0) for line in by_face.lines] == [
        replace(line, letters=(), ink_left_mm=0, ink_right_mm=0) for line in made.setting.lines
    ]
    assert len(by_face.placed) == len(made.setting.placed)
