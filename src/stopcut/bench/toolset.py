"""The smallest set of tools that does a whole board well, and which of them does what.

Equal cuts (families) get the same tool. A tool on the board, in a letter, in one phase of a block of strokes costs
something each; what it does to a cut costs the seconds it takes and what a poorer fit is held worth. Of all ways to
hand out the tools the cheapest is taken, or one no more than GAP dearer that takes fewer tools: a set cover with costs
(facility location).
The linear programme says how cheap it could be at most; a search among sets of tools nearly always comes within GAP of
that, and where it does not the mixed-integer programme is solved. The same board gets the same answer every time.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from stopcut.arrays import Array
from stopcut.bench.choose import Options, Outfit
from stopcut.bench.settings import BenchSettings

__all__ = ["GAP", "Item", "ToolSet", "chosen_tools", "next_tool"]

TIE_S: Final = 1e-4
"""What a place in the roll costs, so that of two equal tools the first is taken. [s] Our choice: nobody feels it."""
GAP: Final = 1e-2
"""How far from the best an answer may be. [share] Our choice: minutes are known to a third or so, and what a poorer fit
is held worth less nearly still."""
ROUNDS: Final = 6
"""How often every item is asked for a cheaper tool. Our choice: after two or three hardly any moves."""
SHARED: Final = 1e-5
"""Less of an item is none of it. Our choice: the solver's tolerance is a tenth of it."""
CLOSE_S: Final = 1e-6


@dataclass(frozen=True, eq=False, slots=True)
class Item:
    """A family of equal cuts: what every tool makes of one of them, and for each letter (by a number) and phase (by any
    name) how many of them stand there on the whole board."""

    options: Options
    places: Mapping[tuple[int, object], int]

    @property
    def count(self) -> int:
        """How many cuts there are of it."""
        return sum(self.places.values())


@dataclass(frozen=True, slots=True)
class ToolSet:
    """The numbers (in the roll) of the tools taken, and for each item its tool's, None where none fits."""

    tools: tuple[int, ...]
    by_item: tuple[int | None, ...]


def chosen_tools(
    items: Sequence[Item], shop: Outfit, letters: Mapping[int, int], fixed: Iterable[int] | None = None
) -> ToolSet:
    """The tools for a board's items; letters says how often each letter stands on the board.

    fixed are the numbers of tools that the carver has fixed upon: no others are taken where one of these can do it.
    """
    allowed = sorted(set(fixed)) if fixed is not None else list(range(len(shop.roll.tools)))
    cost = np.array([_cost(item) for item in items]).reshape(len(items), len(shop.roll.tools))
    if fixed is not None:
        # What none of the carver's can do is done with any other that can.
        can = np.isfinite(cost[:, allowed]).any(axis=1)
        others = [n for n in range(cost.shape[1]) if n not in allowed]
        cost[np.ix_(can, others)] = np.inf
    doable = np.isfinite(cost).any(axis=1)
    todo = [n for n in range(len(items)) if doable[n]]
    if not todo:
        return ToolSet((), (None,) * len(items))
    model = _Model(items, cost, todo, letters, shop)
    picked = model.solved()
    by_item = tuple(picked.get(n) for n in range(len(items)))
    return ToolSet(tuple(sorted({tool for tool in by_item if tool is not None})), by_item)


def next_tool(items: Sequence[Item], chosen: ToolSet, shop: Outfit) -> tuple[int, float] | None:
    """The tool that would save most if it were taken as well, and how many seconds; None where none saves any.

    What is saved is time alone: every cut that the tool would do sooner, given to it.
    """
    now = np.array(
        [
            item.options.seconds[tool] if tool is not None else 0.0
            for item, tool in zip(items, chosen.by_item, strict=True)
        ]
    )
    count = np.array([item.count for item in items])
    best: tuple[int, float] | None = None
    for n in range(len(shop.roll.tools)):
        if n in chosen.tools:
            continue
        with np.errstate(invalid="ignore"):
            sooner = np.array([item.options.seconds[n] for item in items])
            saved = float((np.maximum(now - sooner, 0.0) * count).sum())
        if saved > CLOSE_S and (best is None or saved > best[1] + CLOSE_S):
            best = n, saved
    return best


def _cost(item: Item) -> Array:
    """What all cuts of an item cost with each tool. [s]"""
    out: Array = (item.options.seconds + item.options.poor) * item.count
    return out


class _Model:
    """The programme: a column for each item with a tool, for each tool in a phase of a letter, in a letter, on the
    board.

    A column wants others: an item's its phases', a phase's its letter's, a letter's its tool's on the board.
    """

    def __init__(
        self, items: Sequence[Item], cost: Array, todo: Sequence[int], letters: Mapping[int, int], shop: Outfit
    ) -> None:
        self._costs: list[float] = []
        self._wants: list[tuple[int, ...]] = []
        self._closed: dict[int, tuple[int, ...]] = {}
        self._places: dict[tuple[Any, ...], int] = {}
        self.x: dict[tuple[int, int], int] = {}
        self.tools: list[list[int]] = []  # of each item that is to be done
        self.todo = list(todo)
        for n in todo:
            own = [t for t in range(cost.shape[1]) if np.isfinite(cost[n, t])]
            self.tools.append(own)
            for t in own:
                places = tuple(self._place(place, t, letters, shop.settings) for place in items[n].places)
                self.x[n, t] = self._column(float(cost[n, t]), places)

    def _place(self, place: tuple[int, object], t: int, letters: Mapping[int, int], settings: BenchSettings) -> int:
        """The column of a tool in a phase of a letter."""
        letter, phase = place
        times = letters.get(letter, 1)
        board = self._known((t,), settings.tool_on_board_s + TIE_S * t, ())
        whole = self._known((t, letter), settings.tool_in_letter_s * times, (board,))
        return self._known((t, letter, phase), settings.tool_in_phase_s * times, (whole,))

    def _known(self, key: tuple[Any, ...], cost: float, wants: tuple[int, ...]) -> int:
        if key not in self._places:
            self._places[key] = self._column(cost, wants)
        return self._places[key]

    def _column(self, cost: float, wants: tuple[int, ...]) -> int:
        self._costs.append(cost)
        self._wants.append(wants)
        return len(self._costs) - 1

    def solved(self) -> dict[int, int]:
        """The tool of each item."""
        import highspy  # a moment to load, and only a plan needs it

        class Silent(highspy.Highs):
            """A solver that says nothing, not even its name: what is printed here is the carver's."""

            def enableCallbacks(self) -> None:  # noqa: N802
                self.silent()
                super().enableCallbacks()  # type: ignore[no-untyped-call]

        solver = Silent()  # type: ignore[no-untyped-call]
        for option, value in (("threads", 1), ("mip_rel_gap", GAP), ("random_seed", 0)):
            solver.setOptionValue(option, value)
        count = len(self._costs)
        none, nothing = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
        solver.addCols(count, np.array(self._costs), np.zeros(count), np.ones(count), 0, none, none, nothing)
        rows = [[(self.x[n, t], 1.0) for t in own] for n, own in zip(self.todo, self.tools, strict=True)]
        one = len(rows)
        rows += [[(above, 1.0), (n, -1.0)] for n, wants in enumerate(self._wants) for above in wants]
        low = np.concatenate([np.ones(one), np.zeros(len(rows) - one)])
        high = np.concatenate([np.ones(one), np.full(len(rows) - one, np.inf)])
        starts = np.cumsum([0, *(len(row) for row in rows)])[:-1].astype(np.int32)
        columns = np.array([column for row in rows for column, _ in row], dtype=np.int32)
        values = np.array([value for row in rows for _, value in row])
        solver.addRows(len(rows), low, high, len(columns), starts, columns, values)
        solver.run()
        # In parts, the tools cost no more than whole: a way that costs hardly more than that needs no further search.
        least, parts = solver.getInfo().objective_function_value, np.array(solver.getSolution().col_value)
        enough = (1 + GAP) * least + CLOSE_S
        cost, by_item = self._searched(parts, enough)
        if cost <= enough:
            return self._with_fewer(by_item, enough)
        # Once tools and places are whole numbers, each item goes whole to its cheapest tool.
        whole = np.array(sorted(self._places.values()), dtype=np.int32)
        solver.changeColsIntegrality(len(whole), whole, np.full(len(whole), highspy.HighsVarType.kInteger))
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            raise RuntimeError(f"the tools could not be chosen: {solver.getModelStatus()}")
        info = solver.getInfo()
        if info.objective_function_value < cost:
            by_item = self._items(np.array(solver.getSolution().col_value))
        return self._with_fewer(by_item, (1 + GAP) * info.mip_dual_bound + CLOSE_S)

    def _with_fewer(self, by_item: dict[int, int], enough: float) -> dict[int, int]:
        """The same with tool after tool left in the roll, as long as it costs no more than what is cheap enough."""
        while True:
            tools = sorted(set(by_item.values()))
            ways = [self._handed_out(frozenset(tools) - {tool}, by_item) for tool in tools if len(tools) > 1]
            fewer = [way for way in ways if way[0] <= enough and len(set(way[1].values())) < len(tools)]
            if not fewer:
                return by_item
            _, by_item = min(fewer, key=lambda way: way[0])

    def _items(self, found: Array) -> dict[int, int]:
        """The tool of each item: of those that it is shared between, the one with the greatest part, then the
        cheapest."""
        best: dict[int, tuple[float, float, int]] = {}
        for (n, t), column in self.x.items():
            if found[column] > SHARED:
                part = -round(float(found[column]), 3)
                best[n] = min(best.get(n, (np.inf, np.inf, t)), (part, self._costs[column], t))
        return {n: t for n, (_, _, t) in best.items()}

    def _searched(self, parts: Array, enough: float) -> tuple[float, dict[int, int]]:
        """A way to hand out the tools and its cost: the tools that are mostly on the board when they may be in parts,
        then one taken off or put on, or else exchanged, as long as that is cheaper and not cheap enough yet."""
        on_board = {int(key[0]): float(parts[column]) for key, column in self._places.items() if len(key) == 1}
        some = [t for t in on_board if on_board[t] > SHARED]
        chosen = frozenset(t for t in some if on_board[t] > 0.5) or frozenset(some)
        best = self._handed_out(chosen, self._items(parts))
        while best[0] > enough:
            others = [t for t in some if t not in chosen]
            one_more_or_less = [chosen - {t} for t in chosen if len(chosen) > 1] + [chosen | {t} for t in others]
            exchanged = [chosen - {t} | {other} for t in sorted(chosen) for other in others]
            for tried in (one_more_or_less, exchanged):
                found = min(
                    ((*self._handed_out(one, best[1]), one) for one in tried), key=lambda way: way[0], default=None
                )
                if found is not None and found[0] < best[0] - CLOSE_S:
                    best, chosen = found[:2], found[2]
                    break
            else:
                break
        return best

    def _handed_out(self, chosen: frozenset[int], before: dict[int, int]) -> tuple[float, dict[int, int]]:
        """These tools handed out: every item to the one that is cheapest as things stand, again until none moves;
        others only where none of these can do it. It begins with what each item had before, if that is chosen."""
        allowed = [[t for t in own if t in chosen] or own for own in self.tools]
        by_item = {
            n: min(own, key=lambda t, n=n: (self._costs[self.x[n, t]], t))  # type: ignore[misc]
            for n, own in zip(self.todo, allowed, strict=True)
        }
        by_item |= {n: t for n, t in before.items() if t in chosen}
        used = Counter(place for n, t in by_item.items() for place in self._places_of(self.x[n, t]))
        for _ in range(ROUNDS):
            moved = False
            for n, own in zip(self.todo, allowed, strict=True):
                if len(own) == 1:
                    continue
                now = by_item[n]
                used.subtract(self._places_of(self.x[n, now]))
                best = min(own, key=lambda t, n=n: (self._marginal(self.x[n, t], used), t))  # type: ignore[misc]
                moved |= best != now
                by_item[n] = best
                used.update(self._places_of(self.x[n, best]))
            if not moved:
                break
        items = sum(self._costs[self.x[n, t]] for n, t in by_item.items())
        return items + sum(self._costs[place] for place, times in used.items() if times), by_item

    def _marginal(self, column: int, used: Counter[int]) -> float:
        """What an item with a tool costs where some places have the tool already. [s]"""
        return self._costs[column] + sum(self._costs[place] for place in self._places_of(column) if not used[place])

    def _places_of(self, column: int) -> tuple[int, ...]:
        """Every place that an item with a tool wants, on the board too."""
        if column not in self._closed:
            todo, found = list(self._wants[column]), set()
            while todo:
                place = todo.pop()
                if place not in found:
                    found.add(place)
                    todo += self._wants[place]
            self._closed[column] = tuple(sorted(found))
        return self._closed[column]
