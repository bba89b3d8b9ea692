"""The bench plan as JSON: order, pick-ups, minutes, tools, what is covered, and every cut in working order."""

from __future__ import annotations

from typing import Any

from stopcut.bench.plan import Cut, Stroke
from stopcut.bench.planned import Plan, ToolUse
from stopcut.bench.steps import Step
from stopcut.bench.turns import Turn
from stopcut.sheets.measured import rounded_mm

__all__ = ["plan_figures"]


def plan_figures(plan: Plan) -> dict[str, Any]:
    """The plan in plain values: mm from the board's lower left corner, depths below its face, minutes, shares 0 to 1.

    A straight edge's radius is null, and so is the tool of a cut that the roll has none for.
    """
    return {
        "order": plan.order,
        "pick_ups": dict(plan.pick_ups),
        "minutes": {
            "low": _minutes(plan.minutes.low),
            "likely": _minutes(plan.minutes.likely),
            "high": _minutes(plan.minutes.high),
            "timed": plan.pace.letters,
            "pace": round(plan.pace.likely, 4),
        },
        "tools": [_tool(use) for use in plan.tools],
        "covered": {
            "wall": round(plan.covered.wall, 4),
            "centre": round(plan.covered.centre, 4),
            "floor": round(plan.covered.floor, 4),
        },
        "steps": [_step(step) for step in plan.steps],
        "saves": None
        if plan.saves is None
        else {
            "tool": plan.saves[0].name,
            "width_mm": rounded_mm(plan.saves[0].width_mm),
            "minutes": _minutes(plan.saves[1]),
        },
        "cuts": [_cut(cut, minutes) for cut, minutes in zip(plan.cuts, plan.cut_minutes, strict=True)],
        "strokes": [_stroke(stroke) for stroke in plan.strokes],
        "turns": [_turn(turn) for turn in plan.turns],
        "letters": [
            {"line": line, "letter": letter, "reckoned": _minutes(minutes)}
            for (line, letter), minutes in plan.reckoned.items()
        ],
        "findings": [{"code": one.code, "says": one.says, "remedy": one.remedy} for one in plan.findings],
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "id": f"{step.line}.{step.letter}.s{step.number}",
        "line": step.line,
        "letter": step.letter,
        "does": step.verb,
        "says": step.says,
        "tool": step.tool.name if step.tool is not None else None,
        "deepest_mm": rounded_mm(step.deepest_mm),
        "placements": step.settings,
        "passes": [rounded_mm(deep) for deep in step.passes],
        "minutes": _minutes(step.minutes),
        "cuts": list(step.cuts),
    }


def _stroke(stroke: Stroke) -> dict[str, Any]:
    return {
        "line": stroke.line,
        "letter": stroke.index,
        "char": stroke.char,
        "number": stroke.number,
        "kind": stroke.kind,
        "points": [[rounded_mm(value) for value in point] for point in stroke.points.tolist()],
    }


def _turn(turn: Turn) -> dict[str, Any]:
    return {
        "line": turn.line,
        "letter": turn.letter,
        "x_mm": rounded_mm(turn.x_mm),
        "y_mm": rounded_mm(turn.y_mm),
        "cuts": list(turn.cuts),
        "leads": turn.leads,
        "why": turn.why,
    }


def _tool(use: ToolUse) -> dict[str, Any]:
    tool = use.tool
    return {
        "name": tool.name,
        "kind": tool.kind,
        "width_mm": rounded_mm(tool.width_mm),
        "radius_mm": None if tool.straight else rounded_mm(tool.radius_mm),
        "cuts": use.cuts,
    }


def _cut(cut: Cut, minutes: float) -> dict[str, Any]:
    return {
        "id": cut.id,
        "line": cut.line,
        "letter": cut.letter,
        "stroke": cut.stroke_kind,
        "stroke_number": cut.stroke or None,
        "kind": cut.kind,
        "tool": cut.tool.name if cut.tool is not None else None,
        "technique": cut.technique,
        "side": cut.side,
        "points": [[rounded_mm(value) for value in point] for point in cut.points.tolist()],
        "length_mm": rounded_mm(cut.length_mm),
        "depth_mm": rounded_mm(cut.depth_mm),
        "slice": cut.slice,
        "placements": cut.settings,
        "passes": [rounded_mm(deep) for deep in cut.passes],
        "equals": cut.equals,
        "lines": [
            {"points": [[rounded_mm(value) for value in point] for point in line.points.tolist()], "slice": line.slice}
            for line in cut.lines
        ],
        "minutes": _minutes(minutes),
        "after": list(cut.after),
    }


def _minutes(value: float) -> float:
    return round(float(value), 2)
