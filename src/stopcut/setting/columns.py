"""Lists on a board: names and years in columns, filled from the top, and what follows a line's tab set apart.

A line with a tab is one line of letters whose gap at the tab is as wide as it takes: until the line reaches from one
edge of its column to the other, or until what follows the tab stands level with that of the list's other lines. Edges
are the ones that the eye sees, as where any line begins.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from stopcut.setting.lay import Lain, parted
from stopcut.setting.request import ListPlace, SettingRequest
from stopcut.setting.spacing import hang

__all__ = ["entries", "filled", "leads_right", "parts", "rows", "tab_gap", "tabbed", "tabs_apart"]


def entries(
    listed: Sequence[bool], tabs: Sequence[int | None], columns: int, *, stop: bool
) -> tuple[ListPlace | None, ...]:
    """The place of each line in its list. listed says which lines are of one, tabs how many words stand before a tab.

    Lines of a list stand one after another; each list is filled from the top, column by column, as evenly as goes.
    """
    out: list[ListPlace | None] = [None] * len(listed)
    block, start = 0, 0
    while start < len(listed):
        end = start
        while end < len(listed) and listed[end]:
            end += 1
        many = end - start
        if many:
            used, place = min(columns, many), start
            for column in range(used):
                for row in range(many // used + (column < many % used)):
                    out[place] = ListPlace(block, row, column, used, tabs[place], stop)
                    place += 1
            block += 1
        start = max(end, start + 1)
    return tuple(out)


def rows(lines: Sequence[Lain]) -> list[list[int]]:
    """The lines that stand on one level, by their places, from the top; a line that is in no list stands alone."""
    out: list[list[int]] = []
    levels: dict[tuple[int, int], list[int]] = {}
    for place, line in enumerate(lines):
        entry = line.setting.entry
        if entry is None:
            out.append([place])
        elif (entry.block, entry.row) in levels:
            levels[entry.block, entry.row].append(place)
        else:
            levels[entry.block, entry.row] = [place]
            out.append(levels[entry.block, entry.row])
    return out


def leads_right(line: Lain) -> bool:
    """Whether the line is read from the right."""
    order = line.shape.order
    return len(order) > 1 and order[0] > order[-1]


def tab_gap(line: Lain) -> int | None:
    """The gap, in visual order, where the line's tab stands."""
    entry = line.setting.entry
    if entry is None or entry.tab is None:
        return None
    words = [letter.word for letter in line.shape.letters]
    return next((n for n, (a, b) in enumerate(pairwise(words)) if min(a, b) < entry.tab <= max(a, b)), None)


def tabbed(lines: Sequence[Lain], request: SettingRequest) -> list[Lain]:
    """The lines with what follows their tabs where it stands, never nearer than two words' space."""
    return filled(tabs_apart(lines), request)


def tabs_apart(lines: Sequence[Lain]) -> list[Lain]:
    """The lines with their tabs as wide as they must be: two words' space, and up to the stop of their list."""
    lines = [_apart(line, _word_space(line)) for line in lines]
    stops: dict[int, float] = {}
    for line in lines:
        entry = line.setting.entry
        if entry is not None and entry.stop and tab_gap(line) is not None:
            stops[entry.block] = max(stops.get(entry.block, 0.0), _second_begins(line))
    return [
        _apart(line, stops[entry.block] - _second_begins(line))
        if (entry := line.setting.entry) is not None and entry.block in stops and tab_gap(line) is not None
        else line
        for line in lines
    ]


def parts(line: Lain) -> tuple[float, float]:
    """How wide a line's two parts are, as the eye sees them: up to where the second begins, two words' space after the
    first, and from there. [mm] The line has a tab."""
    line = _apart(line, _word_space(line))
    begins = _second_begins(line)
    return begins, line.box.width - line.hang_left - line.hang_right - begins


def filled(lines: Sequence[Lain], request: SettingRequest) -> list[Lain]:
    """The lines whose tab reaches to their column's far edge with it as wide as that takes."""
    return [
        line
        if (entry := line.setting.entry) is None or entry.stop
        else _apart(line, request.room_mm(line.setting) - (line.box.width - line.hang_left - line.hang_right))
        for line in lines
    ]


def _apart(line: Lain, more_mm: float) -> Lain:
    gap = tab_gap(line)
    return line if gap is None or more_mm <= 0 else parted(line, gap, more_mm)


def _word_space(line: Lain) -> float:
    gap = tab_gap(line)
    return 0.0 if gap is None else float(line.gaps.model[gap])


def _second_begins(line: Lain) -> float:
    """From the edge where the line is begun to the edge where what follows its tab is begun, as the eye sees them."""
    gap = tab_gap(line)
    assert gap is not None
    lean = line.shape.manner.lean
    if leads_right(line):
        beyond = hang(line.shape.profiles[gap], 1, lean) * line.unit_mm
        return (
            line.box.width - line.hang_right - (float(line.lefts[gap] + line.shape.widths[gap] * line.unit_mm) - beyond)
        )
    beyond = hang(line.shape.profiles[gap + 1], 0, lean) * line.unit_mm
    return float(line.lefts[gap + 1]) + beyond - line.hang_left
