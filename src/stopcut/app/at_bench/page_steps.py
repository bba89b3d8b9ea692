"""What the page at the bench is told: every step in working order, its letter's outline, its words and figures.

A step's `mark` is made of what the step is, so that a tick stays with the step that was done: once the job or the plan
makes another of it, that one is not done.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from stopcut.app.board_view import key_of, path_data
from stopcut.bench.believable import span
from stopcut.bench.minutes import Minutes, estimate, letter_minutes
from stopcut.bench.order import WAYS, Way, working_order
from stopcut.bench.plan import Cut, CutLine
from stopcut.bench.planned import Plan
from stopcut.bench.steps import Step
from stopcut.shop.rates import PUBLISHED_RATES, Rates
from stopcut.units import Units, format_angle, format_length
from stopcut.work import Work

__all__ = ["bench_steps", "mark_of", "ways_of"]

_NO_TOOL = "no tool of the roll fits"
_FINEST = 64  # of an inch, for depths


def mark_of(step: Step, cuts: Sequence[Cut]) -> str:
    """A name for this very step: its letter, what is done with which tool to which strokes, where to a hundredth of a
    millimetre. cuts are the step's own, in any order."""
    tool = step.tool.name if step.tool else ""
    # + 0.0, as what is rounded to nothing from below would be another nothing
    lines = sorted((cut.stroke, (line.points.round(2) + 0.0).tolist()) for cut in cuts for line in cut.lines)
    said = repr((step.line, step.letter, step.verb, tool, lines))
    return f"{step.line}.{step.letter}.{hashlib.blake2b(said.encode(), digest_size=9).hexdigest()}"


def bench_steps(work: Work, plan: Plan, rates: Rates = PUBLISHED_RATES) -> dict[str, Any]:
    """All steps and letters in plain values. Lengths in mm from the board's lower left corner, y up."""
    by_id = {cut.id: cut for cut in plan.cuts}
    turns = defaultdict(set)
    for turn in plan.turns:
        for cut_id in turn.cuts:
            turns[cut_id].add(turn.why)
    steps = []
    for step in plan.steps:
        cuts = [by_id[one] for one in step.cuts]
        why = sorted(set().union(*(turns[cut.id] for cut in cuts)))
        steps.append({**_step(step, cuts, work.job.units), "turns": why})
    least, most = span(plan.pace, rates)
    return {
        "minutes": _minutes(plan.minutes),
        "believable": {"least": least, "most": most},
        "ways": ways_of(work, plan, rates),
        "letters": _letters(work, plan),
        "steps": steps,
        "tools": [{"name": use.tool.name, "cuts": use.cuts} for use in plan.tools],
        "saves": None if plan.saves is None else {"tool": plan.saves[0].name, "minutes": round(plan.saves[1])},
        "without": plan.without,
        "says": [finding.on_screen for finding in plan.findings],
    }


def _letters(work: Work, plan: Plan) -> dict[str, dict[str, Any]]:
    grooves = {(groove.placed.line, groove.placed.index): groove for groove in work.pattern}
    letters: dict[str, dict[str, Any]] = {}
    for line, letter in plan.letters:
        groove = grooves.get((line, letter))
        if groove is None:
            continue
        box = groove.placed.bounds_mm
        char = groove.placed.called or ("letter" if line else "border")
        letters[key_of(line, letter)] = {
            "char": char,
            "name": f"{char}, letter {letter} of line {line}" if line else char,
            "path": path_data(groove.placed.outline),
            "matrix": [round(part, 5) for part in groove.placed.matrix],
            "box": [round(edge, 2) for edge in (box.left, box.bottom, box.right, box.top)],
            "minutes": round(plan.letter_minutes.get((line, letter), 0.0), 1),
            "reckoned": round(plan.reckoned.get((line, letter), 0.0), 2),
            "turns": [[round(turn.x_mm, 2), round(turn.y_mm, 2)] for turn in plan.turns if turn.key == (line, letter)],
        }
    return letters


def ways_of(work: Work, plan: Plan, rates: Rates = PUBLISHED_RATES) -> dict[Way, dict[str, int]]:
    """For every way to order the plan's cuts: tools picked up, and the board's minutes (low, likely, high)."""
    words = {(one.placed.line, one.placed.index): one.word for line in work.setting.lines for one in line.letters}
    found: dict[Way, dict[str, int]] = {}
    for way in WAYS:
        cuts = working_order(sorted(plan.cuts, key=_as_taught), way, words, plan.within)
        minutes = estimate(letter_minutes(cuts, rates).values(), plan.pace, rates)
        found[way] = {"pick_ups": plan.pick_ups[way], **_minutes(minutes)}
    return found


def _as_taught(cut: Cut) -> tuple[int, int, tuple[int, int], int]:
    return cut.line, cut.letter, cut.place, int(cut.id.rpartition(".")[2])


def _minutes(minutes: Minutes) -> dict[str, int]:
    return {"low": round(minutes.low), "likely": round(minutes.likely), "high": round(minutes.high)}


def _step(step: Step, cuts: Sequence[Cut], units: Units) -> dict[str, Any]:
    lines = [(cut, line) for cut in cuts for line in cut.lines]
    return {
        "mark": mark_of(step, cuts),
        "letter": key_of(step.line, step.letter),
        "number": step.number,
        "verb": step.verb,
        "says": step.says,
        "tool": step.tool.name if step.tool is not None else _NO_TOOL,
        "how": _how(cuts),
        "figures": _figures(step, cuts, units),
        "lines": [[[round(x, 2), round(y, 2)] for x, y, _ in line.points.tolist()] for _, line in lines],
        "slices": [_way_drawn(cut, line) for cut, line in lines],
        "minutes": round(step.minutes, 2),
        "cautions": _cautions(cuts),
    }


def _way_drawn(cut: Cut, line: CutLine) -> str:
    """Which way the edge goes along a line: what is rolled out goes from the bottom up; a stab goes no way."""
    if cut.kind == "end":
        return "along"
    return line.slice or ""


def _how(cuts: Sequence[Cut]) -> str:
    """How the tool is held and moved: as along most of the step, then what differs in places."""
    along: dict[str, float] = {}
    for cut in cuts:
        along[cut.technique] = along.get(cut.technique, 0.0) + cut.length_mm
    most, *others = sorted(along, key=lambda technique: -along[technique])
    known = most.split(", ")
    more: dict[str, None] = {}
    for technique in others:
        more.update(dict.fromkeys(part for part in technique.split(", ") if part not in known))
    return f"{most}; in places {', '.join(more)}" if more else most


def _cautions(cuts: Sequence[Cut]) -> list[str]:
    """Each caution once; which end it is of, the drawing shows."""
    said = [
        caution.replace("its start", "one end").replace("its end", "one end") for c in cuts for caution in c.cautions
    ]
    return list(dict.fromkeys(said))


def _figures(step: Step, cuts: Sequence[Cut], units: Units) -> dict[str, str]:
    """The figures of a step by their labels, each with its unit."""
    deepest = format_length(step.deepest_mm, units, finest=_FINEST)
    rows = {"Depth": deepest}
    if step.passes:
        depths = ", ".join(format_length(depth, units, finest=_FINEST) for depth in step.passes)
        rows = {f"Depth, in {len(step.passes)} passes": depths}
    lengths = sum(cut.length_mm for cut in cuts)
    rows["Length" if sum(len(cut.lines) for cut in cuts) == 1 else "Length in all"] = format_length(lengths, units)
    if step.verb in ("stop", "roll"):
        rows["Set the edge down"] = "once" if step.settings == 1 else f"{step.settings} times"
    if step.verb in ("pare", "trim", "serif", "floor"):
        angles = sorted({format_angle(cut.axis_deg) for cut in cuts})
        rows["Blade from the face"] = " and ".join(angles)
    if all(line.slice == "either" for cut in cuts for line in cut.lines):
        rows["With the grain"] = "either way"
    return rows
