"""The specimen: the faces at hand, each one's name in plain type beside the same words in its own letters.

Words are set by the same optical spacing as a board's and at one cap height, so that faces can be compared by eye; a
face too wide for the sheet is drawn smaller than the others, and how much is said. Colours and type are those of the
house: graphite on a white sheet, hairlines between. A sheet has the shape of A4, and as many of them are drawn as the
faces need.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from PIL import Image, ImageDraw

from stopcut.arrays import Array
from stopcut.errors import BadFace, FaceLacksCharacter
from stopcut.foreign.fonts import read_together
from stopcut.lettering.faces import Face, find_family
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_out import set_out
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed
from stopcut.shape.regions import ring_area

__all__ = ["WORDS", "specimen_pages"]

WORDS = "MARROW LANE & 1931"
"""Straight, round and slanting letters, an ampersand and figures, from our own boards."""
PLAIN_FACE = "Alegreya Sans"
WIDTH_PX = 1800
MARGIN_PX = 60
NAMES_PX = 380
"""The column of names. Our choice: "Libre Baskerville" and a margin."""
ROW_PX = 152
ROWS = 15
"""Faces of a page. Our choice: a page then has about the shape of A4, 1 : 1.41."""
CAPS_PX = 76
"""Cap height of the words; smaller in a row whose words are too wide at that."""
NAME_PX, SMALL_PX = 24, 14
"""Cap heights of the names and of what is said under them."""
FINER = 4
"""Drawn so many times larger and made smaller, for smooth edges."""
STEPS = 8
"""Edges along each curve. Our choice: a quarter of a round 76 px high then keeps within 0.2 px."""
DARKEST = (32, 40, 43)
SHEET, INK, SOFT, RULE = 255, 0, 74, 195
"""Shades from 0, the graphite of DARKEST, to 255, white."""


@dataclass(frozen=True)
class _Row:
    """A face's row: its words set at a cap height of 1, or why it has none."""

    name: str
    facts: str
    words: tuple[Placed, ...]
    width: float
    why_not: str = ""

    @property
    def caps_px(self) -> float:
        """Cap height that its words are drawn at."""
        room = WIDTH_PX - 2 * MARGIN_PX - NAMES_PX
        return min(CAPS_PX, room / self.width) if self.width else CAPS_PX

    @property
    def labels(self) -> tuple[str, str, str]:
        """What is said of it: its name, its facts, why it has no words."""
        share = self.caps_px / CAPS_PX
        return self.name, self.facts + (f"  ·  drawn at {share:.0%}" if share < 0.995 else ""), self.why_not


def specimen_pages(faces: Sequence[str], words: str = WORDS) -> tuple[bytes, ...]:
    """Pictures of the words in each face (families' names, in the order given, each once), as PNG files.

    A face that lacks a character, or cannot be read, has that said in its row; the others go on.
    """
    with read_together():
        rows = [_row(name, words) for name in dict.fromkeys(faces)]
        plain = _Plain([label for row in rows for label in row.labels])
    return tuple(_page(rows[first : first + ROWS], plain) for first in range(0, max(1, len(rows)), ROWS))


def _page(rows: Sequence[_Row], plain: _Plain) -> bytes:
    picture = _Picture(WIDTH_PX, 2 * MARGIN_PX + ROW_PX * max(1, len(rows)) - ROW_PX // 3)
    for number, row in enumerate(rows):
        baseline = MARGIN_PX + CAPS_PX + number * ROW_PX
        if number:
            picture.rule(MARGIN_PX, baseline - CAPS_PX - ROW_PX // 4 + 2)
        name, facts, why_not = row.labels
        picture.draw(
            plain.set(name),
            min(NAME_PX, (NAMES_PX - MARGIN_PX // 2) / plain.width(name)),
            (MARGIN_PX, baseline - SMALL_PX - 22),
            INK,
        )
        picture.draw(plain.set(facts), SMALL_PX, (MARGIN_PX, baseline), SOFT)
        picture.draw(row.words, row.caps_px, (MARGIN_PX + NAMES_PX, baseline), INK)
        picture.draw(plain.set(why_not), SMALL_PX, (MARGIN_PX + NAMES_PX, baseline), SOFT)
    return picture.png()


def _row(name: str, words: str) -> _Row:
    try:
        face = find_family(name)
        placed, width = _set(letter_line(LineRequest(words, name)))
    except FaceLacksCharacter as lack:
        called = unicodedata.name(lack.char[0], "").capitalize()
        return _Row(name, "", (), 0.0, f"has no {lack.char}" + (f" ({called})" if called else ""))
    except BadFace as bad:
        return _Row(name, "", (), 0.0, str(bad))
    return _Row(name, _facts(face), placed, width)


def _facts(face: Face) -> str:
    """What one wants to know of a family besides its looks."""
    if face.weight_range:
        weights = f"any weight {face.weight_range[0]:g}–{face.weight_range[1]:g}"
    elif len(face.weights) == 1:
        weights = f"weight {face.weights[0]}"
    else:
        weights = f"{len(face.weights)} weights {face.weights[0]}–{face.weights[-1]}"
    italic = ", italic" if "italic" in face.styles else ""
    return f"{weights}{italic}" + (f"  ·  {face.licence}" if 0 < len(face.licence) <= 20 else "")


def _set(lettered: Lettered, cap_height: float = 1.0) -> tuple[tuple[Placed, ...], float]:
    """The line's letters from x = 0 on the baseline y = 0, cap height 1, and its width."""
    scale = 100.0  # the setting counts in mm: any size will do, and this one is a board's
    line = LineSetting(lettered, scale * cap_height, align="left")
    board = set_out(SettingRequest(1e5, 1e3, 0.0, (line,)))
    (set_line,) = board.lines
    left, base = set_line.ink_left_mm, set_line.baseline_y_mm
    letters = tuple(_shrunk(letter.placed, left, base, scale) for letter in set_line.letters)
    return letters, (set_line.ink_right_mm - left) / scale


def _shrunk(placed: Placed, left: float, base: float, by: float) -> Placed:
    x, y = (placed.x_mm - left) / by, (placed.y_mm - base) / by
    return replace(placed, scale=placed.scale / by, x_mm=x, y_mm=y)


class _Plain:
    """Labels in the plain face, as its designer sets them. All characters of all labels are lettered at once."""

    def __init__(self, labels: Iterable[str]) -> None:
        self._glyphs: dict[str, tuple[Outline, float]] = {}
        self._caps = 1.0
        characters = "".join(dict.fromkeys(c for label in labels for c in label if not c.isspace()))
        while characters:
            try:
                lettered = letter_line(LineRequest(" ".join(characters), PLAIN_FACE, features=("lnum",)))
            except FaceLacksCharacter as lack:
                characters = "".join(c for c in characters if c not in lack.char)
            except BadFace:
                return
            else:
                self._caps = lettered.face.cap_height
                self._glyphs = {letter.char: (letter.outline, letter.advance) for letter in lettered.letters}
                return

    def set(self, label: str) -> Iterator[Placed]:
        """A label's letters from x = 0 on the baseline, cap height 1; characters the face lacks are left out."""
        pen, space = 0.0, 0.24 / 0.65
        for char in label:
            if char.isspace():
                pen += space
            elif char in self._glyphs:
                outline, advance = self._glyphs[char]
                yield Placed(outline, 1 / self._caps, pen, 0.0)
                pen += advance / self._caps

    def width(self, label: str) -> float:
        """About how wide a label is at a cap height of 1, never 0."""
        return max((placed.x_mm for placed in self.set(label)), default=0.0) + 1.0


class _Picture:
    """A sheet that is drawn larger than it will be."""

    def __init__(self, width_px: int, height_px: int) -> None:
        self._size = (width_px, height_px)
        self._image = Image.new("L", self._size, SHEET)
        self._known: dict[int, tuple[Outline, list[Array]]] = {}

    def rule(self, left_px: float, y_px: float) -> None:
        """A hairline from margin to margin."""
        ImageDraw.Draw(self._image).line([(left_px, y_px), (self._size[0] - left_px, y_px)], fill=RULE)

    def draw(self, letters: Iterable[Placed], size_px: float, origin_px: tuple[float, float], ink: int) -> None:
        """Fill letters, size_px to their unit, their origin at a point from the upper left corner."""
        for placed in letters:
            a, b, c, d, e, f = (size_px * v for v in placed.matrix)
            turn, move = np.array([[a, -b], [c, -d]]), np.array([e + origin_px[0], origin_px[1] - f])
            rings = [ring @ turn + move for ring in self._rings(placed.outline)]
            if not rings:
                continue
            points = np.concatenate(rings)
            left, top = (np.floor(points.min(axis=0)) - 1).astype(int).tolist()
            width, height = (np.ceil(points.max(axis=0)) + 2).astype(int) - (left, top)
            mask = Image.new("L", (int(width) * FINER, int(height) * FINER), 0)
            brush = ImageDraw.Draw(mask)
            # Larger rings first: a hole is cleared out of its letter before what stands inside it is filled. Turned
            # upside down, rings that ran anticlockwise run clockwise.
            for area, ring in sorted(((ring_area(ring), ring) for ring in rings), key=lambda one: -abs(one[0])):
                brush.polygon(((ring - (left, top)) * FINER).ravel().tolist(), fill=255 if area < 0 else 0)
            self._image.paste(ink, (left, top), mask.resize((int(width), int(height)), Image.Resampling.BOX))

    def _rings(self, outline: Outline) -> list[Array]:
        """An outline's rings, made once: a label's letters come again and again."""
        if id(outline) not in self._known:
            self._known[id(outline)] = outline, _rings(outline)  # kept with its rings, so that its id stays its own
        return self._known[id(outline)][1]

    def png(self) -> bytes:
        """The picture as a PNG file."""
        self._image.putpalette([d + (255 - d) * shade // 255 for shade in range(256) for d in DARKEST])
        out = io.BytesIO()
        self._image.save(out, "PNG")
        return out.getvalue()


def _rings(outline: Outline) -> list[Array]:
    """The outline's contours as rings of points, each (n, 2): fine enough for a picture."""
    rings: list[Array] = []
    for contour in outline.contours:
        pieces = [np.asarray(s[:1]) if len(s) == 2 else _shares(len(s)) @ np.asarray(s) for s in contour.segments]
        rings.append(np.concatenate(pieces))
    return rings


@lru_cache(maxsize=8)
def _shares(size: int) -> Array:
    """How much each control point of a curve of 3 or 4 counts at STEPS points from its start, (STEPS, size)."""
    t = np.arange(STEPS)[:, None] / STEPS
    binomial = np.array([[1, 2, 1] if size == 3 else [1, 3, 3, 1]])
    power = np.arange(size)
    shares: Array = binomial * t**power * (1 - t) ** (size - 1 - power)
    return shares
