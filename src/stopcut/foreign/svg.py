"""Reading a drawing: the closed shapes of an SVG file as one clean outline, from a worker process.

What is painted is shape: fills by their fill rule, strokes by their width, holes where paths say so and where white
lies on top. Colours mean nothing else. A drawing is read once and kept by its content.
"""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stopcut.errors import BadFile
from stopcut.foreign.child import Children, FileRefused, Gone
from stopcut.keep import keep
from stopcut.shape.outline import Contour, Outline, Segment
from stopcut.shape.packed import outline_from_plain, plain_outline

__all__ = ["Drawing", "read_drawing", "read_svg"]

SECONDS = 20.0
"""Processor time for one drawing. [s] Our choice: a drawing of 20,000 points takes a few."""

MOST_BYTES = 8 * 2**20
"""Longest file. Our choice: an ornament of 20,000 points takes half a megabyte."""
VERSION = 3
"""Of what is kept; another one forgets it."""

_workers = Children("stopcut.foreign.svg_worker", most=1)


@dataclass(frozen=True)
class Drawing:
    """A drawing's shapes in mm, y up, from its page's lower left corner; off_page is the share of its ink left out."""

    outline: Outline
    off_page: float = 0.0


def read_svg(path: Path) -> Outline:
    """The shapes of `read_drawing` alone."""
    return read_drawing(path).outline


def read_drawing(path: Path) -> Drawing:
    """The drawing's shapes as a clean outline; what lies off its page is left out, as a viewer leaves it out.

    A drawing without a size of its own counts 96 units an inch (CSS). Raises BadFile, saying why, for a file that is no
    drawing of closed shapes: none there, no SVG, scripts, pictures, words, other files, entities, too much of it.
    """
    if not path.is_file():
        raise _bad(path, "it is a folder" if path.is_dir() else "there is no such file")
    if path.stat().st_size > MOST_BYTES:
        raise _bad(path, f"it is larger than {MOST_BYTES // 2**20} MB")
    try:
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "blake2b").hexdigest()
    except OSError as problem:
        raise _bad(path, f"it cannot be opened ({problem.strerror})") from problem
    return keep().remembered("drawing", digest, lambda: _read(path), version=VERSION, pack=_packed, unpack=_unpacked)


def _packed(drawing: Drawing) -> bytes:
    plain = {"outline": plain_outline(drawing.outline), "off_page": drawing.off_page}
    return json.dumps(plain, allow_nan=False, separators=(",", ":")).encode()


def _unpacked(packed: bytes) -> Drawing:
    plain = json.loads(packed)
    return Drawing(outline_from_plain(plain["outline"]), float(plain["off_page"]))


def _read(path: Path) -> Drawing:
    try:
        answer = _workers.of().ask({"do": "read", "path": str(path.absolute())}, seconds=SECONDS)
        outline = Outline(tuple(Contour(tuple(_segments(contour))) for contour in answer["contours"]))
        off_page = _number(answer["off_page"])
    except (FileRefused, Gone) as problem:
        raise _bad(path, str(problem)) from problem
    except (KeyError, TypeError, ValueError, IndexError) as problem:
        raise _bad(path, "what it draws makes no sense") from problem
    if not outline:
        raise _bad(path, "it has no closed shape")
    return Drawing(outline, off_page)


def _segments(contour: Any) -> list[Segment]:
    """A contour's segments from its first point and the points after the last one of each."""
    at = (_number(contour[0][0]), _number(contour[0][1]))
    first, segments = at, []
    for piece in contour[1:]:
        if len(piece) not in (2, 4, 6):
            raise ValueError("a segment of neither two, three nor four points")
        points = [(_number(piece[i]), _number(piece[i + 1])) for i in range(0, len(piece), 2)]
        segments.append((at, *points))
        at = points[-1]
    if at != first or len(segments) < 2:
        raise ValueError("a contour that does not close")
    return segments


def _number(value: Any) -> float:
    if isinstance(value, (str, bool)) or not math.isfinite(value):
        raise ValueError(f"{value!r} is no number")
    return float(value)


def _bad(path: Path, why: str) -> BadFile:
    return BadFile(f"{path} cannot be used as an ornament: {why}.")
