"""In the worker: strokes as shapes, as finely as they are carved.

skia draws a stroke's rounds for a screen of the drawing's own unit, so that a dot of two units comes out some 6 % off;
here it is drawn larger and made small again. A stroke of no width paints nothing (SVG 1.1, chapter 11).
"""

from __future__ import annotations

from typing import Any

import pathops
from picosvg import svg_pathops
from picosvg.svg import SVG

__all__ = ["Stroked"]

FINE = 2.0**10
"""How much larger strokes are drawn. Our choice: a round of one unit is then good to 1 part in 10,000."""
CONIC = 0.05
"""How far rounds may lie off the circle, at that size. [units] Our choice: below the grid where shapes are united."""


class Stroked(SVG):
    """A drawing whose strokes become shapes by the rules above."""

    def _stroke(self, shape: Any) -> Any:
        """The shape without its stroke and the stroke as a shape of its own, in the order they are painted."""
        stroke = None if shape.stroke_width <= 0 else _outlined(shape)
        if stroke is not None:
            stroke.fill, stroke.fill_opacity, stroke.fill_rule = shape.stroke, shape.stroke_opacity, "nonzero"
        filled = shape.as_path()
        for path in (filled, stroke):
            if path is not None:
                path.stroke, path.stroke_width, path.stroke_opacity = "none", 1.0, 1.0
        painted = [filled] if filled.might_paint() else []
        return painted if stroke is None else [*painted, stroke]


def _outlined(shape: Any) -> Any:
    """The shape's stroke as a path to be filled."""
    path = svg_pathops.skia_path(shape.as_cmd_seq(), fill_rule="nonzero")
    path = path.transform(FINE, 0, 0, FINE, 0, 0)
    dashes = [float(v) * FINE for v in shape.stroke_dasharray.replace(",", " ").split() if v != "none"]
    path.stroke(
        shape.stroke_width * FINE,
        svg_pathops._SVG_TO_SKIA_LINE_CAP[shape.stroke_linecap],
        svg_pathops._SVG_TO_SKIA_LINE_JOIN[shape.stroke_linejoin],
        shape.stroke_miterlimit,
        dashes * (1 + len(dashes) % 2),
        shape.stroke_dashoffset * FINE,
    )
    path.convertConicsToQuads(CONIC)
    assert isinstance(path, pathops.Path)
    back = path.transform(1 / FINE, 0, 0, 1 / FINE, 0, 0)
    return shape.as_path().update_path(svg_pathops.svg_commands(back))
