"""Every command that the README and the docs show is run, and says what they show of it.

What opens a browser is only read as the command line reads it; what needs other tools (make, benchmarks) is looked for.
"""

from __future__ import annotations

import re
import shlex
import subprocess
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

import click
import pytest

from stopcut.cli import main
from stopcut.cli.main import COMMANDS, commands
from stopcut.job.new import demo_job_text

ROOT = Path(__file__).resolve().parents[1]
PAGES = {path.name: path.read_text(encoding="utf-8") for path in (ROOT / "README.md", *(ROOT / "docs").glob("*.md"))}
ALL = "\n".join(PAGES.values())
INLINE = [
    re.sub(r"\s+", " ", shown) for shown in re.findall(r"`([^`]+)`", re.sub(r"```.*?```", "", ALL, flags=re.DOTALL))
]
BLOCKS = re.findall(r"```(?:\w*)\n(.*?)```", ALL, re.DOTALL)
SHOWN = [
    (command, said.rstrip("\n").splitlines())
    for block in BLOCKS
    for command, said in re.findall(r"^\$ (.+)\n((?:(?!\$ ).*\n)*)", block, re.MULTILINE)
]
STOPCUT = sorted({shown for shown in (*INLINE, *(command for command, _ in SHOWN)) if shown.startswith("stopcut ")})
MAKE = sorted(set(re.findall(r"make ((?:[A-Z]+=\S+ )?[a-z-]+)(?: [A-Z]+=\S+)?", "\n".join([*INLINE, *BLOCKS]))))
ROWS = re.findall(r"^\| `stopcut (\w+)[^`]*` \| (.*) \|$", PAGES["README.md"], re.MULTILINE)
OPTIONS = [(name, option) for name, says in ROWS for option in re.findall(r"`(--[^`]+)`", says)]
STANDS_FOR = {
    "COMMAND": "measure", "JOB": "plot.toml", "FOLDER": "out", "FILE": "out.toml", "PDF": "out.pdf", "PNG": "out.png",
}  # fmt: skip

Run = Callable[[str], list[str]]


def arguments_of(command: str) -> list[str]:
    """A shown command's arguments, with something of ours where it says JOB or FILE, and what it asks for besides."""
    name, *words = shlex.split(command.replace("[", "").replace("]", ""))[1:]
    if name == "new":
        return [name, "new.toml"]
    if not words and any(isinstance(one, click.Argument) and one.required for one in commands.commands[name].params):
        return [name, "--help"]  # the command is named and not shown
    asks = {"class": ["--learners", "learners.csv", "--out", "pack"], "sheets": ["--out", "out"]}.get(name, [])
    if name in ("practice", "arcs"):
        asks = ["--out", "out.pdf"]
    return [STANDS_FOR.get(word, word) for word in (name, *words)] + (asks if "--out" not in words else [])


@pytest.fixture
def run(job_text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """Runs a command where demo/job.toml and a small job are, and gives the lines that a terminal would show."""
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "job.toml").write_text(demo_job_text(), encoding="utf-8")
    (tmp_path / "plot.toml").write_text(job_text, encoding="utf-8")
    (tmp_path / "learners.csv").write_text("name,words\nAda,ADA\nBen,BEN\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    def ran(command: str) -> list[str]:
        with pytest.raises(SystemExit) as left:
            main(arguments_of(command))
        said = capfd.readouterr()
        assert left.value.code in (0, None), said.err
        return (said.out + said.err).splitlines()

    return ran


def test_the_docs_show_commands_of_every_kind() -> None:
    assert {command.split()[1] for command in STOPCUT} == {*COMMANDS, "COMMAND"}
    assert len(SHOWN) >= 2
    assert len(OPTIONS) > 15
    assert {"demo", "test", "seek", "bench-spacing"} <= set(MAKE)


@pytest.mark.parametrize("command", STOPCUT)
def test_every_command_shown_runs(run: Run, command: str) -> None:
    name = command.split()[1]
    if name == "app":
        commands.commands[name].make_context(name, arguments_of(command)[1:])
    else:
        run(command)


@pytest.mark.parametrize(("command", "said"), SHOWN, ids=[command for command, _ in SHOWN])
def test_what_is_shown_under_a_command_is_what_it_says(run: Run, command: str, said: list[str]) -> None:
    """A line of … alone stands for lines left out."""
    said = [line for line in said if line]
    found = run(command)
    assert [line for line in found if line in said] == [line for line in said if line != "…"]
    if "…" not in said:
        assert found == said


@pytest.mark.parametrize(("name", "option"), OPTIONS)
def test_every_option_in_the_table_of_commands_is_one(name: str, option: str) -> None:
    command = commands.commands[name]
    first, *_ = shlex.split(option)
    assert first in {flag for one in command.params if isinstance(one, click.Option) for flag in one.opts}


def test_the_faults_in_the_jobs_manual_are_said_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    shown = re.search(r"```text\n(.*?)```", PAGES["job.md"], re.DOTALL)
    assert shown is not None
    lines = dict.fromkeys(range(1, 30), "")
    lines |= {1: "format = 1", 2: 'title = "Gate"', 8: "[board]", 9: "width = 300", 10: "height = 120"}
    lines |= {11: "thickness = 20", 12: "margin = 60", 16: "[lettering]", 17: "cap_hieght = 20"}
    lines |= {20: "[[line]]", 21: 'words = "MARROW"', 28: "[[line]]", 29: 'words = " "'}
    (tmp_path / "gate.toml").write_text("\n".join(lines.values()), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit) as left:
        main(["measure", "gate.toml"])
    assert left.value.code == 2
    assert capfd.readouterr().err == shown[1]


@pytest.mark.parametrize("target", MAKE)
def test_every_make_shown_is_known_to_make(target: str) -> None:
    done = subprocess.run(["make", "--dry-run", *target.split()], cwd=ROOT, capture_output=True, encoding="utf-8")
    assert done.returncode == 0, done.stderr
    assert done.stdout


@pytest.mark.parametrize("module", sorted(set(re.findall(r"python -m ([a-z_.]+)", ALL))))
def test_every_module_that_is_run_is_there(module: str) -> None:
    assert module in {"pip", "pipx"} or find_spec(module) is not None
