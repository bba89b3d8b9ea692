"""Ctrl-C ends every command within about a second, at any moment, with one line and nothing left by half."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from stopcut.interrupted import INTERRUPTED, SAID
from stopcut.job.new import demo_job_text

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals are sent otherwise there")

BEGUN = "from stopcut.interrupted import heed\nheed()\nprint('begun', flush=True)\n"
"""The very first that a command does; the moments of a test count from here, not from Python's own start."""
RUN = """
import sys
sys.argv = ['stopcut', {arguments}]
class Begun:
    def find_spec(self, name, *more):
        if name == "stopcut.cli":
            sys.meta_path.remove(self)
            print("begun", flush=True)
sys.meta_path.insert(0, Begun())
from stopcut.__main__ import run
run()
"""
"""A command; what it says first is that it has begun to load what it needs."""
PATIENCE_S = 60.0
ENDED_S = 30.0  # a second where nobody else wants the processor; what goes on takes a minute or for ever
COMMANDS = {
    "measure": ["measure", "job.toml"],
    "sheets": ["sheets", "job.toml", "--out", "out"],
    "plan": ["plan", "job.toml", "--out", "out/bench.pdf"],
    "faces": ["faces", "--for", "job.toml"],
    "practice": ["practice", "job.toml", "--out", "out/practice.pdf"],
    "testpiece": ["testpiece", "job.toml", "--out", "out/piece.toml"],
}


def _begun(script: str, folder: Path) -> subprocess.Popen[str]:
    """A process that heeds Ctrl-C by now."""
    environment = {**os.environ, "STOPCUT_HOME": str(folder / "home")}
    process = subprocess.Popen(
        [sys.executable, "-c", script],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "begun\n"
    return process


def _stopped(process: subprocess.Popen[str], times: int = 1) -> tuple[int, str, float]:
    """What Ctrl-C makes of it: exit status, what is said of it, and in which time. [s]"""
    asked = time.monotonic()
    for _ in range(times):
        process.send_signal(signal.SIGINT)
    _, said = process.communicate(timeout=PATIENCE_S)
    return process.returncode, said, time.monotonic() - asked


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("seed", range(5))
def test_a_command_ends_with_one_line_at_any_moment(tmp_path: Path, command: str, seed: int) -> None:
    (tmp_path / "job.toml").write_text(demo_job_text())
    moment = random.Random(f"{command} {seed}").choice([0.05, 0.4, 2.0])
    process = _begun(RUN.format(arguments=", ".join(map(repr, COMMANDS[command]))), tmp_path)
    try:
        process.wait(random.Random(seed).uniform(0, moment))
    except subprocess.TimeoutExpired:
        status, said, took = _stopped(process)
        assert (status, said) == (INTERRUPTED, SAID + "\n")
        assert took < ENDED_S
        assert not (tmp_path / "out").exists() or not any((tmp_path / "out").iterdir())
    else:
        process.communicate()
        assert process.returncode == 0


@pytest.mark.parametrize(
    "stubborn",
    [
        "while True:\n    try:\n        time.sleep(60)\n    except BaseException:\n        pass",  # gives nothing up
        "import sqlite3\n"
        "loop = 'WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT max(x) FROM n'\n"
        "sqlite3.connect(':memory:').execute(loop)",  # a library's long sum, which comes back to Python in no time
        "threading.Thread(target=time.sleep, args=(60,)).start()\ntime.sleep(60)",  # a thread that ends later
    ],
    ids=["swallowed", "in a library", "another thread"],
)
def test_what_does_not_give_up_is_ended_and_what_it_was_writing_is_gone(tmp_path: Path, stubborn: str) -> None:
    part = tmp_path / ".pattern.pdf.part"
    script = (
        "import threading, time\nfrom stopcut import interrupted\n"
        f"open({str(part)!r}, 'w').close()\ninterrupted.unfinished.add({str(part)!r})\n"
        f"try:\n    print('begun', flush=True)\n    exec({stubborn!r})\n"
        "except interrupted.Interrupted:\n    interrupted.end()\n"
    )
    process = _begun(BEGUN + script, tmp_path)
    assert process.stdout is not None
    process.stdout.readline()
    status, said, took = _stopped(process)
    assert (status, said) == (INTERRUPTED, SAID + "\n")
    assert took < ENDED_S


def test_pressed_again_and_again_it_says_the_same_once(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(demo_job_text())
    process = _begun(RUN.format(arguments="'plan', 'job.toml'"), tmp_path)
    assert _stopped(process, times=20)[:2] == (INTERRUPTED, SAID + "\n")


def test_a_library_that_makes_another_error_of_it_is_not_believed(tmp_path: Path) -> None:
    script = (
        "import sys, types, os, signal\nmodule = types.ModuleType('stopcut.cli.main')\n"
        "def main():\n    try:\n        os.kill(os.getpid(), signal.SIGINT)\n"
        "    except BaseException as problem:\n        raise ImportError('half loaded') from problem\n"
        "module.main = main\nimport stopcut.cli\nsys.modules['stopcut.cli.main'] = module\n"
        "from stopcut.__main__ import run\nrun()\n"
    )
    process = _begun(BEGUN + script, tmp_path)
    _, said = process.communicate(timeout=PATIENCE_S)
    assert (process.returncode, said) == (INTERRUPTED, SAID + "\n")


def test_where_ctrl_c_is_ignored_from_the_start_it_stays_so(tmp_path: Path) -> None:
    script = "import signal\nsignal.signal(signal.SIGINT, signal.SIG_IGN)\n" + BEGUN
    script += "import os\nos.kill(os.getpid(), signal.SIGINT)\nprint('goes on')\n"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=tmp_path)
    assert ran.stdout == "begun\ngoes on\n"
