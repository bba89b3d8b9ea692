"""Results in plain words for a terminal, in the job's own units."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from stopcut.units import MM_PER_INCH, Units, format_length

if TYPE_CHECKING:
    from stopcut.bench.planned import Plan
    from stopcut.lettering.faces import Face
    from stopcut.options.mended import Planing, Widening
    from stopcut.setting.set_board import SetLine
    from stopcut.shop.tools import Tool
    from stopcut.work import Work

__all__ = ["board_in_words", "faces_in_words", "mending_in_words", "plan_in_words", "strokes_in_words"]


def board_in_words(work: Work) -> str:
    """The board, its lines and what they come to, a line each."""
    job, units = work.job, work.job.units
    board = job.board

    def length(mm: float) -> str:
        return format_length(mm, units)

    size = f"{length(board.width_mm)} × {length(board.height_mm)} × {length(board.thickness_mm)}"
    said = [f"{job.title}: {board.wood}, {size}"]
    said += [_line(work, line, units) for line in work.setting.lines]
    grooves = work.grooves
    deepest = max((groove.max_depth_mm for groove in grooves), default=0.0)
    cuts = sum(groove.stop_cut_mm for groove in grooves)
    letters = sum(len(line.letters) for line in work.setting.lines)
    said.append(
        f"{letters} letter{'' if letters == 1 else 's'}, deepest {_depth(deepest, units)}, "
        f"stop cuts {length(cuts)} in all, "
        f"{_volume(sum(groove.volume_mm3 for groove in grooves), units)} of wood to cut out"
    )
    return "\n".join(said)


def plan_in_words(work: Work, plan: Plan) -> str:
    """What a plan comes to: its cuts by kind, pick-ups of each way, minutes, tools, and the tool to buy or borrow."""
    from stopcut.bench.missing import advice

    units = work.job.units
    kinds = Counter(cut.kind for cut in plan.cuts)
    cuts = ", ".join(f"{count} {kind} cuts" for kind, count in kinds.items())
    ups = ", ".join(f"{way} {count}" for way, count in plan.pick_ups.items())
    minutes = plan.minutes
    timed = ""
    if plan.untimed is not None:
        timed = f" (with {plan.pace.letters} timed letters; without them about {_time(plan.untimed.likely)})"
    said = [
        f"{work.job.title}: {len(plan.cuts)} cuts in {len(plan.steps)} steps, {plan.order} order ({cuts})",
        f"Tools picked up: {ups}",
        f"About {_time(minutes.likely)}, between {_time(minutes.low)} and {_time(minutes.high)}{timed}",
        f"Covered: {plan.covered.wall:.1%} of the walls, {plan.covered.centre:.1%} of the centre lines"
        + (f", {plan.covered.floor:.1%} of the floor" if kinds["floor"] else ""),
    ]
    for use in plan.tools:
        said.append(f"  {use.tool.name}: {_tool(use.tool, units)}, {use.cuts} cut{'s' * (use.cuts != 1)}")
    if plan.saves is not None and plan.saves[1] >= 1:
        tool, saved = plan.saves
        said.append(f"  One more, {tool.name} ({_tool(tool, units)}), would save about {_time(saved)}")
    if plan.without:
        said.append(f"  {plan.without} cuts have no tool in this roll that fits")
    wanted = advice(plan.cuts)
    if wanted is not None:
        said.append(f"The one tool that would help most: {_tool(wanted.tool, units)}, for {wanted.helps} cuts")
    return "\n".join(said)


def strokes_in_words(plan: Plan, units: Units) -> str:
    """Every letter's strokes by number, as the plan names them."""
    from stopcut.bench.paths import along, at

    said: dict[tuple[int, int], list[str]] = {}
    chars = {}
    for stroke in plan.strokes:
        key = stroke.line, stroke.index
        chars[key] = stroke.char
        far = along(stroke.points)
        x, y = at(stroke.points, far, far[-1] / 2)[0].tolist()
        where = f"{x:.0f}, {y:.0f} mm"
        if units == "in":
            where = ", ".join(format_length(one, units, finest=16) for one in (x, y))
        said.setdefault(key, []).append(f"{stroke.number} {stroke.kind} (middle at {where})")
    return "\n".join(
        f"  {f'line {line}' if line else 'ornament'}, letter {letter}, {chars[line, letter]}: {', '.join(own)}"
        for (line, letter), own in said.items()
    )


def mending_in_words(work: Work, made: Widening | Planing) -> str:
    """What a way to mend comes to, a line each."""
    from stopcut.options.mended import Widening

    units = work.job.units

    def length(mm: float | None) -> str:
        return "none" if mm is None else format_length(round(mm, 2), units, finest=64)

    if isinstance(made, Widening):
        figures = made.figures
        return "\n".join(
            [
                f"{made.char} (line {made.line}, letter {made.letter}), every stroke {length(figures.by_mm)} wider:",
                f"  deepest {length(figures.depth_mm)}, {length(figures.deeper_mm)} more than now; "
                f"{length(figures.wood_under_mm)} of wood left under it",
                f"  gaps before and after it where all stands now: {length(figures.gap_before_mm)}, "
                f"{length(figures.gap_after_mm)}",
                f"  gaps if the line is set out anew: {length(made.gap_before_mm)}, {length(made.gap_after_mm)}",
            ]
        )
    plane = made.figures
    left = [depth for depth in plane.depths_mm if depth > 0]
    return "\n".join(
        [
            f"{length(plane.off_mm)} planed off the whole face:",
            f"  {length(plane.thickness_mm)} of board left; every stroke {length(plane.narrower_mm)} narrower on it",
            f"  grooves {length(min(left, default=0.0))} to {length(max(left, default=0.0))} deep then"
            + (f"; of {plane.gone} nothing is left" if plane.gone else ""),
        ]
    )


def faces_in_words(faces: Sequence[Face]) -> str:
    """A table of faces: name, weights, licence, where from."""
    rows = [(face.family, _weights(face), face.licence or "licence not stated", face.origin) for face in faces]
    widths = [max(len(row[column]) for row in rows) for column in range(3)] if rows else [0, 0, 0]
    return "\n".join(
        "  ".join((*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[3])).rstrip()
        for row in rows
    )


def _line(work: Work, line: SetLine, units: Units) -> str:
    depths = [groove.max_depth_mm for groove in work.grooves if groove.placed.line == line.number]
    left, right = format_length(line.ink_left_mm, units), format_length(line.ink_right_mm, units)
    face, words = work.lettered[line.number - 1].face, line.words.replace("\t", "  ")
    return (
        f"  {line.number}  {words}: {line.family} {face.weight:g}, "
        f"{format_length(line.cap_height_mm, units)} high, ink from {left} to {right}, "
        f"deepest {_depth(max(depths, default=0.0), units)}"
    )


def _depth(mm: float, units: Units) -> str:
    """A depth as finely as the sheets say it."""
    return format_length(mm, units, finest=64)


def _tool(tool: Tool, units: Units) -> str:
    shape = "" if tool.straight else f", radius {format_length(tool.radius_mm, units)}"
    return f"{tool.kind}, {format_length(tool.width_mm, units)} wide{shape}"


def _time(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02} min" if hours else f"{rest} min"


def _volume(mm3: float, units: Units) -> str:
    return f"{mm3 / 1000:.1f} cm³" if units == "mm" else f"{mm3 / MM_PER_INCH**3:.2f} in³"


def _weights(face: Face) -> str:
    if face.weight_range is not None:
        return "{:g} to {:g}".format(*face.weight_range)
    return " ".join(str(weight) for weight in face.weights)
