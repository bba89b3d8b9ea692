"""Planning with one's own rates, listing strokes, and mending, from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from stopcut.cli.main import main

TEXT = """\
format = 1
title = "Marrow Lane tool shed"
[board]
width = 300
height = 120
thickness = 26
[lettering]
cap_height = 40
[[line]]
words = "SHED"
"""


@pytest.fixture
def job_file(tmp_path: Path) -> Path:
    path = tmp_path / "shed.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def run(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as ended:
        main([str(one) for one in arguments])
    said = capsys.readouterr()
    return int(ended.value.code or 0), said.out, said.err


def test_a_plan_reads_ones_own_rates_by_itself(
    capsys: pytest.CaptureFixture[str], job_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setenv("STOPCUT_HOME", str(home))
    before = json.loads(run(capsys, "plan", job_file, "--json")[1])
    letter = before["letters"][0]["reckoned"]
    logged = f"[[logged]]\nreckoned = {letter}\ntaken = {2 * letter}\n" * 3
    (home / "rates.toml").write_text("format = 1\n" + logged, encoding="utf-8")
    after = json.loads(run(capsys, "plan", job_file, "--json")[1])
    assert (before["minutes"]["timed"], after["minutes"]["timed"]) == (0, 3)
    assert after["minutes"]["likely"] > 1.5 * before["minutes"]["likely"]
    assert after["minutes"]["pace"] > 1.5
    assert "with 3 timed letters; without them about" in run(capsys, "plan", job_file)[1]
    (home / "rates.toml").write_text("format = 1\n[rates]\nrest = 9\n", encoding="utf-8")
    status, _, err = run(capsys, "plan", job_file)
    assert status == 2
    assert "rates.toml rates.rest, line 3" in err


def test_a_plan_lists_strokes_by_number(capsys: pytest.CaptureFixture[str], job_file: Path) -> None:
    out = run(capsys, "plan", job_file, "--strokes")[1]
    assert "line 1, letter 2, H: 1 " in out
    assert "stem (middle at" in out
    assert "letter 2, H" not in run(capsys, "plan", job_file)[1]


def test_a_timed_letter_that_is_far_off_is_said_and_changes_nothing(
    capsys: pytest.CaptureFixture[str], job_file: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))
    untimed = run(capsys, "plan", job_file)[1]
    slip = 'format = 1\n[[logged]]\nwhat = "R of the gate board"\nreckoned = 12\ntaken = 1\n'
    (tmp_path / "rates.toml").write_text(slip, encoding="utf-8")
    status, out, err = run(capsys, "plan", job_file)
    assert (status, out) == (0, untimed)
    assert "R of the gate board took 1 min" in err
    (tmp_path / "rates.toml").write_text(slip + "sure = true\n", encoding="utf-8")
    _, out, err = run(capsys, "plan", job_file)
    assert out != untimed
    assert "took 1 min" not in err


def test_mending_without_a_way_says_how_to_glue(capsys: pytest.CaptureFixture[str], job_file: Path) -> None:
    status, out, _ = run(capsys, "mend", job_file)
    assert status == 0
    assert "Glue a chip back" in out
    assert "--widen" in out


def test_a_job_in_inches_is_told_of_mending_and_strokes_in_inches(
    capsys: pytest.CaptureFixture[str], job_file: Path
) -> None:
    board = '[board]\nwidth = 12\nheight = 5\nthickness = 1\n[lettering]\ncap_height = 2\n[[line]]\nwords = "SHED"\n'
    job_file.write_text('format = 1\ntitle = "Shed"\nunits = "in"\n' + board, encoding="utf-8")
    for arguments in (("mend", job_file), ("plan", job_file, "--strokes")):
        status, out, _ = run(capsys, *arguments)
        assert status == 0
        assert " in" in out
        assert " mm" not in out


def test_a_letter_is_widened_in_the_job_that_is_asked_for_and_the_old_one_stays(
    capsys: pytest.CaptureFixture[str], job_file: Path, tmp_path: Path
) -> None:
    target = tmp_path / "mended.toml"
    status, out, _ = run(capsys, "mend", job_file, "--letter", 2, "--widen", "0.5 mm", "--out", target)
    assert status == 0
    assert "H (line 1, letter 2), every stroke 0.5 mm wider" in out
    assert job_file.read_text(encoding="utf-8") == TEXT
    assert 'widen = [{ letter = "H", nth = 1, by = "0.5 mm" }]' in target.read_text(encoding="utf-8")
    status, _, err = run(capsys, "mend", job_file, "--letter", 3, "--widen", "0.5 mm", "--out", target)
    assert status == 3
    assert "is there already" in err
    assert '"H"' in target.read_text(encoding="utf-8")


def test_planing_is_told_and_written(capsys: pytest.CaptureFixture[str], job_file: Path, tmp_path: Path) -> None:
    target = tmp_path / "planed.toml"
    _, out, _ = run(capsys, "mend", job_file, "--plane", "1", "--out", target)
    assert "25 mm of board left; every stroke 1.1 mm narrower" in out
    text = target.read_text(encoding="utf-8")
    assert 'thickness = "25 mm"' in text
    assert 'planed = "1 mm"' in text


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--widen", "1 mm"), "--letter 3"),
        (("--letter", "2", "--widen", "a bit"), "--widen"),
        (("--plane", "-1 mm"), "more than nothing"),
        (("--plane", "1 mm", "--widen", "1 mm", "--letter", "1"), "or plane the face"),
        (("--letter", "9", "--widen", "1 mm"), "no letter 9"),
        (("--plane", "30 mm"), "would be wrong"),
    ],
)
def test_what_cannot_be_mended_so_is_said(
    capsys: pytest.CaptureFixture[str], job_file: Path, options: tuple[str, ...], said: str
) -> None:
    status, out, err = run(capsys, "mend", job_file, *options)
    assert status == 3
    assert said in err
    assert out == ""
