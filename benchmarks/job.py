"""The main job's time, each in a fresh process: what importing costs, measure, plan, and sheets, cold and warm.

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
            "importing alone": ["-c", "import stopcut.cli.main"],
            "measure, the demo": ["-m", "stopcut", "measure", str(place / "demo.toml"), "--json"],
            "measure, 30 letters": ["-m", "stopcut", "measure", str(place / "thirty.toml"), "--json"],
            "plan, 30 letters": ["-m", "stopcut", "plan", str(place / "thirty.toml"), "--json"],
            "sheets, 30 letters": [
                "-m", "stopcut", "sheets", str(place / "thirty.toml"), "--out", str(place / "out"), "--quiet",
            ],
        }  # fmt: skip
        print(f"{'':22}{'cold s':>9}{'warm s':>9}")
        for name, arguments in rows.items():
            cold, warm = zip(*(_pair(arguments) for _ in range(ROUNDS)), strict=True)
            print(f"{name:22}{statistics.median(cold):9.2f}{statistics.median(warm):9.2f}")
        print(f"{'planning alone, 30':22}{'':9}{_planning_alone(thirty):9.2f}")


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
