"""Tiling: which pages a board takes, what of it each page shows, and how the pages are joined.

A page shows the board through a *window*, the paper less what is kept free round it (the edge a printer cannot reach,
and the lines of print). Windows of neighbouring pages overlap; in the middle of the overlap runs the *join*. One page
is cut along the join and laid on the other, so that register marks on the join, cut in half, meet their whole
twins.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from stopcut.shape.outline import Bounds
from stopcut.sheets.paper import Paper

__all__ = ["BLEED_MM", "MARK_REACH_MM", "Mark", "PageMargins", "Tile", "Tiling", "tile_board"]

OVERLAP_MM = 15.0
"""Least overlap of two pages. (our choice: room for a register mark, a strip of tape and an unsteady knife)"""

BLEED_MM = 1.5
"""How much is shown beyond the board's edge. (our choice: the edge line and a hair of paper to trim it by)"""

MARK_REACH_MM = 4.0
"""Half the length of a register mark's arms. (our choice)"""

NAME_MM = 4.0
"""Room for a mark's name to the right of its upper arm. (two letters of 10 pt)"""

_ROUNDING_MM = 1e-6
"""A board longer than its window by less than this fits it. (our choice: what rounding may be off by)"""

_MARK_STEP_MM = 2.0
"""How far a mark moves along its join at a time to get clear of a letter. (our choice)"""


@dataclass(frozen=True, slots=True)
class PageMargins:
    """What of every page is kept free of the board, on each side. [mm]"""

    left: float
    bottom: float
    right: float
    top: float


@dataclass(frozen=True, slots=True)
class Tile:
    """One page: its row (1 is the top one) and column (1 is the left one), and the part of the board it shows. [mm]"""

    row: int
    column: int
    window: Bounds


@dataclass(frozen=True, slots=True)
class Mark:
    """A register mark: its name and its place on the board. It is drawn on every page whose window holds all of it."""

    name: str
    x_mm: float
    y_mm: float

    @property
    def bounds(self) -> Bounds:
        """The box of the mark's arms. [mm]"""
        return Bounds(self.x_mm, self.y_mm, self.x_mm, self.y_mm).grown(MARK_REACH_MM)


@dataclass(frozen=True)
class Tiling:
    """A board on pages.

    page_width_mm and page_height_mm as the paper is turned; tiles row by row from the top left. joins_x are the places
    of the upright joins from left to right, joins_y of the level ones from top to bottom. [mm on the board]
    """

    paper: Paper
    page_width_mm: float
    page_height_mm: float
    kept: PageMargins
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    joins_x: tuple[float, ...]
    joins_y: tuple[float, ...]
    marks: tuple[Mark, ...]

    def marks_on(self, tile: Tile) -> tuple[Mark, ...]:
        """The register marks that a page carries."""
        heights, ranked = self._by_height
        from_mark = bisect_left(heights, tile.window.bottom)
        to_mark = bisect_right(heights, tile.window.top)
        return tuple(
            self.marks[i] for i in sorted(ranked[from_mark:to_mark]) if tile.window.holds(self.marks[i].bounds)
        )

    @cached_property
    def _by_height(self) -> tuple[list[float], list[int]]:
        """The marks' heights from low to high, and which marks they are: a large board has thousands."""
        ranked = sorted(range(len(self.marks)), key=lambda i: self.marks[i].y_mm)
        return [self.marks[i].y_mm for i in ranked], ranked


def tile_board(
    width_mm: float,
    height_mm: float,
    paper: Paper,
    kept: PageMargins,
    *,
    overlap_mm: float = OVERLAP_MM,
    bleed_mm: float = BLEED_MM,
    keep_clear: Iterable[Bounds] = (),
    turns: tuple[bool, ...] = (False, True),
) -> Tiling | None:
    """Lay a board on as few pages as will do, the paper upright or turned.

    width_mm, height_mm: the board, > 0. kept: what of each page is kept free, whichever way it is turned. overlap_mm:
    the least that neighbours share, with room for a register mark; what is over is shared out evenly, so they mostly
    share more. bleed_mm: shown beyond the board's edges. keep_clear: boxes on the board that register marks stay out
    of where they can. [mm] turns: whether the paper may stand upright (False), turned (True) or either.

    Returns None if the paper leaves no window that an overlap fits into twice.
    """
    if overlap_mm < 2 * MARK_REACH_MM:
        raise ValueError(f"an overlap of {overlap_mm} mm has no room for a register mark of {2 * MARK_REACH_MM} mm")
    plans = [
        plan
        for turned in turns
        if (plan := _plan(width_mm, height_mm, paper, turned, kept, overlap_mm, bleed_mm)) is not None
    ]
    if not plans:
        return None
    plan = min(plans, key=lambda plan: (len(plan.across) * len(plan.up), plan.against_the_board))
    return _tiling(plan, paper, kept, tuple(keep_clear))


@dataclass(frozen=True, slots=True)
class _Windows:
    """Windows along each axis as (start, end), from the left and from the bottom."""

    page: tuple[float, float]
    across: tuple[tuple[float, float], ...]
    up: tuple[tuple[float, float], ...]
    against_the_board: bool


def _plan(
    width: float, height: float, paper: Paper, turned: bool, kept: PageMargins, overlap: float, bleed: float
) -> _Windows | None:
    page = (paper.height_mm, paper.width_mm) if turned else (paper.width_mm, paper.height_mm)
    window = (page[0] - kept.left - kept.right, page[1] - kept.bottom - kept.top)
    if min(window) < 2 * overlap or min(window) <= 0:
        return None
    return _Windows(
        page,
        _windows(width, window[0], overlap, bleed),
        _windows(height, window[1], overlap, bleed),
        turned != (width > height),
    )


def _windows(length: float, window: float, overlap: float, bleed: float) -> tuple[tuple[float, float], ...]:
    """Windows along one axis: one in the middle, or several evenly stepped from bleed before to bleed beyond."""
    total = length + 2 * bleed
    if total <= window + _ROUNDING_MM:
        start = (length - window) / 2
        return ((start, start + window),)
    count = max(2, math.ceil((total - overlap - _ROUNDING_MM) / (window - overlap)))
    step = (total - window) / (count - 1)
    return tuple((-bleed + i * step, -bleed + i * step + window) for i in range(count))


def _tiling(plan: _Windows, paper: Paper, kept: PageMargins, keep_clear: tuple[Bounds, ...]) -> Tiling:
    downward = plan.up[::-1]
    joins_x = tuple((left[1] + right[0]) / 2 for left, right in itertools.pairwise(plan.across))
    joins_y = tuple((upper[0] + lower[1]) / 2 for upper, lower in itertools.pairwise(downward))
    tiles = tuple(
        Tile(row, column, Bounds(x[0], y[0], x[1], y[1]))
        for row, y in enumerate(downward, 1)
        for column, x in enumerate(plan.across, 1)
    )
    places = list(_mark_places(plan.across, downward, joins_x, joins_y, keep_clear))
    marks = tuple(Mark(_name(number), x, y) for number, (x, y) in enumerate(places))
    return Tiling(
        paper, plan.page[0], plan.page[1], kept, len(downward), len(plan.across), tiles, joins_x, joins_y, marks
    )


def _mark_places(
    across: tuple[tuple[float, float], ...],
    downward: tuple[tuple[float, float], ...],
    joins_x: tuple[float, ...],
    joins_y: tuple[float, ...],
    keep_clear: tuple[Bounds, ...],
) -> Iterator[tuple[float, float]]:
    """One mark where joins cross, if nothing is in its way; else, and at outer ends, one near each end of a join."""

    def is_clear(x: float, y: float) -> bool:
        box = Bounds(x - MARK_REACH_MM, y - MARK_REACH_MM, x + MARK_REACH_MM + NAME_MM, y + MARK_REACH_MM + 1)
        return not any(box.meets(other) for other in keep_clear)

    crossings = {(x, y) for x in joins_x for y in joins_y if is_clear(x, y)}
    yield from sorted(crossings, key=lambda place: (-place[1], place[0]))
    for x in joins_x:
        for near, far in _ends((downward[0][1], *joins_y, downward[-1][0])):
            if (x, near) not in crossings:
                yield next(((x, y) for y in _along(near, far) if is_clear(x, y)), (x, next(_along(near, far))))
    for y in joins_y:
        for near, far in _ends((across[0][0], *joins_x, across[-1][1])):
            if (near, y) not in crossings:
                yield next(((x, y) for x in _along(near, far) if is_clear(x, y)), (next(_along(near, far)), y))


def _ends(stops: tuple[float, ...]) -> Iterator[tuple[float, float]]:
    """Both ends of every stretch between stops, each with the end over against it."""
    for one, other in itertools.pairwise(stops):
        yield one, other
        yield other, one


def _along(near: float, far: float) -> Iterator[float]:
    """Places for a mark from near a stretch's end to its middle, the best first."""
    half = abs(far - near) / 2
    inset = min(2 * MARK_REACH_MM, half * 0.75)
    way = math.copysign(1.0, far - near)
    while inset <= half:
        yield near + way * inset
        inset += _MARK_STEP_MM


def _name(number: int) -> str:
    """a, b, … z, aa, ab, …: register marks have letters, since letters of the board have numbers."""
    name = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(ord("a") + rest) + name
    return name
