"""How a step is told on paper: its tool, how deep and in which passes, how the tool is held, what to be careful of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from stopcut.bench.settings import PUBLISHED_BENCH
from stopcut.sheets.letter_cards import CardStep
from stopcut.shop.tools import Tool
from stopcut.units import Units, format_length

__all__ = [
    "NO_TOOL",
    "depth_said",
    "how_said",
    "in_hours",
    "nth",
    "one_after_another",
    "remarks",
    "tool_said",
    "width_said",
]

NO_TOOL: Final = "nothing in the roll fits"
DOWN: Final = ", from the line down to the stop cut"
"""How every wall is pared: a card's legend says it once."""
MOST_PASSES: Final = 3
"""Passes told one by one; more are told by their step. Our choice: what a column holds in a line."""
_FINEST: Final = 64  # of an inch; a tip shallower than half of that still has a depth


def width_said(mm: float, units: Units) -> str:
    """An edge's width: in millimetres, and where the job is in inches in fractions of one beside."""
    return f"{mm:g} mm" if units == "mm" else f"{mm:g} mm ({format_length(mm, 'in')})"


def tool_said(tool: Tool | None, units: Units) -> str:
    """A tool's name, with its width in fractions of an inch where the job is in inches."""
    if tool is None:
        return NO_TOOL
    return tool.name if units == "mm" else f"{tool.name} ({format_length(tool.width_mm, 'in')})"


def depth_said(step: CardStep, units: Units, *, short: bool = False) -> str:
    """How deep a step goes at its deepest: "7.1 mm", or "in 3 passes: 6.0, 12.0, 17.0 mm"; the depths if short."""
    deepest = max(step.cuts, key=lambda cut: (len(cut.passes) > 1, cut.depth_mm))
    passes = deepest.passes
    if len(passes) < 2:
        return f"{_short(deepest.depth_mm, units)} {units}"
    if len(passes) > MOST_PASSES and short:
        return f"{len(passes)} × {_short(passes[0], units)} {units}"
    if len(passes) > MOST_PASSES:
        return f"in {len(passes)} passes of {_short(passes[0], units)}, to {_short(passes[-1], units)} {units}"
    depths = f"{', '.join(_short(depth, units) for depth in passes)} {units}"
    return depths if short else f"in {len(passes)} passes: {depths}"


def _short(mm: float, units: Units) -> str:
    """A depth without its unit: tenths of a millimetre, or sixty-fourths of an inch."""
    if units == "in":
        words = format_length(mm, "in", finest=_FINEST).removesuffix(" in")
        return f"< 1/{_FINEST}" if words == "0" and mm > 0 else words
    return f"{mm:.1f}" if round(mm, 1) or not mm else "< 0.1"


def how_said(step: CardStep) -> str:
    """How the tool is held and moved; where that differs from side to side, with the sides."""
    found: dict[str, list[str]] = {}
    for cut in step.cuts:
        sides = found.setdefault(cut.technique.replace(DOWN, ""), [])
        sides += [cut.side] if cut.side is not None and cut.side not in sides else []
    if len(found) == 1:
        return next(iter(found))
    apart = sum(map(len, found.values())) == len({side for sides in found.values() for side in sides})
    told = [f"{' and '.join(sides)}: {how}" if apart and sides else how for how, sides in found.items()]
    return "; ".join(told)


def remarks(steps: Sequence[CardStep], struck_widths: float = PUBLISHED_BENCH.struck_widths) -> list[str]:
    """What stands below a card's steps: how passes are taken and why, and what to be careful of at which step."""
    most = max((len(cut.passes) for step in steps for cut in step.cuts), default=0)
    said = []
    if most > 1:
        many = " (5 × 3 mm is five, each 3 mm deeper)" if most > MOST_PASSES else ""
        said.append(
            f"Where a step has several depths, each is a pass{many}: stab to the first, pare down to it, stab again to "
            f"the next. No edge is struck deeper than {struck_widths:g} times its width: it would jam, and bend or "
            "break when it is worked loose."
        )
    careful: dict[str, list[int]] = {}
    for step in steps:
        for caution in dict.fromkeys(caution for cut in step.cuts for caution in cut.cautions):
            # Which end it is shows in the picture.
            plain = caution.replace("its start", "one end").replace("its end", "one end")
            numbers = careful.setdefault(plain, [])
            numbers += [step.number] if step.number not in numbers else []
    for plain, numbers in careful.items():
        steps_named = f"Step{'s' * (len(numbers) > 1)} {one_after_another([str(number) for number in numbers])}"
        said.append(f"{steps_named}: {plain[0].lower()}{plain[1:]}")
    return said


def one_after_another(words: Sequence[str]) -> str:
    """Words as they are listed: "3", "3 and 4", "3, 4 and 9"."""
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else words[0]


def nth(number: int) -> str:
    """A place in an order: "1st"."""
    ends = {1: "st", 2: "nd", 3: "rd"}
    return f"{number}{'th' if number % 100 in (11, 12, 13) else ends.get(number % 10, 'th')}"


def in_hours(minutes: float) -> str:
    """A time as it is said: minutes, or quarters of hours where it is long."""
    if minutes < 90:
        return f"{minutes:.0f} min"
    whole = round(minutes / 15) * 15
    return f"{whole // 60} h {whole % 60} min" if whole % 60 else f"{whole // 60} h"
