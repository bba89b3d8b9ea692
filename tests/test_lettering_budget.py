"""What is more than can be worked out is a fault at its key, at once."""

import pytest

from stopcut import keep
from stopcut.errors import WrongJob
from stopcut.job.read import parse_job
from stopcut.shape.offset import BadOffset
from stopcut.work import Work

BOARD = 'format = 1\ntitle = "Marrow Lane"\n[board]\nwidth = 9000\nheight = 4000\nthickness = 100\nmargin = 1\n'


def _fault(lettering: str, words: str = "MARROW", more: str = "") -> str:
    with pytest.raises(WrongJob) as wrong:
        _ = Work(parse_job(f'{BOARD}{more}[lettering]\n{lettering}\n[[line]]\nwords = "{words}"\n')).findings
    (fault,) = wrong.value.faults
    return str(fault)


def test_strokes_thicker_than_half_the_letters_are_a_fault_at_thinnest() -> None:
    said = _fault("cap_height = 50\nthinnest = 60")
    assert said == (
        "lettering.thinnest, line 10: strokes of 60 mm do not fit into letters 50 mm high; stay under 25 mm"
    )


def test_strokes_too_fine_for_large_letters_are_a_fault_before_any_is_looked_for(monkeypatch) -> None:
    monkeypatch.setattr("stopcut.lettering.strong_lines.strengthen", None)
    said = _fault("cap_height = 2000\nthinnest = 0.1")
    assert said.startswith(
        "lettering.thinnest, line 10: strokes of 0.1 mm are too fine to look for in letters 2000 mm high"
    )
    least = said.rpartition("ask for ")[2].partition(" or more")[0]
    parse_job(f'{BOARD}[lettering]\nthinnest = "{least}"\n[[line]]\nwords = "A"\n')  # it can be written as it is said


def test_too_many_letters_are_a_fault_of_the_lines() -> None:
    lines = "".join(f'[[line]]\nwords = "{"ab" * 500}"\n' for _ in range(6))
    with pytest.raises(WrongJob) as wrong:
        parse_job(BOARD + lines)
    assert [fault.key for fault in wrong.value.faults] == ["line"]
    assert "6,000 letters in all, and 5,000 are the most" in str(wrong.value)
    parse_job(BOARD + lines.replace("[[line]]", "#", 1).replace("words", "# words", 1))


def test_too_many_points_in_all_letters_are_a_fault_of_the_lines(monkeypatch) -> None:
    monkeypatch.setattr("stopcut.lettering.budget.MOST_POINTS", 20)
    assert _fault("").startswith("line, line 10: the letters' outlines have ")


def test_what_cannot_be_drawn_bolder_is_a_fault_at_face_off_that_names_the_letter(monkeypatch) -> None:
    def never(*_):
        raise BadOffset("no")

    monkeypatch.setattr("stopcut.groove.allowance.mitred", never)
    said = _fault("cap_height = 50", more="[groove]\nface_off = 5\n")
    assert said == (
        "groove.face_off, line 9: 'M' (line 1, letter 1) cannot be drawn so much bolder; "
        "take less off the face, or carve it larger"
    )


def test_too_many_pieces_in_the_ornaments_are_a_fault_at_the_one_that_is_too_much(monkeypatch, tmp_path) -> None:
    monkeypatch.setattr("stopcut.groove.ornament.MOST_PIECES", 7)
    square = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9V9H0Z"/></svg>'
    (tmp_path / "mark.svg").write_text(square, encoding="utf-8")
    one = '[[ornament]]\nfile = "mark.svg"\nx = 9\ny = 9\nwidth = 9\n'
    job = parse_job(f'{BOARD}{one}{one}[[line]]\nwords = "A"\n', base_folder=tmp_path)
    with pytest.raises(WrongJob, match=r"ornament\[2\]\.file, line 14: with this one the ornaments have 8 pieces"):
        _ = Work(job).ornaments


def test_an_outline_that_takes_too_long_is_a_finding_and_the_board_comes_out(monkeypatch, tmp_path) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))  # another test may have cut the same letter before,
    keep.forget_all()  # and what is kept asks no clock
    monkeypatch.setattr("stopcut.groove.wavefront.SECONDS", -1.0)
    monkeypatch.setattr("stopcut.groove.wavefront.EVENTS", 1)
    work = Work(parse_job(f'{BOARD}[lettering]\ncap_height = 47.123\nface = "Spectral"\n[[line]]\nwords = "Q"\n'))
    assert [finding.code for finding in work.findings if finding.severity == "stop"] == ["no-groove"]
    assert "takes too long" in work.findings[0].says
