"""What the page at the bench is told: every cut in working order, with its letter's outline and its words.

A cut's `mark` is made of what the cut is, so that a tick stays with the cut that was made: once the job has changed it,
it is another cut and not done.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from typing import Any

from stopcut.app.board_view import key_of, path_data
from stopcut.bench.minutes import Minutes, estimate, letter_minutes
from stopcut.bench.order import WAYS, Way, working_order
from stopcut.bench.plan import Cut
from stopcut.bench.planned import Plan
from stopcut.shop.rates import PUBLISHED_RATES, Rates
from stopcut.units import Units, format_angle, format_length
from stopcut.work import Work

__all__ = ["bench_steps", "mark_of", "ways_of"]

_KINDS = {
    "stop": "Stop cut",
    "end": "End cut",
    "wall": "Wall",
    "serif": "Serif",
    "corner": "Corner",
    "floor": "Floor",
}


def mark_of(cut: Cut) -> str:
    """A name for this very cut of this very groove: letter, kind, place to a hundredth of a millimetre, tool."""
    tool = cut.tool.name if cut.tool else ""
    said = repr((cut.line, cut.letter, cut.kind, cut.side, tool, cut.points.round(2).tolist()))
    return f"{cut.line}.{cut.letter}.{hashlib.blake2b(said.encode(), digest_size=9).hexdigest()}"


def bench_steps(work: Work, plan: Plan, rates: Rates = PUBLISHED_RATES) -> dict[str, Any]:
    """All cuts and letters in plain values. Lengths in mm from the board's lower left corner, y up."""
    units = work.job.units
    grooves = {(groove.placed.line, groove.placed.index): groove for groove in work.pattern}
    letters: dict[str, dict[str, Any]] = {}
    for line, letter in plan.letters:
        groove = grooves.get((line, letter))
        if groove is None:
            continue
        box = groove.placed.bounds_mm
        letters[key_of(line, letter)] = {
            "name": f"{groove.placed.char}, letter {letter} of line {line}" if line else groove.placed.char or "border",
            "path": path_data(groove.placed.outline),
            "matrix": [round(part, 5) for part in groove.placed.matrix],
            "box": [round(edge, 2) for edge in (box.left, box.bottom, box.right, box.top)],
            "minutes": round(plan.letter_minutes.get((line, letter), 0.0), 1),
            "reckoned": round(plan.reckoned.get((line, letter), 0.0), 2),
            "turns": [[round(turn.x_mm, 2), round(turn.y_mm, 2)] for turn in plan.turns if turn.key == (line, letter)],
        }
    why = defaultdict(set)
    for turn in plan.turns:
        for cut_id in turn.cuts:
            why[cut_id].add(turn.why)
    return {
        "grain": work.job.board.grain,
        "minutes": _minutes(plan.minutes),
        "ways": ways_of(work, plan, rates),
        "letters": letters,
        "cuts": [{**_step(cut, units), "turns": sorted(why[cut.id])} for cut in plan.cuts],
    }


def ways_of(work: Work, plan: Plan, rates: Rates = PUBLISHED_RATES) -> dict[Way, dict[str, int]]:
    """For every way to order the plan's cuts: tools picked up, and the board's minutes (low, likely, high)."""
    words = {(one.placed.line, one.placed.index): one.word for line in work.setting.lines for one in line.letters}
    hardness = work.wood.wood.hardness_lbf if work.wood.wood is not None else None
    found: dict[Way, dict[str, int]] = {}
    for way in WAYS:
        cuts = working_order(plan.cuts, way, words)
        minutes = estimate(letter_minutes(cuts, hardness, rates).values(), plan.pace, rates)
        found[way] = {"pick_ups": plan.pick_ups[way], **_minutes(minutes)}
    return found


def _minutes(minutes: Minutes) -> dict[str, int]:
    return {"low": round(minutes.low), "likely": round(minutes.likely), "high": round(minutes.high)}


def _step(cut: Cut, units: Units) -> dict[str, Any]:
    return {
        "mark": mark_of(cut),
        "letter": key_of(cut.line, cut.letter),
        "kind": cut.kind,
        "title": _title(cut),
        "tool": cut.tool.name if cut.tool is not None else "no tool of the roll fits",
        "technique": cut.technique,
        "points": [[round(x, 2), round(y, 2)] for x, y, _ in cut.points.tolist()],
        "slice": cut.slice,
        "says": _says(cut, units),
        "cautions": list(cut.cautions),
    }


def _title(cut: Cut) -> str:
    kind = _KINDS[cut.kind]
    if cut.kind in ("serif", "corner") or cut.stroke_kind is None:
        return kind
    side = f", {cut.side} side" if cut.side and cut.kind == "wall" else ""
    return f"{kind} of the {cut.stroke_kind}{side}"


def _says(cut: Cut, units: Units) -> dict[str, str]:
    rows = {"Depth": format_length(cut.depth_mm, units), "Length": format_length(cut.length_mm, units)}
    times = cut.placements * cut.passes
    if cut.kind in ("stop", "end"):
        rows["Set the edge down"] = "once" if times == 1 else f"{times} times"
    elif cut.passes > 1:
        rows["In passes"] = str(cut.passes)
    if cut.kind in ("wall", "serif", "floor"):
        rows["Blade from the face"] = format_angle(cut.axis_deg)
    if cut.slice == "either":
        rows["With the grain"] = "either way"
    return rows
