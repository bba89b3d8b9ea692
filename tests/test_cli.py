"""The commands as a carver types them: what they print, what they write, how they leave."""

import contextlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from stopcut.cli import main
from stopcut.lettering.faces import list_faces

BEGINNINGS = {".pdf": b"%PDF", ".png": b"\x89PNG", ".svg": b"<?xml", ".toml": b"format"}


def run(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    """A command's exit status, and what it wrote to standard output and standard error."""
    with pytest.raises(SystemExit) as left:
        main([str(argument) for argument in arguments])
    said = capsys.readouterr()
    return int(left.value.code or 0), said.out, said.err


def test_stopcut_alone_says_what_to_do_first(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys)
    assert status == 0
    assert "stopcut demo" in out
    assert "stopcut new" in out


def test_the_demo_leaves_a_pattern_a_drawing_a_picture_and_the_job(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    status, out, _ = run(capsys, "demo", tmp_path / "board")
    assert status == 0
    assert {path.name for path in (tmp_path / "board").iterdir()} == {
        "pattern.pdf",
        "board.svg",
        "carved.png",
        "job.toml",
    }
    assert "26 letters" in out
    assert run(capsys, "measure", tmp_path / "board" / "job.toml", "--quiet")[0] == 0


def test_a_new_job_can_be_measured_at_once_and_is_never_written_over(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "gate.toml"
    assert run(capsys, "new", path, "--words", "MARROW LANE", "--words", "Plot 12", "--inches")[0] == 0
    text = path.read_text(encoding="utf-8")
    assert "relief" in text
    assert run(capsys, "measure", path)[0] == 0
    status, _, err = run(capsys, "new", path)
    assert status == 3
    assert "left as it is" in err
    assert path.read_text(encoding="utf-8") == text


def test_measure_gives_the_documented_figures(capsys: pytest.CaptureFixture[str], job_file: Path) -> None:
    status, out, _ = run(capsys, "measure", job_file, "--json")
    figures = json.loads(out)
    assert status == 0
    assert set(figures) == {"format", "board", "lines", "findings", "totals"}
    assert set(figures["totals"]) == {"letters", "max_depth_mm", "volume_mm3", "wall_area_mm2", "stop_cut_mm"}
    (line,) = figures["lines"]
    assert [letter["char"] for letter in line["letters"]] == list("PLOT7")
    assert [letter["index"] for letter in line["letters"]] == [1, 2, 3, 4, 5]
    for letter, following in zip(line["letters"], line["letters"][1:], strict=False):
        gap = following["left_mm"] - letter["right_mm"]
        if following["char"] == "7":
            assert letter["gap_after_mm"] is None
        else:
            assert letter["gap_after_mm"] == pytest.approx(gap, abs=2e-4)
    assert figures["totals"]["volume_mm3"] == pytest.approx(sum(one["volume_mm3"] for one in line["letters"]), abs=0.01)
    assert line["ink_left_mm"] == line["letters"][0]["left_mm"]
    # A wall of 60° has twice the area of its plan (1/cos 60°), by trigonometry.
    for letter in line["letters"]:
        assert letter["wall_area_mm2"] == pytest.approx(2 * letter["plan_area_mm2"], rel=1e-6)


def test_a_wrong_job_prints_its_faults_leaves_with_two_and_writes_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job_text: str
) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(job_text.replace("cap_height", "cap_hieght").replace("width = 400", "width = -1"), encoding="utf-8")
    status, out, _ = run(capsys, "measure", path, "--json")
    faults = json.loads(out)["faults"]
    assert status == 2
    assert {fault["key"] for fault in faults} == {"board.width", "lettering.cap_hieght"}
    assert all(fault["line"] for fault in faults)
    status, out, err = run(capsys, "sheets", path, "--out", tmp_path / "out")
    assert status == 2
    assert "did you mean cap_height?" in err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("words", "face"), [("PLOT \u10a9", "Cinzel"), ("PLOT 7", "./none.ttf"), ("PLOT 7", "No Such Face")]
)
def test_a_lacking_character_or_face_is_a_wrong_job(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job_text: str, words: str, face: str
) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(job_text.replace("PLOT 7", words, 2).replace("Cinzel", face), encoding="utf-8")
    status, out, _ = run(capsys, "measure", path, "--json")
    assert status == 2
    assert json.loads(out)["faults"][0]["line"]


def test_a_text_file_named_as_a_font_is_a_wrong_job(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job_text: str
) -> None:
    (tmp_path / "words.ttf").write_text("no font at all")
    path = tmp_path / "bad.toml"
    path.write_text(job_text.replace("Cinzel", "words.ttf"), encoding="utf-8")
    status, out, _ = run(capsys, "measure", path, "--json")
    assert status == 2
    assert "words.ttf" in json.loads(out)["faults"][0]["found"]


def test_words_wider_than_the_board_stop_the_job_and_are_drawn_all_the_same(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, job_text: str
) -> None:
    path = tmp_path / "wide.toml"
    path.write_text(job_text.replace("PLOT 7", "MARROW LANE ALLOTMENT SOCIETY"), encoding="utf-8")
    status, _, err = run(capsys, "sheets", path, "--out", tmp_path / "out")
    assert status == 1
    assert "stop: Line 1 is" in err
    assert (tmp_path / "out" / "pattern.pdf").exists()


def test_faces_are_compared_for_a_jobs_words(
    capsys: pytest.CaptureFixture[str], job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    two = tuple(face for face in list_faces(system=False) if face.family in ("Cinzel", "Jost"))
    monkeypatch.setattr("stopcut.cli.faces_command.list_faces", lambda system: two)
    status, out, err = run(capsys, "faces", "--for", job_file)
    head, *rows = out.splitlines()
    assert (status, err) == (0, "")
    assert head.split() == ["face", "about", "thinnest", "riskiest", "tools"]
    assert {row.split()[0] for row in rows} == {"Cinzel", "Jost"}
    wrong = job_file.with_name("wrong.toml")
    wrong.write_text("format = 1\n", encoding="utf-8")
    assert run(capsys, "faces", "--for", wrong)[0] == 2


def test_the_faces_are_listed_with_their_licences(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    status, out, _ = run(capsys, "faces", "--specimen", tmp_path / "specimen.png")
    assert status == 0
    assert any(line.startswith("Cinzel") and "OFL" in line for line in out.splitlines())
    pages = sorted(tmp_path.glob("specimen-*.png"))
    assert len(pages) > 1
    assert all(page.read_bytes().startswith(b"\x89PNG") and page.name in out for page in pages)


def test_an_unknown_command_is_answered_in_plain_words(capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = run(capsys, "engrave")
    assert status == 3
    assert "Traceback" not in err
    assert "--help" in err


def test_a_fresh_process_says_the_same_and_never_shows_a_traceback(tmp_path: Path) -> None:
    env = {**os.environ, "STOPCUT_HOME": str(tmp_path / "home")}
    done = subprocess.run(
        [sys.executable, "-m", "stopcut", "measure", str(tmp_path)],
        capture_output=True,
        text=True,
        env=env,
        check=False,
    )
    assert done.returncode == 2
    assert "folder" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_plan_has_every_cut_in_an_order_that_keeps_its_rules(
    capsys: pytest.CaptureFixture[str], job_file: Path
) -> None:
    status, out, _ = run(capsys, "plan", job_file, "--json", "--order", "stroke")
    plan = json.loads(out)
    assert status == 0
    assert plan["order"] == "stroke"
    assert plan["pick_ups"]["stroke"] == min(plan["pick_ups"].values())
    assert plan["minutes"]["low"] < plan["minutes"]["likely"] < plan["minutes"]["high"]
    assert plan["covered"]["wall"] >= 0.98
    assert plan["covered"]["centre"] == pytest.approx(1, abs=1e-3)
    done: set[str] = set()
    for cut in plan["cuts"]:
        assert set(cut["after"]) <= done, cut["id"]
        done.add(cut["id"])
    assert {cut["letter"] for cut in plan["cuts"]} == {1, 2, 3, 4, 5}


def test_a_plan_says_its_tools_and_time_in_plain_words(capsys: pytest.CaptureFixture[str], job_file: Path) -> None:
    status, out, _ = run(capsys, "plan", job_file, "--skill", "first board")
    assert status == 0
    assert "stop cuts" in out
    assert "chisel" in out
    assert " min" in out


def test_a_wrong_tool_roll_is_told_like_a_wrong_job(
    capsys: pytest.CaptureFixture[str], job_file: Path, tmp_path: Path
) -> None:
    roll = tmp_path / "tools.toml"
    roll.write_text('format = 1\n[[tool]]\nname = "gouge"\nkind = "spoon"\nwidth = 8\n', encoding="utf-8")
    status, _, err = run(capsys, "plan", job_file, "--tools", roll)
    assert status == 2
    assert "line 4" in err


def test_a_terminal_without_our_signs_shows_what_it_can(job_file: Path, tmp_path: Path) -> None:
    env = {**os.environ, "STOPCUT_HOME": str(tmp_path / "home"), "PYTHONIOENCODING": "ascii", "LANG": "C"}
    for more in ([], ["--json"]):
        done = subprocess.run(
            [sys.executable, "-m", "stopcut", "measure", str(job_file), *more],
            capture_output=True,
            env=env,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert b"Traceback" not in done.stderr
        assert done.stdout.isascii()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_told_in_a_sentence(job_file: Path, tmp_path: Path) -> None:
    env = {**os.environ, "STOPCUT_HOME": str(tmp_path / "home")}
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "stopcut", "measure", str(job_file)],
            stdout=full,
            stderr=subprocess.PIPE,
            env=env,
            check=False,
        )
    assert done.returncode == 3
    assert b"Traceback" not in done.stderr
    assert b"could not be said or written" in done.stderr


def test_a_run_killed_in_the_middle_leaves_old_files_or_new_ones_but_no_half(
    capsys: pytest.CaptureFixture[str], job_file: Path, tmp_path: Path
) -> None:
    out, env = tmp_path / "out", {**os.environ, "STOPCUT_HOME": str(tmp_path / "home")}
    assert run(capsys, "sheets", job_file, "--out", out, "--quiet")[0] == 0
    sizes = {path.name: len(path.read_bytes()) for path in out.iterdir()}
    for delay in (0.6, 0.9, 1.1, 1.3, 1.5, 1.8):
        command = [sys.executable, "-m", "stopcut", "sheets", str(job_file), "--out", str(out), "--quiet"]
        with subprocess.Popen(command, env=env, stderr=subprocess.DEVNULL) as running:
            with contextlib.suppress(subprocess.TimeoutExpired):
                running.wait(delay)
            running.kill()
        for name, size in sizes.items():
            content = (out / name).read_bytes()
            assert len(content) == pytest.approx(size, rel=0.01), name
            assert content.startswith(BEGINNINGS[Path(name).suffix]), name


NOT_TO_MEASURE = (
    "rich",
    "reportlab",
    "PIL",
    "nicegui",
    "sqlalchemy",
    "stopcut.groove.wavefront",
    "stopcut.bench.planned",
)


def test_what_a_command_does_not_need_is_not_loaded(job_file: Path, tmp_path: Path) -> None:
    """A job measured before is measured again without what grows roofs; saying what there is takes no arithmetic."""
    measure = f"from stopcut.cli import main\ntry: main(['measure', {str(job_file)!r}])\nexcept SystemExit: pass\n"
    loaded = []
    for before in ("import stopcut.cli", measure, measure):
        asked = f"{before}\nimport sys\nprint(*sys.modules)"
        env = os.environ | {"STOPCUT_HOME": str(tmp_path / "home")}  # where nobody has measured this job before
        done = subprocess.run([sys.executable, "-c", asked], check=True, capture_output=True, encoding="utf-8", env=env)
        loaded.append(set(done.stdout.splitlines()[-1].split()))
    assert not loaded[0] & {"numpy", "pydantic", *NOT_TO_MEASURE}
    assert "stopcut.groove.wavefront" in loaded[1]
    assert not loaded[2] & set(NOT_TO_MEASURE)
