"""Steps: what is done with one tool in the hand to one stroke, or to equal ones together, in one way.

"Roll out the stem's four ends" is a step, "pare the bars' upper and lower walls" another. A card lists steps, the bench
ticks them; which cuts a step has is said by their ids.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal

from stopcut.bench.plan import Cut, LetterKey, Side
from stopcut.bench.rules import PHASES, Phase
from stopcut.job.job import StrokeKind
from stopcut.shop.tools import Tool

__all__ = ["NUMBERS", "Step", "Verb", "counted", "steps_of"]

Verb = Literal["relieve", "stop", "roll", "pare", "trim", "serif", "clean", "floor"]
VERBS: Final[Mapping[Phase, Verb]] = {
    "relief": "relieve",
    "stop": "stop",
    "end": "roll",
    "first facet": "trim",
    "wall": "pare",
    "careful wall": "pare",
    "late end": "roll",
    "facet": "trim",
    "serif": "serif",
    "point": "clean",
    "floor": "floor",
}
SIDES: Final[tuple[Side, ...]] = ("left", "right", "upper", "lower", "outside", "inside")
NUMBERS: Final = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


@dataclass(frozen=True, slots=True)
class Step:
    """A step of a letter: number within it, from 1; tool (None where the roll has none); what is done, in words, and to
    which cuts, by their ids. deepest_mm is the deepest of these, settings how often the edge is set down in all,
    minutes how long it takes at the carver's pace. passes are the deepest cut's, see Cut."""

    line: int
    letter: int
    number: int
    verb: Verb
    tool: Tool | None
    says: str
    cuts: tuple[str, ...]
    deepest_mm: float
    settings: int
    passes: tuple[float, ...]
    minutes: float

    @property
    def key(self) -> LetterKey:
        """Which letter it belongs to."""
        return self.line, self.letter


def steps_of(cuts: Sequence[Cut], minutes: Sequence[float]) -> tuple[Step, ...]:
    """The steps of cuts in working order, whose minutes are given; a letter's are numbered as they come."""
    numbers: Counter[LetterKey] = Counter()
    out = []
    for _, run in groupby(zip(cuts, minutes, strict=True), key=lambda pair: _step_key(pair[0])):
        own = list(run)
        first = own[0][0]
        numbers[first.key] += 1
        deepest = max((cut for cut, _ in own), key=lambda cut: cut.depth_mm)
        out.append(
            Step(
                first.line,
                first.letter,
                numbers[first.key],
                _verb(first),
                first.tool,
                _says([cut for cut, _ in own]),
                tuple(cut.id for cut, _ in own),
                deepest.depth_mm,
                sum(cut.settings for cut, _ in own),
                deepest.passes,
                sum(took for _, took in own),
            )
        )
    return tuple(out)


def counted(number: int, thing: str) -> str:
    """A number of things as one says it: "four ends", "one end"."""
    word = NUMBERS[number] if number < len(NUMBERS) else str(number)
    return f"{word} {thing}{'s' * (number != 1)}"


def _verb(cut: Cut) -> Verb:
    return VERBS[PHASES[cut.place[1]]]


def _step_key(cut: Cut) -> tuple[object, ...]:
    return cut.key, cut.tool.name if cut.tool is not None else "", cut.place[0], _verb(cut)


def _says(cuts: Sequence[Cut]) -> str:
    verb = _verb(cuts[0])
    whose = _whose(cuts)
    if verb == "relieve":
        return f"Take out the middle of {whose}"
    if verb == "stop":
        return f"Stop {whose}" if any(len(cut.points) > 1 for cut in cuts) else "Mark the middle"
    if verb == "roll":
        corners = sum(len(cut.lines) for cut in cuts)
        return f"Roll out {counted(corners, 'corner')} of {whose}"
    if verb == "trim":
        return f"Trim {counted(len(cuts), 'end')} of {whose}"
    if verb == "pare":
        sides = [side for side in SIDES if any(cut.side == side for cut in cuts)]
        if not sides:
            return f"Pare {whose}"
        walls = f"wall{'s' * (len(sides) > 1 or len(cuts) > 1)}"
        return f"Pare {_listed(sides)} {walls} of {whose}" if len(sides) < 4 else f"Pare the walls of {whose}"
    if verb == "serif":
        return f"Pare {counted(len(cuts), 'bracket')}"
    if verb == "clean":
        return f"Clean {counted(sum(len(cut.lines) for cut in cuts), 'point')}"
    return f"Floor of {whose}"


def _whose(cuts: Iterable[Cut]) -> str:
    """The strokes that cuts belong to: "the stem", "three bars"."""
    kinds: Counter[StrokeKind | None] = Counter(kind for kind in dict(_strokes(cuts)).values())
    said = []
    for kind, count in kinds.items():
        called = kind or "shape"
        said.append(f"the {called}" if count == 1 else counted(count, called))
    return _listed(said)


def _listed(things: Sequence[str]) -> str:
    """Things as one says them: "left, right and lower"."""
    return ", ".join(things[:-1]) + " and " * (len(things) > 1) + things[-1]


def _strokes(cuts: Iterable[Cut]) -> Iterable[tuple[tuple[LetterKey, int], StrokeKind | None]]:
    return (((cut.key, cut.stroke), cut.stroke_kind) for cut in cuts)
