"""In the worker: glyphs as clean outlines.

HarfBuzz draws the glyph at the instance, skia-pathops takes the overlaps out on the curves, and `tidy` makes the rest
good. Units are the font's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import pathops
import uharfbuzz as hb

from stopcut.foreign.inside import BadInput
from stopcut.foreign.tidy import Contours, Points, tidied, turned

__all__ = ["clean", "draw"]

MOST_POINTS = 20_000
"""Points of one letter. Our choice: the densest ornamental capitals of open fonts have some two thousand."""
FARTHEST = 100.0
"""No point may lie farther from the origin. [em] Our choice: swashes reach two or three."""


def draw(font: hb.Font, glyphs: Iterable[tuple[int, float, float]]) -> Any:
    """A path of several glyphs, each (glyph, dx, dy) moved by its offset."""
    taken = _Taken(pathops.Path())
    for glyph, dx, dy in glyphs:
        taken.dx, taken.dy = dx, dy
        font.draw_glyph(glyph, _FUNCS, taken)
    if taken.count > MOST_POINTS:
        raise BadInput(f"it has more than {MOST_POINTS} points")
    return taken.path


class _Taken:
    """HarfBuzz's drawing as it comes into a path, moved, its points counted.

    What is raised while HarfBuzz draws is lost, so a drawing without end is let run dry here and refused afterwards.
    """

    def __init__(self, path: Any) -> None:
        self.path, self.dx, self.dy, self.count = path, 0.0, 0.0, 0

    def take(self, verb: str, *numbers: float) -> None:
        """Add a verb with its points' numbers x, y, x, y …, moved."""
        self.count += max(1, len(numbers) // 2)
        if self.count <= MOST_POINTS:
            getattr(self.path, verb)(*(v + (self.dy if i % 2 else self.dx) for i, v in enumerate(numbers)))


def _draw_funcs() -> hb.DrawFuncs:
    funcs = hb.DrawFuncs()
    funcs.set_move_to_func(lambda x, y, taken: taken.take("moveTo", x, y))
    funcs.set_line_to_func(lambda x, y, taken: taken.take("lineTo", x, y))
    funcs.set_quadratic_to_func(lambda *numbers: numbers[-1].take("quadTo", *numbers[:-1]))
    funcs.set_cubic_to_func(lambda *numbers: numbers[-1].take("cubicTo", *numbers[:-1]))
    funcs.set_close_path_func(lambda taken: taken.take("close"))
    return funcs


_FUNCS = _draw_funcs()


def clean(path: Any, upem: int) -> Contours:
    """The path's shape by the non-zero rule, without overlaps. Raises BadInput for what has no sensible shape."""
    path.fillType = pathops.FillType.WINDING
    try:
        path.simplify(fix_winding=False, keep_starting_points=False)
    except pathops.PathOpsError as problem:
        raise BadInput("its overlaps could not be taken out") from problem
    contours = _contours(path)
    if not all(math.isfinite(v) and abs(v) < FARTHEST * upem for c in contours for piece in c for v in piece):
        raise BadInput(f"it reaches farther than {FARTHEST:g} em")
    return turned(tidied(contours, upem))


def _contours(path: Any) -> Contours:
    """Raw verbs to contours; each is closed by a straight piece where it does not come back by itself."""
    contours: Contours = []
    current: list[Points] = []
    for verb, points in path:
        numbers = [float(v) for point in points for v in point]
        if verb == pathops.PathVerb.MOVE:
            _finish(contours, current)
            current = [numbers]
        elif verb == pathops.PathVerb.CLOSE:
            _finish(contours, current)
            current = []
        elif current and len(numbers) in (2, 4, 6):
            current.append(numbers)
    _finish(contours, current)
    return contours


def _finish(contours: Contours, current: list[Points]) -> None:
    if len(current) < 2:
        return
    if current[-1][-2:] != current[0]:
        current.append(list(current[0]))
    contours.append(current)
