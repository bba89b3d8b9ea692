"""In which order to work: from the middle letter outwards, by stroke across the line, or as read.

What must be done before what is said by the cuts themselves (`Cut.after`). Within that, and within the way that is
chosen, the order with the fewest tools picked up is sought. With a tool in the hand, all that it can do is done before
another is taken up: that never costs a pick-up. So an order is a row of tools, and rows are grown one tool at a time,
only the most promising kept. The search is a heuristic; the tests hold it to an exact solver on small cases.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal, get_args

from stopcut.bench.plan import Cut, LetterKey

__all__ = ["WAYS", "Way", "Words", "middle_out", "pick_ups", "working_order"]

Way = Literal["middle", "stroke", "reading"]
"""middle: the middle letter first, then alternately outwards, so that a weaker first letter is least seen; stroke: all
stems of a line, then bars and bowls, then serifs; reading: letter by letter as read. All are common practice."""
WAYS: Final[tuple[Way, ...]] = get_args(Way)

KEPT: Final = 32
"""How many rows of tools are grown on. Our choice, from trials: more saved nothing on a board of ten letters."""

Words = Mapping[LetterKey, int]
"""Which word of its line a letter is in."""


def pick_ups(cuts: Iterable[Cut]) -> int:
    """How many times a tool is picked up for cuts in this order, the first one counted. Cuts without a tool need
    none."""
    held = [cut.tool.name for cut in cuts if cut.tool is not None]
    return sum(1 for _ in groupby(held))


def working_order(cuts: Sequence[Cut], way: Way = "middle", words: Words | None = None) -> tuple[Cut, ...]:
    """All cuts in the order to work in.

    cuts come with every cut after those it waits for, as cuts_for gives them (ValueError else). Line follows line,
    ornaments come last. With words, the middle way goes word by word instead of line by line.
    """
    _check(cuts)
    # Every order that is as good so far, by the tool that it ends with: the next group may begin with that.
    ends: dict[str, tuple[Cut, ...]] = {NO_TOOL: ()}
    for group in _groups(cuts, way, words):
        found = _fewest(_problem(group), tuple(ends))
        ends = {one.held: (*ends[one.begun], *(group[n] for n in one.order)) for one in reversed(found)}
    return next(reversed(ends.values()))


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


def _groups(cuts: Sequence[Cut], way: Way, words: Words | None) -> list[list[Cut]]:
    """The cuts in groups, each of which is finished before the next."""
    lines: dict[int, list[Cut]] = {}
    for cut in cuts:
        lines.setdefault(cut.line, []).append(cut)
    out: list[list[Cut]] = []
    for line in sorted(lines, key=lambda number: (number == 0, number)):
        if way == "stroke":
            phases = _phases(lines[line])
            out += [[cut for cut in lines[line] if phases[cut.id] == phase] for phase in sorted(set(phases.values()))]
        else:
            out += _letters(lines[line], way, words or {})
    return out


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


def _phases(cuts: Sequence[Cut]) -> dict[str, int]:
    """Stems and diagonals, then all other strokes, then serifs, tips and floors; what these wait for comes with
    them."""
    phases = {cut.id: _phase(cut) for cut in cuts}
    for cut in reversed(cuts):
        for other in cut.after:
            if other in phases:
                phases[other] = min(phases[other], phases[cut.id])
    return phases


def _phase(cut: Cut) -> int:
    if cut.kind in ("serif", "corner", "floor"):
        return 2
    return 0 if cut.stroke_kind in ("stem", "diagonal") else 1


@dataclass(frozen=True, slots=True)
class _Problem:
    """Cuts as bits. doable[tool] has what is done with it in the hand, what needs no tool among it: each cut's bit and
    the bits that it waits for. wants[tool] has the bits of its cuts alone. chain counts, for each cut, the tools that
    follow one another at least from it on."""

    whole: int
    doable: Mapping[str, tuple[tuple[int, int, int], ...]]
    wants: Mapping[str, int]
    chain: tuple[tuple[int, int], ...]

    def done_with(self, tool: str, done: int, note: Callable[[int], None] | None = None) -> int:
        """What is done when all that is possible with a tool has been done."""
        for number, bit, waits in self.doable[tool]:
            if not done & bit and waits & done == waits:
                done |= bit
                if note is not None:
                    note(number)
        return done

    def at_least(self, done: int) -> int:
        """No fewer pick-ups than this are still to come."""
        left = self.whole & ~done
        tools = sum(1 for bits in self.wants.values() if bits & left)
        longest = next((length for length, bits in self.chain if bits & left), 0)
        return max(tools, longest)


@dataclass(frozen=True, slots=True)
class _Found:
    """An order of a group's cuts, the tool in the hand before it (begun) and after it."""

    begun: str
    order: tuple[int, ...]
    held: str


NO_TOOL: Final = ""
"""Nothing in the hand, or nothing in the roll that fits."""


def _problem(cuts: Sequence[Cut]) -> _Problem:
    bit = {cut.id: 1 << n for n, cut in enumerate(cuts)}
    tools = [cut.tool.name if cut.tool is not None else NO_TOOL for cut in cuts]
    waits = [sum(bit[other] for other in set(cut.after) if other in bit) for cut in cuts]
    wants = {tool: sum(1 << n for n, own in enumerate(tools) if own == tool) for tool in dict.fromkeys(tools) if tool}
    doable = {
        tool: tuple((n, 1 << n, waits[n]) for n, own in enumerate(tools) if own in (tool, NO_TOOL))
        for tool in (NO_TOOL, *wants)
    }
    return _Problem((1 << len(cuts)) - 1, doable, wants, _chains(tools, waits))


def _chains(tools: Sequence[str], waits: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Lengths of chains, the longest first, each with the bits of the cuts that begin one so long."""
    lengths = [int(bool(tool)) for tool in tools]
    for n in range(len(tools) - 1, -1, -1):
        for other in range(n):
            if waits[n] >> other & 1:
                changes = int(bool(tools[other]) and tools[other] != tools[n])
                lengths[other] = max(lengths[other], lengths[n] + changes)
    by_length: dict[int, int] = {}
    for n, length in enumerate(lengths):
        by_length[length] = by_length.get(length, 0) | 1 << n
    return tuple(sorted(by_length.items(), reverse=True))


def _fewest(problem: _Problem, held: Sequence[str]) -> list[_Found]:
    """The cuts of a group in orders with few pick-ups, as few in each, that begin with one of the tools in the hand."""
    rows: dict[tuple[int, str], tuple[str, ...]] = {}
    for tool in held:
        state = problem.done_with(tool if tool in problem.wants else NO_TOOL, 0), tool
        rows.setdefault(state, (tool,))
    while not any(done == problem.whole for done, _ in rows):
        grown: dict[tuple[int, str], tuple[str, ...]] = {}
        for (done, last), row in rows.items():
            for tool in problem.wants:
                now = problem.done_with(tool, done) if tool != last else done
                if now != done:
                    grown.setdefault((now, tool), (*row, tool))
        best = sorted(grown, key=lambda state: (problem.at_least(state[0]), -state[0].bit_count()))
        rows = {state: grown[state] for state in best[:KEPT]}
    return [_replayed(problem, row) for (done, _), row in rows.items() if done == problem.whole]


def _replayed(problem: _Problem, row: Sequence[str]) -> _Found:
    """The cuts that a row of tools does, in turn."""
    order: list[int] = []
    done = 0
    for tool in row:
        done = problem.done_with(tool if tool in problem.wants else NO_TOOL, done, order.append)
    return _Found(row[0], tuple(order), row[-1])
