"""Plain shapes and real letters for the tests of the groove."""

from __future__ import annotations

from glyphs import families, glyph

from stopcut.shape.outline import Outline, polygon
from stopcut.shape.placed import Placed

RECTANGLE = polygon([(0, 0), (40, 0), (40, 10), (0, 10)])
RING = polygon([(0, 0), (30, 0), (30, 30), (0, 30)], [(10, 10), (10, 20), (20, 20), (20, 10)])
CROSS = polygon(
    [(0, 20), (20, 20), (20, 0), (30, 0), (30, 20), (50, 20), (50, 30), (30, 30), (30, 50), (20, 50), (20, 30), (0, 30)]
)
ANGLE = polygon([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)])
TRIANGLE = polygon([(0, 0), (30, 0), (0, 40)])
SHAPES = {"rectangle": RECTANGLE, "ring": RING, "cross": CROSS, "L": ANGLE, "triangle": TRIANGLE}


def on_board(outline: Outline, **place: float) -> Placed:
    return Placed(outline, **{"scale": 1.0, "x_mm": 0.0, "y_mm": 0.0, **place})  # type: ignore[arg-type]


LETTERS = [("cinzel", "R"), ("cinzel", "&"), ("eb_garamond", "g"), ("zilla_slab", "A"), ("alegreya_sans", "é")]


def letter(family: str, char: str) -> Outline:
    folder = families()[family]
    path = next(
        f for f in sorted(folder.iterdir()) if "Italic" not in f.name and ("wght" in f.name or "-Regular" in f.name)
    )
    outline = glyph(path, 400 if "wght" in path.name else None, char)
    assert outline is not None
    return outline
