"""The main job's time, each in a fresh process: what importing costs, measure, plan, and sheets, cold and warm.

First, how quick a command is to begin: times what `import numpy` takes in the same round (processor time, the least of
several, so that what else the machine does counts little).

Cold: nothing kept from before (an empty STOPCUT_HOME). Warm: the same job seen before. Machines are noisy: medians of
several runs, and every row beside what importing the libraries alone takes in the same round.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from stopcut.job.new import demo_job_text

ROUNDS = 5
THIRTY = "MARROW LANE ALLOTMENT SOCIETY FOUR"
"""Thirty letters, spaces not counted."""


def main() -> None:
    demo = demo_job_text()
    head, _, _ = demo.partition("[[line]]")
    wide = head.replace("width = 900", "width = 2000").replace("cap_height = 60", "cap_height = 55")
    thirty = f'{wide}[[line]]\nwords = "{THIRTY}"\n'
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        (place / "demo.toml").write_text(demo, encoding="utf-8")
        (place / "thirty.toml").write_text(thirty, encoding="utf-8")
        rows = {
            "importing alone": ["-c", "import stopcut.cli.board_commands"],
            "measure, the demo": ["-m", "stopcut", "measure", str(place / "demo.toml"), "--json"],
            "measure, 30 letters": ["-m", "stopcut", "measure", str(place / "thirty.toml"), "--json"],
            "plan, 30 letters": ["-m", "stopcut", "plan", str(place / "thirty.toml"), "--json"],
            "sheets, 30 letters": [
                "-m", "stopcut", "sheets", str(place / "thirty.toml"), "--out", str(place / "out"), "--quiet",
            ],
        }  # fmt: skip
        _beginnings(place / "demo.toml")
        print(f"{'':22}{'cold s':>9}{'warm s':>9}")
        for name, arguments in rows.items():
            cold, warm = zip(*(_pair(arguments) for _ in range(ROUNDS)), strict=True)
            print(f"{name:22}{statistics.median(cold):9.2f}{statistics.median(warm):9.2f}")
        print(f"{'planning alone, 30':22}{'':9}{_planning_alone(thirty):9.2f}")


BEGINNINGS = {"--version": 1.0, "--help": 1.0, "faces": 3.0, "measure, the demo": 5.0}
"""What each may take. [times `import numpy`] Our choice: nobody waits to be told what there is."""


def _beginnings(demo: Path) -> None:
    with tempfile.TemporaryDirectory() as home:
        _seconds(["-m", "stopcut", "measure", str(demo)], home)  # seen before, as most jobs are
        told = {name: ["-m", "stopcut", name] for name in BEGINNINGS} | {
            "measure, the demo": ["-m", "stopcut", "measure", str(demo)]
        }
        numpy: list[float] = []
        taken: dict[str, list[float]] = {name: [] for name in told}
        for _ in range(ROUNDS):
            numpy.append(_processor_seconds(["-c", "import numpy"], home))
            for name, arguments in told.items():
                taken[name].append(_processor_seconds(arguments, home))
    print(f"{'':22}{'x numpy':>9}{'wanted':>9}")
    for name, most in BEGINNINGS.items():
        print(f"{name:22}{min(taken[name]) / min(numpy):9.1f}{most:9.1f}")


def _processor_seconds(arguments: list[str], home: str) -> float:
    before = os.times()
    _seconds(arguments, home)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def _planning_alone(text: str) -> float:
    """Seconds from a job whose letters' grooves are known to its plan, in one process; no letter planned before."""
    from stopcut.bench.cuts import forget
    from stopcut.job.read import parse_job
    from stopcut.work import Work

    Work(parse_job(text)).plan()
    took = []
    for _ in range(ROUNDS):
        forget()
        work = Work(parse_job(text))
        start = time.perf_counter()
        work.plan()
        took.append(time.perf_counter() - start)
    return statistics.median(took)


def _pair(arguments: list[str]) -> tuple[float, float]:
    """Seconds of a run with an empty home, and of the same again."""
    with tempfile.TemporaryDirectory() as home:
        return _seconds(arguments, home), _seconds(arguments, home)


def _seconds(arguments: list[str], home: str) -> float:
    start = time.perf_counter()
    done = subprocess.run([sys.executable, *arguments], env={**os.environ, "STOPCUT_HOME": home}, capture_output=True)
    took = time.perf_counter() - start
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr.decode())
    return took


if __name__ == "__main__":
    main()
