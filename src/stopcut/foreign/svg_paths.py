"""In the worker: an SVG path's words drawn as a skia path, in one pass.

Relative commands, shorthands and arcs are worked out here (SVG 1.1, chapter 8), since picosvg's own rewriting goes
through the text once for each of them, and through ever longer text: twenty thousand points would take minutes.
"""

from __future__ import annotations

from typing import Any

import pathops
from picosvg.arc_to_cubic import arc_to_cubic
from picosvg.svg_path_iter import parse_svg_path

from stopcut.foreign.inside import BadInput

__all__ = ["draw_path"]

_RULES = {"nonzero": pathops.FillType.WINDING, "evenodd": pathops.FillType.EVEN_ODD}


def draw_path(words: str, rule: str) -> Any:
    """The path of a `d` attribute with its fill rule. Raises BadInput for one that cannot be understood."""
    if rule not in _RULES:
        raise BadInput(f"'{rule[:40]}' is no fill rule")
    pen = _Pen(pathops.Path(fillType=_RULES[rule]))
    try:
        for command, numbers in parse_svg_path(words, exploded=True):
            pen.take(command, numbers)
    except (ValueError, IndexError, KeyError, TypeError, ZeroDivisionError, OverflowError) as problem:
        shown = words if len(words) <= 40 else words[:40] + "…"
        raise BadInput(f"a path in it cannot be read: '{shown}'") from problem
    return pen.path


class _Pen:
    """Where a path is being drawn: here, where its subpath began, and the last control point for the shorthands."""

    def __init__(self, path: Any) -> None:
        self.path = path
        self._x = self._y = self._x0 = self._y0 = 0.0
        self._control: tuple[float, float] | None = None
        self._kind = ""
        self._open = False

    def take(self, command: str, numbers: tuple[float, ...]) -> None:
        """Draw one command."""
        kind = command.upper()
        dx, dy = (self._x, self._y) if command.islower() else (0.0, 0.0)
        if kind == "Z":
            if self._open:
                self.path.close()
            self._x, self._y, self._open, self._kind = self._x0, self._y0, False, ""
            return
        if kind == "A":
            self._arc(numbers, dx, dy)
            return
        if kind in "HV":
            numbers = (numbers[0], self._y - dy) if kind == "H" else (self._x - dx, numbers[0])
            kind = "L"
        points = [(numbers[i] + dx, numbers[i + 1] + dy) for i in range(0, len(numbers), 2)]
        if kind in "ST":
            points.insert(0, self._reflected("CS" if kind == "S" else "QT"))
        self._draw(kind, points)

    def _draw(self, kind: str, points: list[tuple[float, float]]) -> None:
        flat = [v for point in points for v in point]
        if kind == "M":
            self.path.moveTo(*flat)
            self._x0, self._y0, self._open = flat[0], flat[1], True
        else:
            if not self._open:  # after Z a path goes on from where it began
                self.path.moveTo(self._x, self._y)
                self._open = True
            {2: self.path.lineTo, 4: self.path.quadTo, 6: self.path.cubicTo}[len(flat)](*flat)
        self._x, self._y = points[-1]
        self._control = points[-2] if len(points) > 1 else None
        self._kind = kind

    def _reflected(self, kinds: str) -> tuple[float, float]:
        if self._kind and self._kind in kinds and self._control is not None:
            return 2 * self._x - self._control[0], 2 * self._y - self._control[1]
        return self._x, self._y

    def _arc(self, numbers: tuple[float, ...], dx: float, dy: float) -> None:
        rx, ry, turn, large, sweep, x, y = numbers
        start, end = (self._x, self._y), (x + dx, y + dy)
        for first, second, point in arc_to_cubic(start, abs(rx), abs(ry), turn, int(large), int(sweep), end):
            if first is None or second is None:
                self._draw("L", [(point[0], point[1])])
            else:
                self._draw("A", [(first[0], first[1]), (second[0], second[1]), (point[0], point[1])])
        self._kind = "A"
