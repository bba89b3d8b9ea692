"""The campaign: cases of every kind in turn until the time is up, the next run going on where this one ended.

    python -m seek                      an hour, or what is left of it
    python -m seek --minutes 5 --kinds "spoilt stores" jobs
    python -m seek --report             what has been found so far

Case number n of a kind is the same on every machine that has the same versions. What is wrong is kept in the folder's
`found`, so that it can become a small case in the tests.
"""

from __future__ import annotations

import argparse
import json
import random
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from seek.cases import KINDS, Outcome
from seek.strangers import DRAWINGS, FONT_FILES, FONTS, fetched


def main() -> None:
    """Run the campaign."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--minutes", type=float, default=60.0)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--folder", type=Path, default=Path("seek-out"))
    asked.add_argument("--kinds", nargs="*", choices=list(KINDS), default=list(KINDS))
    asked.add_argument("--report", action="store_true")
    options = asked.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    log = options.folder / f"seed-{options.seed}.jsonl"
    if not options.report:
        _run(options.kinds, options.seed, options.folder, log, time.monotonic() + 60 * options.minutes)
    print(_report(log))


def _run(kinds: list[str], seed: int, folder: Path, log: Path, until: float) -> None:
    done = Counter(entry["kind"] for entry in _entries(log))
    spent = dict.fromkeys(kinds, 0.0)
    if "strangers' drawings" in kinds:  # before the kinds' shares of the time are counted
        fetched(folder / "drawings", DRAWINGS, (".svg",))
    if "strangers' letters" in kinds:
        fetched(folder / "fonts", FONTS, FONT_FILES)
    while time.monotonic() < until:
        kind = min(kinds, key=lambda one: spent[one])  # each kind has its share of the time
        number, started = done[kind], time.monotonic()
        outcome = _outcome(kind, seed, number, folder)
        spent[kind] += time.monotonic() - started
        done[kind] += 1
        entry = {"kind": kind, "number": number, "came": outcome.came, "says": outcome.says[:500]}
        if outcome.came == "wrong":
            found = folder / "found" / f"{kind.replace(' ', '-')}-{seed}-{number}"
            found.parent.mkdir(exist_ok=True)
            found.write_bytes(outcome.content)
            print(f"{kind} {number}: {outcome.says}", flush=True)
        with log.open("a", encoding="utf-8") as stream:
            stream.write(json.dumps(entry) + "\n")


def _outcome(kind: str, seed: int, number: int, folder: Path) -> Outcome:
    with tempfile.TemporaryDirectory() as own:
        place = folder if kind.startswith("strangers'") else Path(own)
        try:
            return KINDS[kind](random.Random(f"{seed} {kind} {number}"), place)
        except Exception:
            return Outcome("wrong", traceback.format_exc(limit=-3))


def _entries(log: Path) -> list[dict[str, str]]:
    return [json.loads(line) for line in log.read_text(encoding="utf-8").splitlines()] if log.exists() else []


def _report(log: Path) -> str:
    """A table of what the cases of each kind came to."""
    counts = Counter((entry["kind"], entry["came"]) for entry in _entries(log))
    rows = ["| kind | cases | fine | refused | wrong |", "| --- | --- | --- | --- | --- |"]
    for kind in KINDS:
        came = [counts[kind, one] for one in ("fine", "refused", "wrong")]
        if sum(came):
            rows.append(f"| {kind} | {sum(came)} | {came[0]} | {came[1]} | {came[2]} |")
    return "\n".join(rows)


if __name__ == "__main__":
    main()
