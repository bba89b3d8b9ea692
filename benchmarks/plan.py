"""What a plan asks of a carver: cuts, steps, tools and minutes a letter, A to Z in several faces, and how long planning
takes beyond the grooves.

Capitals of 60 mm, grain along the board's width, the published roll, a practised hand, lime (basswood's hardness). As
rows of the table in docs/bench.md: `python -m benchmarks.plan`, or with the names of other families.
"""

from __future__ import annotations

import sys
import time

from stopcut.bench.cuts import forget
from stopcut.job.read import parse_job
from stopcut.work import Work

FAMILIES = ("Cinzel", "EB Garamond", "Alegreya Sans", "Zilla Slab", "Jost")
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
JOB = """\
format = 1
title = "Marrow Lane letters"
[board]
width = 4000
height = 160
thickness = 40
margin = 20
[lettering]
face = "{family}"
cap_height = 60
[[line]]
words = "{letters}"
"""


def main() -> None:
    print("| face | cuts | steps | tools a letter | on the board | pick-ups | minutes | planned in |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for family in sys.argv[1:] or FAMILIES:
        print(_row(family), flush=True)


def _row(family: str) -> str:
    work = Work(parse_job(JOB.format(family=family, letters=LETTERS)))
    count = len(work.pattern)  # the grooves are worked out before the clock starts
    forget()
    started = time.process_time()
    plan = work.plan("reading")
    took = time.process_time() - started
    tools: dict[tuple[int, int], set[str]] = {}
    for cut in plan.cuts:
        tools.setdefault(cut.key, set()).update({cut.tool.name} if cut.tool is not None else set())
    figures = (
        f"{len(plan.cuts) / count:.1f}",
        f"{len(plan.steps) / count:.1f}",
        f"{sum(map(len, tools.values())) / count:.1f}",
        f"{len(plan.tools)}",
        f"{plan.pick_ups['reading'] / count:.1f}",
        f"{sum(plan.letter_minutes.values()) / count:.1f}",
        f"{took:.1f} s",
    )
    return f"| {family} | {' | '.join(figures)} |"


if __name__ == "__main__":
    main()
