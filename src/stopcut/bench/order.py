"""In which order to work: which letter first, and within a letter as it is taught or with the fewest tools picked up.

Within a letter the order is `rules`': block by block of equal strokes, phase by phase. Which tool of a phase comes
first is free, and is chosen so that over the whole board as few as can be are picked up: with one tool in the hand
after each phase as the state, the best way on is found exactly, phase after phase (a dynamic programme). An order that
only saves pick-ups does all of a letter's stabs first, whatever their strokes, then all ends, all walls, and so on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal, get_args

from stopcut.bench.plan import Cut, LetterKey

__all__ = ["WAYS", "WITHINS", "Way", "Within", "Words", "middle_out", "pick_ups", "working_order"]

Way = Literal["middle", "easy", "stroke", "reading"]
"""middle: the middle letter of a word first, then alternately outwards, so that a weaker first letter is least seen;
easy: the same, but for the easiest letter of the first word before all others, since the middle one may be the hardest;
stroke: all stems of a line, then bars and bowls, then serifs; reading: letter by letter as read. All are common
practice."""
WAYS: Final[tuple[Way, ...]] = get_args(Way)
Within = Literal["strokes", "tools"]
"""strokes: each stroke whole, as it is taught; tools: by the kind of cut, with fewer tools picked up."""
WITHINS: Final[tuple[Within, ...]] = get_args(Within)

Words = Mapping[LetterKey, int]
"""Which word of its line a letter is in."""
NO_TOOL: Final = ""
"""Nothing in the hand, or nothing in the roll that fits."""


def pick_ups(cuts: Iterable[Cut]) -> int:
    """How many times a tool is picked up for cuts in this order, the first one counted. Cuts without a tool need
    none."""
    held = [cut.tool.name for cut in cuts if cut.tool is not None]
    return sum(1 for _ in groupby(held))


def working_order(
    cuts: Sequence[Cut], way: Way = "middle", words: Words | None = None, within: Within = "strokes"
) -> tuple[Cut, ...]:
    """All cuts in the order to work in.

    cuts come with every cut after those it waits for, as cuts_for gives them (ValueError else). Line follows line,
    ornaments come last. With words, letters go word by word instead of line by line.
    """
    _check(cuts)
    out = [cut for group in _handed(_groups(cuts, way, words or {}, within)) for cut in group]
    return tuple(out)


def middle_out(count: int) -> tuple[int, ...]:
    """Places 0 to count - 1 from the middle outwards, right and left in turn."""
    middle = (count - 1) // 2
    steps = [0] + [way * far for far in range(1, count) for way in (1, -1)]
    return tuple(middle + step for step in steps if 0 <= middle + step < count)


def _check(cuts: Sequence[Cut]) -> None:
    known = {cut.id for cut in cuts}
    done: set[str] = set()
    for cut in cuts:
        late = [other for other in cut.after if other in known and other not in done]
        if late:
            raise ValueError(f"cut {cut.id} comes before {late[0]}, for which it waits")
        done.add(cut.id)


def _groups(cuts: Sequence[Cut], way: Way, words: Words, within: Within) -> list[list[Cut]]:
    """The cuts in phases, each of which is finished before the next."""
    lines: dict[int, list[Cut]] = {}
    for cut in cuts:
        lines.setdefault(cut.line, []).append(cut)
    letters: list[list[Cut]] = []
    for number in sorted(lines, key=lambda line: (line == 0, line)):
        letters += [lines[number]] if way == "stroke" else _letters(lines[number], way, words)
    if way == "easy" and letters:
        letters = _easiest_first(letters, words)
    return [group for letter in letters for group in _phases(letter, within)]


def _letters(cuts: Sequence[Cut], way: Way, words: Words) -> list[list[Cut]]:
    """One line's cuts letter by letter."""
    own: dict[LetterKey, list[Cut]] = {}
    for cut in cuts:
        own.setdefault(cut.key, []).append(cut)
    if way == "reading":
        return [own[key] for key in sorted(own)]
    out = []
    for _, word in groupby(sorted(own), key=lambda key: words.get(key, 0)):
        keys = list(word)
        out += [own[keys[place]] for place in middle_out(len(keys))]
    return out


def _easiest_first(letters: list[list[Cut]], words: Words) -> list[list[Cut]]:
    """Letters, that of the first word which is done soonest before all others."""
    line, word = letters[0][0].line, words.get(letters[0][0].key, 0)
    first = [n for n, own in enumerate(letters) if own[0].line == line and words.get(own[0].key, 0) == word]
    easy = min(first, key=lambda n: (sum(cut.seconds for cut in letters[n]), n))
    return [letters[easy], *letters[:easy], *letters[easy + 1 :]]


def _phases(cuts: Sequence[Cut], within: Within) -> list[list[Cut]]:
    """The cuts of a letter, or of a line, phase by phase."""

    def place(cut: Cut) -> tuple[int, ...]:
        return cut.place if within == "strokes" else cut.place[1:]

    return [list(group) for _, group in groupby(sorted(cuts, key=place), key=place)]


@dataclass(frozen=True, eq=False, slots=True)
class _Way:
    """The best way so far that ends with a tool in the hand: how many were picked up, and the last phase's tools in
    turn."""

    picked: int
    tools: tuple[str, ...]
    before: _Way | None

    @property
    def held(self) -> str:
        return self.tools[-1] if self.tools else self.before.held if self.before is not None else NO_TOOL


def _handed(groups: Sequence[list[Cut]]) -> list[list[Cut]]:
    """Each phase's cuts by tool, the tools in the turn that picks up fewest over all phases."""
    ways: dict[str, _Way] = {NO_TOOL: _Way(0, (), None)}
    for group in groups:
        tools = list(dict.fromkeys(cut.tool.name for cut in group if cut.tool is not None))
        grown: dict[str, _Way] = {}
        for way in ways.values():
            for turn in _turns(tools, way.held):
                picked = way.picked + len(turn) - (bool(turn) and turn[0] == way.held)
                now = _Way(picked, turn, way)
                if now.held not in grown or picked < grown[now.held].picked:
                    grown[now.held] = now
        ways = grown
    best: _Way | None = min(ways.values(), key=lambda way: way.picked)
    out: list[list[Cut]] = []
    for group in reversed(groups):
        assert best is not None
        rank = {tool: n for n, tool in enumerate(best.tools)}
        out.append(sorted(group, key=lambda cut: rank.get(cut.tool.name if cut.tool is not None else NO_TOOL, -1)))
        best = best.before
    return out[::-1]


def _turns(tools: Sequence[str], held: str) -> list[tuple[str, ...]]:
    """The ways to take some tools in turn that may be best: with the one in the hand first if it is among them, and
    every other one last."""
    if len(tools) < 2:
        return [tuple(tools)]
    out = []
    for last in tools:
        others = [tool for tool in tools if tool != last]
        others.sort(key=lambda tool: tool != held)  # the one in the hand first
        out.append((*others, last))
    return out
