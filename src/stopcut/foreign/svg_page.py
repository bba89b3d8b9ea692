"""In the worker: a drawing's page, from its own unit to mm (SVG 1.1, chapter 7; CSS Values and Units level 3)."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

from stopcut.foreign.inside import BadInput
from stopcut.foreign.svg_styles import UNITS

__all__ = ["Page", "page_of"]

PIXEL_MM = 25.4 / 96
"""The unit of a drawing that says no size. [mm] CSS Values and Units level 3: 96 to the inch."""
_LENGTH = re.compile(r"\s*([0-9]*\.?[0-9]+(?:e[+-]?[0-9]+)?)\s*(px|pt|pc|in|cm|mm|q)?\s*", re.IGNORECASE)
_BETWEEN = re.compile(r"\s*,\s*|\s+")


@dataclass(frozen=True)
class Page:
    """What of a drawing is on its page, and how large it is.

    box is (x, y, width, height) in the drawing's unit, y down; where it has no size nothing is off the page. x_mm and
    y_mm are the drawing's unit along and across. [mm]
    """

    box: tuple[float, float, float, float]
    x_mm: float
    y_mm: float

    @property
    def bounded(self) -> bool:
        """Whether the drawing says where its page ends."""
        return self.box[2] > 0 and self.box[3] > 0


def page_of(root: Any) -> Page:
    """The page of an SVG's root: its view box, made to fit its width and height as preserveAspectRatio says.

    Raises BadInput for a page of no width or height: no viewer shows anything of it (SVG 1.1, chapters 5.1.2 and 7.7).
    A view box that is no four numbers, or has a size below nought, is none, as for a viewer.
    """
    if _nought(root):
        raise BadInput("its page has no width or no height, so that nothing of it is shown")
    width, height = _length(root.get("width")), _length(root.get("height"))
    box = _view_box(root)
    if box is None:
        return Page((0.0, 0.0, (width or 0.0) / PIXEL_MM, (height or 0.0) / PIXEL_MM), PIXEL_MM, PIXEL_MM)
    x, y, wide, high = box
    across, up = (width / wide if width else None), (height / high if height else None)
    if across is None or up is None:
        unit = across or up or PIXEL_MM
        return Page(box, unit, unit)
    how = (root.get("preserveAspectRatio") or "xMidYMid meet").split()
    if "none" in how:
        return Page(box, across, up)
    unit = max(across, up) if "slice" in how else min(across, up)
    spare_x, spare_y = wide * across / unit - wide, high * up / unit - high  # of the page beside the view box
    align = how[0].lower()
    return Page(
        (
            x - spare_x * _share(align, "x"),
            y - spare_y * _share(align, "y"),
            wide + spare_x,
            high + spare_y,
        ),
        unit,
        unit,
    )


def _nought(root: Any) -> bool:
    """Whether a side of the page, or of its view box, is nought."""
    sides = [_LENGTH.fullmatch(root.get(name) or "") for name in ("width", "height")]
    numbers = _four_numbers(root)
    return any(side and not float(side[1]) for side in sides) or (numbers is not None and 0.0 in numbers[2:])


def _share(align: str, axis: str) -> float:
    """How much of the spare page lies before the view box along an axis."""
    return 0.0 if f"{axis}min" in align else 1.0 if f"{axis}max" in align else 0.5


def _view_box(root: Any) -> tuple[float, float, float, float] | None:
    numbers = _four_numbers(root)
    return numbers if numbers is not None and min(numbers[2:]) > 0 else None


def _four_numbers(root: Any) -> tuple[float, float, float, float] | None:
    """What the view box says: numbers with blanks, a comma or both between them (SVG 1.1, chapter 7.7)."""
    try:
        x, y, wide, high = (float(word) for word in _BETWEEN.split((root.get("viewBox") or "").strip()))
    except ValueError:
        return None
    return (x, y, wide, high) if all(map(math.isfinite, (x, y, wide, high))) else None


def _length(words: str | None) -> float | None:
    """An absolute length in mm; None for none, for nought, or for one in percent or ems."""
    match = _LENGTH.fullmatch(words or "")
    return float(match[1]) * UNITS[(match[2] or "").lower()] * PIXEL_MM or None if match else None
