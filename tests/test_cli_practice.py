"""The commands of the practice sheet, the alphabet and the arcs, as a carver types them."""

from __future__ import annotations

import io
from pathlib import Path

import pypdfium2
import pytest

from stopcut.cli.main import main
from stopcut.job.new import demo_job_text


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "home"))
    path = tmp_path / "gate.toml"
    path.write_text(demo_job_text(), encoding="utf-8")
    return path


def status(*arguments: object) -> int:
    with pytest.raises(SystemExit) as left:
        main([str(argument) for argument in arguments])
    return int(left.value.code or 0)


def first_page(path: Path) -> str:
    return pypdfium2.PdfDocument(io.BytesIO(path.read_bytes()))[0].get_textpage().get_text_range()


def test_letters_give_their_strokes_and_say_them_in_order(job: Path, tmp_path: Path, capsys) -> None:
    target = tmp_path / "out" / "strokes.pdf"
    assert status("practice", job, "--letters", "I", "--out", target) == 0
    said = capsys.readouterr().out
    assert "1  Stem of I" in said
    assert "Marrow Lane gate board: practice" in first_page(target)


def test_the_alphabet_ranks_a_to_z(job: Path, tmp_path: Path, capsys) -> None:
    target = tmp_path / "letters.pdf"
    assert status("practice", job, "--alphabet", "--out", target) == 0
    order = capsys.readouterr().out.split("hard: ")[1].split("\n")[0].split()
    assert sorted(order) == list("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    assert "Cinzel from easy to hard" in first_page(target)


def test_without_letters_exercises_are_drawn_and_said_in_order(job: Path, tmp_path: Path, capsys) -> None:
    target = tmp_path / "exercises.pdf"
    assert status("practice", job, "--out", target) == 0
    said = capsys.readouterr().out
    assert said.index("Five uprights") < said.index("The S curve") < said.index("A letter: R")
    assert "Exercises: strokes of Cinzel, 60 mm high" in first_page(target)


@pytest.mark.parametrize("arguments", [["--letters", "A", "--alphabet"], ["--letters", " "]])
def test_both_or_no_letters_are_answered_with_what_to_say(job, tmp_path, capsys, arguments) -> None:
    assert status("practice", job, *arguments, "--out", tmp_path / "no.pdf") == 3
    assert "--letters ER" in capsys.readouterr().err
    assert not (tmp_path / "no.pdf").exists()


def test_a_letter_that_the_face_lacks_is_said_of_the_letters(job: Path, tmp_path: Path, capsys) -> None:
    assert status("practice", job, "--letters", "Ж", "--out", tmp_path / "no.pdf") == 2
    said = capsys.readouterr().err
    assert said.startswith("--letters: Cinzel has no 'Ж'")
    assert "line 2" not in said


def test_arcs_are_written_in_either_units(job: Path, tmp_path: Path) -> None:
    assert status("arcs", "--out", tmp_path / "mm.pdf", "--quiet") == 0
    assert status("arcs", "--out", tmp_path / "in.pdf", "--inches", "--quiet") == 0
    assert "r 10 mm" in first_page(tmp_path / "mm.pdf")
    assert "r 1/2 in" in first_page(tmp_path / "in.pdf")
