"""A border ruled round the board, as an outline to carve: one stroke or two, with square, cut or hollow corners."""

from __future__ import annotations

import math

from stopcut.errors import CarverError
from stopcut.job.job import Board, Border
from stopcut.shape.outline import Contour, Outline, Point, Segment
from stopcut.shape.placed import Placed
from stopcut.units import Units, format_length

__all__ = ["NAME", "border_outline", "place_border"]

NAME = "border"
"""What a border is called where a letter has its character."""

APART = 2.0
"""Wood between the two strokes, in strokes. Our choice: as broad as it must be to stand, and to be seen as two."""
CORNER = 5.0
"""How far from the corner a cut or hollow one begins, in strokes. Our choice: it reads from where the words do."""
CORNER_SHARE = 0.2
"""But no more than this of the shorter side within the border. Our choice."""


def place_border(border: Border, board: Board, units: Units = "mm") -> Placed:
    """The border where it stands on the board. Raises CarverError if the board is too small for it."""
    outline = border_outline(border, board.width_mm, board.height_mm, units)
    return Placed(outline, 1.0, border.inset_mm, border.inset_mm, char=NAME)


def border_outline(border: Border, width_mm: float, height_mm: float, units: Units = "mm") -> Outline:
    """The border of a board of this size, in mm from the border's own lower left corner.

    Each stroke is a ring of even width: the corners of its inner edge are the outer edge's, as far in as the stroke is
    broad. Raises CarverError, with lengths in units, if the board is too small.
    """
    width, height = width_mm - 2 * border.inset_mm, height_mm - 2 * border.inset_mm
    reach = border.stroke_mm * (1 if border.lines == 1 else 2 + APART)
    if not min(width, height) > 2 * reach:
        needed = 2 * (border.inset_mm + reach)
        raise CarverError(
            f"The border takes {format_length(needed, units)} of the board and the board is "
            f"{format_length(min(width_mm, height_mm), units)}: make its inset or stroke smaller, or leave it out."
        )
    size = min(CORNER * border.stroke_mm, CORNER_SHARE * min(width, height))
    starts = [0.0] if border.lines == 1 else [0.0, (1 + APART) * border.stroke_mm]
    contours: list[Contour] = []
    for start in starts:
        contours.append(_ring(border.corners, width, height, size, start))
        contours.append(_backwards(_ring(border.corners, width, height, size, start + border.stroke_mm)))
    return Outline(tuple(contours))


def _ring(corners: str, width: float, height: float, size: float, inside: float) -> Contour:
    """The edge at one distance inside the border's outer edge, anticlockwise from the lower left corner."""
    around: list[list[Segment]] = [
        [tuple(_turned(point, turn, width, height) for point in piece) for piece in _corner(corners, size, inside)]
        for turn in range(4)
    ]
    segments: list[Segment] = []
    for i, pieces in enumerate(around):
        following = around[(i + 1) % 4]
        segments += pieces
        end = pieces[-1][-1]
        begin = following[0][0]
        segments.append((end, begin))
    return Contour(tuple(segment for segment in segments if segment[0] != segment[-1]))


def _corner(corners: str, size: float, inside: float) -> list[Segment]:
    """The lower left corner from its left side to its lower one, at one distance inside the outer edge."""
    if corners == "square":
        return [((inside, inside), (inside, inside))]
    if corners == "cut":  # the line x + y = size, moved in by the distance
        far = size + inside * (math.sqrt(2) - 1)
        return [((inside, far), (far, inside))]
    radius = size + inside  # round the corner point of the outer edge
    far = math.sqrt(radius**2 - inside**2)
    first, last = math.atan2(far, inside), math.atan2(inside, far)
    middle = (first + last) / 2
    return [_arc(radius, first, middle), _arc(radius, middle, last)]


def _arc(radius: float, start: float, end: float) -> Segment:
    """A cubic for a piece of a circle round the origin (within 1e-5 of the radius for half a right angle). [rad]"""
    handle = 4 / 3 * math.tan((end - start) / 4) * radius
    (x0, y0), (x1, y1) = ((radius * math.cos(a), radius * math.sin(a)) for a in (start, end))
    return (
        (x0, y0),
        (x0 - handle * math.sin(start), y0 + handle * math.cos(start)),
        (x1 + handle * math.sin(end), y1 - handle * math.cos(end)),
        (x1, y1),
    )


def _turned(point: Point, turn: int, width: float, height: float) -> Point:
    """A point of the lower left corner at the corner so many right angles on (lower right, upper right, upper left)."""
    x, y = point
    return [(x, y), (width - y, x), (width - x, height - y), (y, height - x)][turn]


def _backwards(contour: Contour) -> Contour:
    return Contour(tuple(segment[::-1] for segment in contour.segments[::-1]))
