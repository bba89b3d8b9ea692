"""The pencilled lines: a contact sheet to look at letter by letter, and how steady they are.

`python -m benchmarks.lines` draws docs/groove-lines.png: the capitals, & and three figures in four faces, in black with
the sheets' own weights and dashes. `python -m benchmarks.lines --steady` halves the flattening tolerance and prints how
much of the lines stays where it was, and names the letters where it does not.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from benchmarks.kept_picture import keep_picture
from stopcut.groove.chains import distances
from stopcut.groove.lines import lines
from stopcut.groove.roof import TOLERANCE_EM, roof_of
from stopcut.groove.surface import PlanLine, PlanLines, Roof
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.shape.outline import Outline

Array = NDArray[np.float64]

FACES = {
    "Cinzel": "an inscriptional roman",
    "EB Garamond": "an old-style",
    "Zilla Slab": "a slab",
    "Alegreya Sans": "a sans",
}
CHARACTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ&123"
CAPITALS_MM = 60.0

SHEET = Path(__file__).parent.parent / "docs" / "groove-lines.png"
WIDTH_MM = 560.0
PER_MM = 2000 / WIDTH_MM
"""Pixels per mm of the finished picture."""
FINER = 4
"""Drawn this much larger, then brought down, so that thin lines are smooth."""
GREYS = 16
"""Even steps from black to white; half the bytes of all greys. Four no longer tell a run from a mitre."""
BETWEEN_MM = 11.0

# Weights and dashes are the sheets'. [mm]
OUTLINE = (0.15, ())
RUN = (0.25, ())
BEYOND = (0.15, (2.0, 1.0))
ARRIS = (0.10, (0.6, 0.8))

STEADY_MM = 0.05
LOOK_EVERY_MM = 0.1


@dataclass(frozen=True)
class Shown:
    """A letter to draw: its character, roof and lines, and mm per em."""

    char: str
    roof: Roof
    drawn: PlanLines
    scale: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        points = np.concatenate(self.roof.flat.rings) * self.scale
        return (*points.min(axis=0), *points.max(axis=0))


def main() -> None:
    if "--steady" in sys.argv[1:]:
        characters = next((a for a in sys.argv[1:] if not a.startswith("-")), CHARACTERS)
        for face in FACES:
            print("\n".join(steadiness(face, characters)))
    else:
        SHEET.parent.mkdir(exist_ok=True)
        keep_picture(_few_greys(contact_sheet()), SHEET)


def outlines(face: str, characters: str) -> tuple[list[tuple[str, Outline]], float]:
    """Each character with its outline, and mm per em at which the capitals have their height."""
    lettered = letter_line(LineRequest(words=" ".join(characters), face=face))
    return [(letter.char, letter.outline) for letter in lettered.letters], CAPITALS_MM / lettered.face.cap_height


# --- the contact sheet ---


def contact_sheet() -> Image.Image:
    rows = [row for face in FACES for row in _rows(face)]
    pictures = [_row(caption, row) for caption, row in rows]
    whole = Image.new("L", (max(p.width for p in pictures), sum(p.height for p in pictures)), 255)
    top = 0
    for picture in pictures:
        whole.paste(picture, (0, top))
        top += picture.height
    return whole


def _few_greys(picture: Image.Image) -> Image.Image:
    """In GREYS even steps: a palette picked by how much there is of each would lose the faintest lines."""
    step = 255 / (GREYS - 1)
    return picture.point([round(round(grey / step) * step) for grey in range(256)]).quantize(GREYS)


def _rows(face: str) -> Iterator[tuple[str, list[Shown]]]:
    """The face's letters in rows of the sheet's width; the first with a caption."""
    caption, row, used = f"{face}, {FACES[face]}", [], 0.0
    letters, scale = outlines(face, CHARACTERS)
    for char, outline in letters:
        roof = roof_of(outline, TOLERANCE_EM)
        shown = Shown(char, roof, lines(roof), scale)
        wide = shown.box[2] - shown.box[0] + BETWEEN_MM
        if row and used + wide > WIDTH_MM - BETWEEN_MM:
            yield caption, row
            caption, row, used = "", [], 0.0
        row.append(shown)
        used += wide
    yield caption, row


def _row(caption: str, row: list[Shown]) -> Image.Image:
    px = PER_MM * FINER
    above = max(shown.box[3] for shown in row) + BETWEEN_MM * (1.8 if caption else 0.8)
    below = -min(shown.box[1] for shown in row) + BETWEEN_MM * 0.6
    image = Image.new("L", (round(WIDTH_MM * px), round((above + below) * px)), 255)
    pen = ImageDraw.Draw(image)
    if caption:
        pen.text((BETWEEN_MM * px, 3 * px), caption, fill=0, font=ImageFont.load_default(5.5 * px))
    x = BETWEEN_MM
    for shown in row:
        offset = np.array([x - shown.box[0], above])
        _letter(pen, shown, offset, px)
        x += shown.box[2] - shown.box[0] + BETWEEN_MM
    return image.resize((image.width // FINER, image.height // FINER), Image.Resampling.LANCZOS)


def _letter(pen: ImageDraw.ImageDraw, shown: Shown, offset: Array, px: float) -> None:
    def stroke(points: Array, weight_mm: float, dash: tuple[float, ...]) -> None:
        on_paper = points * shown.scale * [1, -1] + offset
        for piece in _dashed(on_paper, dash):
            pen.line([(float(x * px), float(y * px)) for x, y in piece], fill=0, width=max(1, round(weight_mm * px)))

    for ring in shown.roof.flat.rings:
        stroke(np.vstack([ring, ring[:1]]), *OUTLINE)
    for line in shown.drawn.lines:
        if line.kind == "centre":
            for within, piece in _split(line):
                stroke(piece, *(RUN if within else BEYOND))
        else:
            stroke(line.points, *(ARRIS if line.kind == "arris" else BEYOND))
    for pit in shown.drawn.pits:
        for step in ([0.01, 0.0], [0.0, 0.01]):
            stroke(np.array([pit.x, pit.y]) + np.outer([-1, 1], step), *RUN)


def _split(line: PlanLine) -> Iterator[tuple[bool, Array]]:
    """The parts of a centre line within its parallel runs (True) and beyond them."""
    along = distances(line.points)
    cuts = [0.0, *(at for run in line.parallel for at in run), float(along[-1])]
    for i, (start, end) in enumerate(pairwise(cuts)):
        if end > start:
            yield i % 2 == 1, _part(line.points, along, start, end)


def _part(points: Array, along: Array, start: float, end: float) -> Array:
    at = np.concatenate([[start], along[(along > start) & (along < end)], [end]])
    return np.column_stack([np.interp(at, along, points[:, axis]) for axis in (0, 1)])


def _dashed(points: Array, dash: tuple[float, ...]) -> Iterator[Array]:
    if not dash:
        yield points
        return
    along = distances(points)
    on, off = dash
    for start in np.arange(0.0, along[-1], on + off):
        yield _part(points, along, start, min(start + on, float(along[-1])))


# --- steadiness ---


def steadiness(face: str, characters: str) -> list[str]:
    """What halving the tolerance does to a face's lines, in words; features under twice the tolerance are left out."""
    letters, scale = outlines(face, characters)
    total = moved = runs = runs_moved = 0.0
    named: list[tuple[float, str]] = []
    for char, outline in letters:
        coarse, fine = (lines(roof_of(outline, tolerance)) for tolerance in (TOLERANCE_EM, TOLERANCE_EM / 2))
        own = lost = 0.0
        for kinds in (("centre", "corner"), ("arris",)):
            for one, other in ((coarse, fine), (fine, coarse)):
                length, away = _apart(one, other, kinds, scale)
                own, lost = own + length, lost + away
        a, b = (sum(end - start for line in drawn.lines for start, end in line.parallel) for drawn in (coarse, fine))
        total, moved = total + own, moved + lost
        runs, runs_moved = runs + a, runs_moved + abs(a - b)
        if own and lost / own > 0.01:
            named.append((lost / own, f"{char} {100 * lost / own:.1f} %"))
    worst = ", ".join(name for _, name in sorted(named, reverse=True)) or "none"
    return [
        f"{face}: {100 * (1 - moved / total):.2f} % of the lines within {STEADY_MM} mm at {CAPITALS_MM:g} mm; "
        f"parallel runs differ by {100 * runs_moved / runs:.2f} %; over 1 % moved: {worst}"
    ]


def _apart(one: PlanLines, other: PlanLines, kinds: tuple[str, ...], scale: float) -> tuple[float, float]:
    """Length of one's lines, and of what lies farther than STEADY_MM from the other's. [em]"""
    theirs = shapely.MultiLineString([line.points for line in other.lines if line.kind in kinds])
    length = away = 0.0
    for line in one.lines:
        along = distances(line.points)
        if line.kind not in kinds or along[-1] < 2 * TOLERANCE_EM:
            continue
        count = max(2, int(along[-1] * scale / LOOK_EVERY_MM))
        at = (np.arange(count) + 0.5) / count * along[-1]
        points = np.column_stack([np.interp(at, along, line.points[:, axis]) for axis in (0, 1)])
        seen = np.interp(at, along, line.half_width) >= 2 * TOLERANCE_EM
        far = np.full(count, np.inf) if theirs.is_empty else shapely.distance(shapely.points(points), theirs)
        length += float(seen.sum()) / count * along[-1]
        away += float((seen & (far * scale > STEADY_MM)).sum()) / count * along[-1]
    return length, away


if __name__ == "__main__":
    main()
