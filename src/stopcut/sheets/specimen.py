"""The specimen: the faces at hand, each one's name in plain type beside the same words in its own letters.

Words are set by the same optical spacing as a board's, all at one cap height, so that faces can be compared by eye.
Colours and type are those of the house: graphite on a white sheet, hairlines between.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from PIL import Image, ImageDraw

from stopcut.errors import BadFace, FaceLacksCharacter
from stopcut.lettering.faces import Face, find_family
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_out import set_out
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Outline
from stopcut.shape.regions import ring_area

__all__ = ["WORDS", "specimen_png"]

WORDS = "MARROW LANE & 1931"
"""Straight, round and slanting letters, an ampersand and figures, from our own boards."""
PLAIN_FACE = "Alegreya Sans"
WIDTH_PX = 1800
MARGIN_PX = 60
NAMES_PX = 380
"""The column of names. Our choice: "Libre Baskerville" and a margin."""
ROW_PX = 152
CAPS_PX = 76
"""Cap height of the words where the widest face fits; smaller for all where it does not."""
NAME_PX, SMALL_PX = 24, 14
"""Cap heights of the names and of what is said under them."""
FINER = 4
"""Drawn so many times larger and made smaller, for smooth edges."""
FINE_PX = 0.05
SHEET, INK, SOFT, RULE = (255, 255, 255), (32, 40, 43), (92, 104, 107), (201, 208, 205)


@dataclass(frozen=True)
class _Row:
    """A face's row: its words set at a cap height of 1, or why it has none."""

    name: str
    facts: str
    outlines: tuple[Outline, ...]
    width: float
    why_not: str = ""


def specimen_png(faces: Sequence[str], words: str = WORDS) -> bytes:
    """A picture of the words in each face (families' names, in the order given), as a PNG file.

    A face that lacks a character, or cannot be read, has that said in its row; the others go on.
    """
    rows = [_row(name, words) for name in faces]
    widest = max((row.width for row in rows), default=0.0)
    room = WIDTH_PX - 2 * MARGIN_PX - NAMES_PX
    caps = min(CAPS_PX, room / widest) if widest else CAPS_PX
    picture = _Picture(WIDTH_PX, 2 * MARGIN_PX + ROW_PX * max(1, len(rows)) - ROW_PX // 3)
    for number, row in enumerate(rows):
        baseline = MARGIN_PX + CAPS_PX + number * ROW_PX
        if number:
            picture.rule(MARGIN_PX, baseline - CAPS_PX - ROW_PX // 4 + 2)
        picture.draw(_plain(row.name), NAME_PX, (MARGIN_PX, baseline - SMALL_PX - 22), INK)
        picture.draw(_plain(row.facts), SMALL_PX, (MARGIN_PX, baseline), SOFT)
        picture.draw(row.outlines, caps, (MARGIN_PX + NAMES_PX, baseline), INK)
        if row.why_not:
            picture.draw(_plain(row.why_not), SMALL_PX, (MARGIN_PX + NAMES_PX, baseline), SOFT)
    return picture.png()


def _row(name: str, words: str) -> _Row:
    try:
        face = find_family(name)
        outlines, width = _set(letter_line(LineRequest(words, name)))
    except FaceLacksCharacter as lack:
        called = unicodedata.name(lack.char[0], "").capitalize()
        return _Row(name, "", (), 0.0, f"has no {lack.char}" + (f" ({called})" if called else ""))
    except BadFace as bad:
        return _Row(name, "", (), 0.0, str(bad))
    return _Row(name, _facts(face), outlines, width)


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


def _set(lettered: Lettered, cap_height: float = 1.0) -> tuple[tuple[Outline, ...], float]:
    """The line's outlines from x = 0 on the baseline y = 0, cap height 1, and its width."""
    scale = 100.0  # the setting counts in mm: any size will do, and this one is a board's
    line = LineSetting(lettered, scale * cap_height, align="left")
    board = set_out(SettingRequest(1e5, 1e3, 0.0, (line,)))
    (set_line,) = board.lines
    outlines = tuple(
        letter.placed.on_board.moved(-set_line.ink_left_mm, -set_line.baseline_y_mm).scaled(1 / scale)
        for letter in set_line.letters
    )
    return outlines, (set_line.ink_right_mm - set_line.ink_left_mm) / scale


def _plain(text: str) -> tuple[Outline, ...]:
    """A label's outlines in the plain face, set as its designer would; characters it lacks are left out."""
    while text:
        try:
            lettered = letter_line(LineRequest(text, PLAIN_FACE, features=("lnum",)))
        except FaceLacksCharacter as lack:
            text = text.replace(lack.char, "")
        except BadFace:
            return ()
        else:
            return tuple(_as_designed(lettered))
    return ()


def _as_designed(lettered: Lettered) -> Iterable[Outline]:
    """Letters at the face's own distances (small type is what those are for), cap height 1."""
    pen, word, space = 0.0, 0, 0.24 * lettered.face.cap_height / 0.65
    for letter in lettered.letters:
        pen += space * (letter.word - word)
        word = letter.word
        yield letter.outline.moved(pen, 0).scaled(1 / lettered.face.cap_height)
        pen += letter.advance


class _Picture:
    """A sheet that is drawn larger than it will be."""

    def __init__(self, width_px: int, height_px: int) -> None:
        self._size = (width_px, height_px)
        self._image = Image.new("RGB", self._size, SHEET)

    def rule(self, left_px: float, y_px: float) -> None:
        """A hairline from margin to margin."""
        ImageDraw.Draw(self._image).line([(left_px, y_px), (self._size[0] - left_px, y_px)], fill=RULE)

    def draw(
        self, outlines: Iterable[Outline], size_px: float, origin_px: tuple[float, float], ink: tuple[int, int, int]
    ) -> None:
        """Fill outlines, size_px to their unit, their origin at a point from the upper left corner."""
        for outline in outlines:
            placed = outline.mapped((size_px, 0, 0, -size_px, *origin_px))
            bounds = placed.bounds
            left, top = int(bounds.left) - 1, int(bounds.bottom) - 1
            width, height = int(bounds.right) + 2 - left, int(bounds.top) + 2 - top
            mask = Image.new("L", (width * FINER, height * FINER), 0)
            brush = ImageDraw.Draw(mask)
            # Larger rings first: a hole is cleared out of its letter before what stands inside it is filled. Turned
            # upside down, rings that ran anticlockwise run clockwise.
            for ring in sorted(flatten(placed, FINE_PX).rings, key=lambda ring: -abs(ring_area(ring))):
                filled = 255 if ring_area(ring) < 0 else 0
                brush.polygon([((x - left) * FINER, (y - top) * FINER) for x, y in ring], fill=filled)
            self._image.paste(ink, (left, top), mask.resize((width, height), Image.Resampling.BOX))

    def png(self) -> bytes:
        """The picture as a PNG file."""
        out = io.BytesIO()
        self._image.save(out, "PNG", optimize=True)
        return out.getvalue()
