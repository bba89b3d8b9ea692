"""A sample of mutants, each tried against its module's test file and those nearest to it by imports.

    python -m mutants                   go on with the sample of 300, 60 a room
    python -m mutants --report          the score so far, room by room, and what survived
    python -m mutants --again survived  try those that survived again, after the tests were mended
    python -m mutants --budget 12       a quick round with short test files alone; then --again survived with them all

What was tried stays in `mutants-out`, and the next run goes on there. Whatever ends a test run otherwise than well (a
failure, an error, a crash, no end) kills a mutant; one that no test reaches has survived. A test file is run once as
the code stands before it judges; one that fails then judges nothing.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter
from pathlib import Path

from mutants.changes import Mutant, mutants_of, sampled
from mutants.tests import tests_near
from mutants.trial import Copy

ROOT = Path(__file__).resolve().parent.parent
ROOMS = ("groove", "setting", "bench", "job", "store")
BUDGET_S = 60.0
"""Processor time of the tests that one mutant is tried against. [s] Our choice: its own module's fit in."""
MOST_FILES = 5
"""How many test files at most, the nearest: others seldom reach a line that these do not. Our choice."""
LONGEST_S = 60.0
"""A test file that takes longer judges nothing. [s] Our choice: a mutant is one of hundreds."""
SPARE_S = 30.0
"""What a trial may take beyond four times its tests' time before it is called endless. [s] Our choice."""


def main() -> None:
    """Run or report."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--sample", type=int, default=300)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--folder", type=Path, default=Path("mutants-out"))
    asked.add_argument("--again", choices=["survived", "endless"])
    asked.add_argument("--budget", type=float, default=BUDGET_S, metavar="SECONDS")
    asked.add_argument("--only", default="", help="names that hold this")
    asked.add_argument("--report", action="store_true")
    options = asked.parse_args()
    folder = options.folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    log = folder / f"seed-{options.seed}.jsonl"
    sample = _sample(options.sample, options.seed)
    if not options.report:
        known = _results(log)
        waiting = [one for one in sample if known.get(one.name) == options.again]
        _run([one for one in waiting if options.only in one.name], folder / "files.json", log, options.budget)
    print(_report(sample, _results(log)))


def _sample(size: int, seed: int) -> list[Mutant]:
    """As many of each room, in turn, so that a run that is cut short is a smaller sample of the same kind."""
    rooms = []
    for room in ROOMS:
        paths = sorted((ROOT / "src" / "stopcut" / room).glob("*.py"))
        rooms.append(sampled([one for path in paths for one in mutants_of(path)], size // len(ROOMS), seed))
    return [one for turn in zip(*rooms, strict=False) for one in turn]


def _run(waiting: list[Mutant], files: Path, log: Path, budget: float) -> None:
    copy = Copy(ROOT)
    try:
        for number, mutant in enumerate(waiting, 1):
            start = time.monotonic()
            tests, seconds = _tests_for(mutant, copy, files, budget)
            came = copy.tried(mutant, tests, SPARE_S + 4 * seconds) if tests else "survived"
            entry = {"name": mutant.name, "line": mutant.line, "came": came, "tests": tests}
            with log.open("a", encoding="utf-8") as stream:
                stream.write(json.dumps(entry, ensure_ascii=False) + "\n")
            print(f"{number}/{len(waiting)} {time.monotonic() - start:.0f} s {came}: {mutant.name}", flush=True)
    finally:
        copy.gone()


def _tests_for(mutant: Mutant, copy: Copy, files: Path, budget: float) -> tuple[list[str], float]:
    """Test files within the budget, and their time as the code stands. [s] files keeps what each takes (-1: none)."""
    times: dict[str, float] = json.loads(files.read_text(encoding="utf-8")) if files.exists() else {}
    chosen, spent = [], 0.0
    for path in tests_near(mutant.room, mutant.module)[:MOST_FILES]:
        if path not in times:
            code, seconds = copy.run([path], LONGEST_S, keeps=True)
            times[path] = round(seconds, 2) if code == 0 else -1.0
            files.write_text(json.dumps(times, indent=1), encoding="utf-8")
            print(f"{path}: {times[path]} s", flush=True)
        if 0 <= times[path] <= budget - spent:
            chosen.append(path)
            spent += times[path]
    return chosen, spent


def _report(sample: list[Mutant], known: dict[str, str]) -> str:
    """A table of the rooms, then the survivors."""
    rows = ["| room | tried | killed | survived | score |", "| --- | --- | --- | --- | --- |"]
    for room in (*ROOMS, "all"):
        came = Counter(known[one.name] for one in sample if one.name in known and room in (one.room, "all"))
        tried, survived = came.total(), came["survived"]
        rows.append(f"| {room} | {tried} | {tried - survived} | {survived} | {1 - survived / max(tried, 1):.0%} |")
    left = [f"{one.name} (line {one.line})" for one in sample if known.get(one.name) == "survived"]
    return "\n".join([*rows, "", *sorted(left)])


def _results(log: Path) -> dict[str, str]:
    """The last word on each by its name."""
    if not log.exists():
        return {}
    return {entry["name"]: entry["came"] for entry in map(json.loads, log.read_text(encoding="utf-8").splitlines())}


if __name__ == "__main__":
    main()
