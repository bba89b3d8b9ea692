"""Letters for the tests of setting: plain shapes with known sides, and words in packaged faces."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import fontpkg
import pathops
from fontTools.ttLib import TTFont

from stopcut.lettering.letters import FaceFacts, Letter, Lettered
from stopcut.shape.outline import Contour, Outline, Segment, polygon

SHAPES = {
    # One em is one cap height; every shape is an upright block, or built of straight pieces.
    "I": polygon([(0, 0), (0.1, 0), (0.1, 1), (0, 1)]),
    "O": polygon([(0.3, 0), (0.6, 0), (0.9, 0.3), (0.9, 0.7), (0.6, 1), (0.3, 1), (0, 0.7), (0, 0.3)]),
    "V": polygon([(0.35, 0), (0.45, 0), (0.8, 1), (0.68, 1), (0.4, 0.15), (0.12, 1), (0, 1)]),
    "A": polygon([(0, 0), (0.12, 0), (0.4, 0.85), (0.68, 0), (0.8, 0), (0.45, 1), (0.35, 1)]),
    "T": polygon([(0.3, 0), (0.4, 0), (0.4, 0.9), (0.7, 0.9), (0.7, 1), (0, 1), (0, 0.9), (0.3, 0.9)]),
    "L": polygon([(0, 0), (0.5, 0), (0.5, 0.1), (0.1, 0.1), (0.1, 1), (0, 1)]),
    "H": polygon(
        [
            (0, 0), (0.1, 0), (0.1, 0.45), (0.6, 0.45), (0.6, 0), (0.7, 0),
            (0.7, 1), (0.6, 1), (0.6, 0.55), (0.1, 0.55), (0.1, 1), (0, 1),
        ]
    ),
    ".": polygon([(0, 0), (0.12, 0), (0.12, 0.12), (0, 0.12)]),
    "-": polygon([(0, 0.35), (0.3, 0.35), (0.3, 0.43), (0, 0.43)]),
    "p": polygon([(0, -0.3), (0.1, -0.3), (0.1, 0), (0.4, 0), (0.4, 0.6), (0, 0.6)]),
}  # fmt: skip


def plain(words: str, *, from_right: bool = False) -> Lettered:
    """Words in the plain shapes; from_right sets them in visual order as a right-to-left script would."""
    face = FaceFacts("Plain", "Regular", 400, 1.0, 0.6, 1.0, 1.0, -0.3, 0.1, upright=SHAPES["H"])
    letters = [
        Letter(char, SHAPES[char], 1.0, word, 0.1 if char in "IHL" else None)
        for word, part in enumerate(words.split())
        for char in part
    ]
    order = list(range(len(letters)))
    if from_right:
        letters.reverse()
        order.reverse()
    return Lettered(words, face, tuple(letters), tuple(order))


def set_in(family: str, words: str) -> Lettered:
    """Words in a packaged face at weight 400, by fontTools, letter by letter."""
    glyphs = tuple(
        Letter(char, outline(family, char), 0.0, word) for word, part in enumerate(words.split()) for char in part
    )
    upright, stem = outline(family, "H"), outline(family, "I").bounds
    face = FaceFacts(
        family, "Regular", 400, upright.bounds.top, None, None, 1.0, -0.3, 0.25 * stem.width, upright=upright
    )
    return Lettered(words, face, glyphs, tuple(range(len(glyphs))))


@lru_cache(maxsize=4096)
def outline(family: str, char: str) -> Outline:
    """One clean glyph outline in em."""
    font, glyphs, names = _font(family)
    path = pathops.Path()
    glyphs[names[ord(char)]].draw(path.getPen(glyphSet=glyphs))
    path.simplify(fix_winding=True)
    contours = []
    for contour in path.contours:
        segments: list[Segment] = []
        here = start = (0.0, 0.0)
        for verb, points in contour.segments:
            if verb == "moveTo":
                here = start = points[0]
            elif verb == "lineTo":
                segments.append((here, points[0]))
            elif verb == "curveTo":
                segments.append((here, *points))
            elif verb == "qCurveTo":
                *controls, end = points
                for control, after in pairwise(controls):
                    middle = ((control[0] + after[0]) / 2, (control[1] + after[1]) / 2)
                    segments.append((here, control, middle))
                    here = middle
                segments.append((here, controls[-1], end))
            elif here != start:
                segments.append((here, start))
            if points:
                here = points[-1]
        contours.append(Contour(tuple(segments)))
    return Outline(tuple(contours)).scaled(1 / font["head"].unitsPerEm)


def file_of(family: str) -> Path:
    """The upright font file of a packaged family: the variable one, else that nearest weight 400."""
    files = [file for file in fontpkg.family(family).files if file.style == "normal"]
    file = next((f for f in files if f.variable), min(files, key=lambda f: abs((f.weight or 400) - 400)))
    return Path(file.path)


@lru_cache(maxsize=64)
def _font(family: str) -> tuple[TTFont, object, dict[int, str]]:
    font = TTFont(file_of(family))
    place = {axis.axisTag: axis.defaultValue for axis in font["fvar"].axes} if "fvar" in font else {}
    if "wght" in place:
        place["wght"] = 400
    return font, font.getGlyphSet(location=place), font.getBestCmap()
