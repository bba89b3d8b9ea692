"""The weight for a stem: solved on an axis, measured back on fontTools' own instance."""

from __future__ import annotations

from pathlib import Path

import pytest
from fontTools.pens.recordingPen import RecordingPen
from making_fonts import instance, packaged

from stopcut.errors import BadFace
from stopcut.lettering.stems import weight_for_stem

ASKED_MM = 0.05
CAPS_MM = 60.0


@pytest.mark.parametrize(
    ("family", "stems"),
    [("Cinzel", (0.07, 0.1, 0.19)), ("Josefin Sans", (0.04, 0.13)), ("EB Garamond", (0.1,)), ("Literata", (0.12,))],
)
def test_the_solved_weight_has_the_stem_to_a_twentieth_of_a_millimetre(family: str, stems: tuple[float, ...]) -> None:
    for wanted in stems:
        choice = weight_for_stem(family, wanted)
        assert choice.reached
        em_mm = CAPS_MM / 0.65
        assert choice.stem_em is not None
        assert abs(choice.stem_em - wanted) * em_mm < ASKED_MM


def test_the_solved_weight_measured_on_fonttools_instance_has_that_stem() -> None:
    choice = weight_for_stem("Cinzel", 0.12)
    font = instance(packaged("cinzel"), choice.weight, "I")
    pen = RecordingPen()
    font.getGlyphSet()["I"].draw(pen)
    middle = sorted(set(_crossings(pen, 350)))
    assert (middle[1] - middle[0]) / 1000 == pytest.approx(0.12, abs=0.001)  # the instance is rounded to units


def _crossings(pen: RecordingPen, height: float) -> list[float]:
    """Where straight upright sides cross a height."""
    at, found = (0.0, 0.0), []
    for verb, points in pen.value:
        if verb == "lineTo" and (at[1] > height) != (points[0][1] > height):
            found.append(at[0])
        if points:
            at = points[-1]
    return found


def test_beyond_what_the_axis_can_the_nearest_end_is_taken_and_said_so() -> None:
    thin, thick = weight_for_stem("Cinzel", 0.01), weight_for_stem("Cinzel", 0.5)
    assert (thin.weight, thin.reached) == (400, False)
    assert (thick.weight, thick.reached) == (900, False)


def test_of_a_static_family_the_file_with_the_nearest_stem_is_taken() -> None:
    choices = [weight_for_stem("Spectral", wanted) for wanted in (0.04, 0.09, 0.2)]
    widths = [choice.stem_em for choice in choices]
    assert widths == sorted(widths)
    assert choices[1].file.path == packaged("spectral")
    assert [choice.weight for choice in choices] == [None, None, None]
    assert choices[1].reached == (abs(widths[1] - 0.09) <= 1e-4)


def test_an_italics_stem_is_measured_square_to_it() -> None:
    choice = weight_for_stem("Jost Italic", 0.1)
    assert choice.reached
    assert choice.file.path == packaged("jost", italic=True)


def test_a_face_of_no_such_name_is_a_bad_face() -> None:
    with pytest.raises(BadFace):
        weight_for_stem("Nonesuch", 0.1)
    with pytest.raises(BadFace):
        weight_for_stem("none.ttf", 0.1, Path("/"))
