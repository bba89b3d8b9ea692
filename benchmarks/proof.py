"""The proof sheet: words set with equal gaps, by the face's designer, and by our model, for the eye to judge.

All three have the same width, so that only the gaps within the word differ.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, ImageDraw, ImageFont

from benchmarks.kept_picture import keep_picture
from stopcut.lettering.faces import find_face
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.setting.line import line_shape
from stopcut.shape.flat import flatten

Array = NDArray[np.float64]

WORDS = ("MARROW LANE", "WAVE", "TRAVAIL", "LLYN", "ROOT", "AVIARY", "SATYR", "JULY", "BATTLE", "VAULT", "1931")
FACES = ("Cinzel", "EB Garamond", "Jost")
WAYS = ("equal gaps", "the face's designer", "stopcut")
CAP, ROW, COLUMN, MARGIN, OVER = 52, 96, 640, 50, 3
"""Pixels: height of the letters, of a row, width of a column, margin; and how much larger it is drawn at first."""


def draw_proof(path: Path) -> None:
    """Draw the sheet."""
    size = (2 * MARGIN + 3 * COLUMN, 2 * MARGIN + ROW * len(WORDS) + 30)
    page = Image.new("L", (size[0] * OVER, size[1] * OVER), 255)
    pen = ImageDraw.Draw(page)
    label = ImageFont.truetype(str(find_face("Alegreya Sans", 400).path), 24 * OVER)
    for column, way in enumerate(WAYS):
        pen.text(((MARGIN + column * COLUMN) * OVER, MARGIN * OVER // 2), way, font=label, fill=90)
    for row, word in enumerate(WORDS):
        lettered = letter_line(LineRequest(word, FACES[row % len(FACES)], weight=400))
        for column, gaps in enumerate(_ways(lettered)):
            baseline = MARGIN + 30 + (row + 1) * ROW - 36
            page = _drawn(page, lettered, gaps, (MARGIN + column * COLUMN) * OVER, baseline * OVER)
    path.parent.mkdir(parents=True, exist_ok=True)
    keep_picture(page.resize(size, Image.Resampling.LANCZOS), path)


def _ways(lettered: Lettered) -> Sequence[Array]:
    """The gaps of a line set equally, by the designer and by the model, in em, all of one width."""
    shape = line_shape(lettered)
    letters = shape.letters
    bounds = [letter.outline.bounds for letter in letters]
    designer = np.array(
        [
            letter.advance + after.left - before.right
            for letter, before, after in zip(letters, bounds, bounds[1:], strict=False)
        ]
    )
    ours = shape.gaps(1.0, 1.0, 0.02).model
    spaces = shape.lights > 1
    within = ~spaces
    equal = np.full(len(ours), ours[within].mean())
    designer += np.where(within, ours[within].mean() - designer[within].mean(), 0.0)
    equal[spaces] = designer[spaces] = ours[spaces]
    return equal, designer, ours


def _drawn(page: Image.Image, lettered: Lettered, gaps: Array, left: float, baseline: float) -> Image.Image:
    scale = CAP * OVER / lettered.face.cap_height
    at = left
    for i, letter in enumerate(line_shape(lettered).letters):
        box = letter.outline.bounds
        ink = Image.new("1", page.size, 0)
        for ring in flatten(letter.outline, 0.0005).rings:
            one = Image.new("1", page.size, 0)
            points = [(at + (x - box.left) * scale, baseline - y * scale) for x, y in ring.tolist()]
            ImageDraw.Draw(one).polygon(points, fill=1)
            ink = ImageChops.logical_xor(ink, one)
        page.paste(0, mask=ink)
        at += (box.width + (gaps[i] if i < len(gaps) else 0.0)) * scale
    return page
