"""board.svg: the board in mm with a named layer for each kind of line, for drawing and cutting programs.

One unit of the drawing is 1 mm; the page is the board itself, and y points down as SVG has it. Quadratics and cubics
are written as they are. Layers are groups whose ids are the trade's names; every stroke of a letter carries its line,
number and character.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from stopcut.shape.outline import Point, Segment
from stopcut.sheets.drawn import Layer, PenStroke, layers
from stopcut.work import Work

__all__ = ["board_svg"]

PLACES = 4
"""Digits after the point. (our choice: a tenth of a micrometre, far below what a reader is held to)"""

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

_LETTERS = {2: "L", 3: "Q", 4: "C"}
"""SVG's command for a segment of so many points. (SVG 1.1, 8.3)"""


def board_svg(work: Work) -> bytes:
    """The board as SVG 1.1, UTF-8. The same work gives the same bytes."""
    board = work.job.board
    width, height = _number(board.width_mm), _number(board.height_mm)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" overflow="visible">',
        f"<title>{_text(work.job.title)}</title>",
        f"<desc>{_text(_described(work))}</desc>",
        '<g fill="none" stroke="#000" stroke-linejoin="round">',
        *(line for layer in layers(work) for line in _layer(layer, board.height_mm)),
        "</g>",
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode()


def _described(work: Work) -> str:
    words = " / ".join(line.words for line in work.setting.lines)
    return f"{words}. The board as it is set out, in millimetres; each layer is named for its kind of line."


def _layer(layer: Layer, height_mm: float) -> Iterator[str]:
    dash = " ".join(_number(part) for part in layer.pen.dash_mm)
    pen = f'stroke-width="{_number(layer.pen.weight_mm)}"' + (f' stroke-dasharray="{dash}"' if dash else "")
    yield f'<g id="{layer.name}" {pen}>'
    yield f"<title>{_text(layer.says)}</title>"
    counted: Counter[str] = Counter()
    for stroke in layer.strokes:
        name = f"{layer.name}-{stroke.line}-{stroke.index}" if stroke.line else layer.name
        counted[name] += 1
        number = counted[name]
        name = f"{name}.{number}" if number > 1 or not stroke.line else name
        whole = ' stroke-dasharray="none"' if stroke.whole and dash else ""
        path = f'<path id="{name}"{whole} d="{_path(stroke, height_mm)}"'
        yield f"{path}{_belongs(stroke)}/>"
    yield "</g>"


def _belongs(stroke: PenStroke) -> str:
    if not stroke.line:
        return ""
    return f' data-line="{stroke.line}" data-letter="{stroke.index}" data-char={quoteattr(_allowed(stroke.char))}'


def _path(stroke: PenStroke, height_mm: float) -> str:
    return " ".join(_run(run, stroke.closed, height_mm) for run in stroke.runs)


def _run(run: tuple[Segment, ...], closed: bool, height_mm: float) -> str:
    parts = [f"M{_point(run[0][0], height_mm)}"]
    # A straight piece back to the start is what Z draws.
    last = len(run) - 1
    for number, segment in enumerate(run):
        if not (closed and number == last and len(segment) == 2):
            parts.append(_LETTERS[len(segment)] + " ".join(_point(point, height_mm) for point in segment[1:]))
    return "".join(parts) + ("Z" if closed else "")


def _point(point: Point, height_mm: float) -> str:
    return f"{_number(point[0])},{_number(height_mm - point[1])}"


def _number(value: float) -> str:
    text = f"{value:.{PLACES}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _text(text: str) -> str:
    return escape(_allowed(text))


def _allowed(text: str) -> str:
    """The text without characters that XML 1.0 has no way to write (section 2.2)."""
    return "".join(
        c for c in text if c in "\t\n\r" or 0x20 <= ord(c) <= 0xD7FF or 0xE000 <= ord(c) <= 0xFFFD or ord(c) > 0xFFFF
    )
