"""The process that reads a drawing: `python -m stopcut.foreign.svg_worker`.

It answers `read` with the drawing's closed shapes as clean contours in mm, y up. picosvg resolves shapes, transforms,
`use`, clips and strokes; skia-pathops unites what is painted, in the order it is painted, and white takes away what it
covers, as it does on paper.
"""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import pathops
from lxml import etree  # type: ignore[import-untyped]
from picosvg.svg import SVG
from picosvg.svg_meta import parse_view_box

from stopcut.foreign.font_draw import clean
from stopcut.foreign.inside import BadInput, serve
from stopcut.foreign.svg_check import check
from stopcut.foreign.svg_paths import draw_path
from stopcut.foreign.svg_styles import UNITS, apply_sheets, plain_lengths
from stopcut.foreign.tidy import Contours

MOST_BYTES = 8 * 2**20
"""Longest file. Our choice: an ornament of 20,000 points takes half a megabyte."""
MOST_POINTS = 60_000
"""Points of all shapes. Our choice: three times the densest ornament that the groove is tried on."""
FARTHEST_MM = 1e5
"""No point may lie farther from the origin. [mm] Our choice: five of the longest boards."""
GRID = 2**14
"""Steps of the grid to which the longer side is scaled while shapes are united. Our choice: skia reckons in single
precision, and is at its best with numbers like a font's."""
PIXEL_MM = 25.4 / 96
"""The unit of a drawing that says no size. [mm] CSS Values and Units level 3: 96 to the inch."""
_LENGTH = re.compile(r"\s*([0-9]*\.?[0-9]+(?:e[+-]?[0-9]+)?)\s*(px|pt|pc|in|cm|mm|q)?\s*", re.IGNORECASE)
_WHITE = {"white", "#fff", "#ffffff", "rgb(255,255,255)", "rgb(100%,100%,100%)"}


def handle(request: dict[str, Any]) -> dict[str, Any]:
    """Answer one request: `{"do": "read", "path": …}`."""
    if request.get("do") != "read":
        raise BadInput("nothing is known of that")
    drawing = _parsed(_bytes(request["path"]))
    root = drawing.svg_root
    box = _view_box(root)
    scale = _mm_per_unit(root, box)
    _simplify(drawing)
    contours = _united([shape for shape in drawing.shapes() if _paints(shape)])
    if not contours:
        raise BadInput("it has no closed shape that is painted")
    return {"contours": _placed(contours, scale, box)}


def _bytes(path: str) -> bytes:
    try:
        with Path(path).open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as problem:
        raise BadInput(f"it cannot be opened ({problem.strerror})") from problem
    if len(data) > MOST_BYTES:
        raise BadInput(f"it is larger than {MOST_BYTES // 2**20} MB")
    if data[:2] == b"\x1f\x8b":
        raise BadInput("it is compressed (svgz); save it as plain SVG")
    return data


def _parsed(data: bytes) -> Any:
    check(data)
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, remove_comments=True)
    root = etree.fromstring(data, parser)
    if not root.tag.startswith("{"):
        root = etree.fromstring(_named(etree.tostring(root, encoding="unicode")).encode(), parser)
    text = etree.tostring(root, encoding="unicode")  # without the DOCTYPE
    if root.prefix:
        text = _unprefixed(text, root.prefix)
    drawing: Any = SVG.fromstring(text)  # type: ignore[no-untyped-call]
    apply_sheets(drawing.svg_root)
    plain_lengths(drawing.svg_root)
    return drawing


def _named(text: str) -> str:
    """An SVG that does not say that it is one, saying so."""
    return re.sub(r"<svg\b", '<svg xmlns="http://www.w3.org/2000/svg"', text, count=1)


def _simplify(drawing: Any) -> None:
    """Leave nothing but paths with their transforms, uses, clips and strokes worked in. In place.

    These are picosvg's own steps without those that only tidy a drawing for keeping.
    """
    for step in (
        "remove_nonsvg_content",
        "remove_processing_instructions",
        "remove_anonymous_symbols",
        "remove_title_meta_desc",
        "resolve_nested_svgs",
        "shapes_to_paths",
        "resolve_use",
        "simplify",
    ):
        getattr(drawing, step)(inplace=True)


def _paints(shape: Any) -> bool:
    shown = shape.display != "none" and shape.fill not in ("none", "transparent")
    return bool(shown and shape.opacity * shape.fill_opacity > 0)


def _unprefixed(text: str, prefix: str) -> str:
    """An SVG whose elements are written svg:path, with plain names, as picosvg wants them."""
    text = re.sub(rf'xmlns(:{re.escape(prefix)})?="http://www.w3.org/2000/svg"', "", text)
    text = re.sub(rf"(</?){re.escape(prefix)}:", r"\1", text)
    return _named(text)


def _view_box(root: Any) -> tuple[float, float, float, float]:
    """(x, y, width, height) of the drawing in its own unit."""
    if root.get("viewBox"):
        box = parse_view_box(root.get("viewBox"))
        if box.w > 0 and box.h > 0:
            return (box.x, box.y, box.w, box.h)
    width, height = _length(root.get("width")), _length(root.get("height"))
    return (0.0, 0.0, (width or 0.0) / PIXEL_MM, (height or 0.0) / PIXEL_MM)


def _mm_per_unit(root: Any, box: tuple[float, float, float, float]) -> float:
    """How many mm the drawing's unit is: its width or height over its view box's, else a 96th of an inch."""
    shares = [
        length / size
        for length, size in ((_length(root.get("width")), box[2]), (_length(root.get("height")), box[3]))
        if length and size > 0
    ]
    return min(shares, default=PIXEL_MM)


def _length(words: str | None) -> float | None:
    """An absolute length in mm; None for none, or one in percent or ems."""
    match = _LENGTH.fullmatch(words or "")
    return float(match[1]) * UNITS[(match[2] or "").lower()] * PIXEL_MM if match else None


def _united(shapes: list[Any]) -> Contours:
    """The painted shapes as one, in the order they are painted, scaled so that the longer side is GRID."""
    paths = [draw_path(shape.d, shape.fill_rule or "nonzero") for shape in shapes]
    whites = [shape.fill.replace(" ", "").lower() in _WHITE for shape in shapes]
    boxes = [path.bounds for path in paths if len(list(path.points))]
    if not boxes:
        return []
    if not all(math.isfinite(v) for box in boxes for v in box):
        raise BadInput("a measure in it is no number")
    if sum(len(list(path.points)) for path in paths) > MOST_POINTS:
        raise BadInput(f"its shapes have more than {MOST_POINTS} points")
    left, bottom = min(box[0] for box in boxes), min(box[1] for box in boxes)
    size = max(max(box[2] for box in boxes) - left, max(box[3] for box in boxes) - bottom)
    if not size > 0:
        return []
    grow = GRID / size
    moved = [path.transform(grow, 0, 0, grow, -left * grow, -bottom * grow) for path in paths]
    return [
        [[v / grow + (left if i % 2 == 0 else bottom) for i, v in enumerate(piece)] for piece in contour]
        for contour in clean(_whole(moved, whites), GRID)
    ]


def _whole(paths: list[Any], whites: list[bool]) -> Any:
    """The paths painted one after the other as one path, by the non-zero rule."""
    try:
        if len(paths) == 1 and not whites[0]:
            whole = paths[0]
        else:
            builder = pathops.OpBuilder(fix_winding=False, keep_starting_points=False)
            for path, white in zip(paths, whites, strict=True):
                builder.add(path, pathops.PathOp.DIFFERENCE if white else pathops.PathOp.UNION)
            whole = builder.resolve()
        if whole.fillType == pathops.FillType.EVEN_ODD:
            whole.simplify(fix_winding=True, keep_starting_points=False)
    except pathops.PathOpsError as problem:
        raise BadInput("its shapes could not be united") from problem
    return whole


def _placed(contours: Contours, scale: float, box: tuple[float, float, float, float]) -> Contours:
    """In mm, y up, from the view box's lower left corner; turned back to run anticlockwise outside."""
    x0, y0 = box[0], box[1] + box[3]
    placed = []
    for contour in contours:
        pieces = [
            [(v - x0) * scale if i % 2 == 0 else (y0 - v) * scale for i, v in enumerate(piece)] for piece in contour
        ]
        if any(abs(v) > FARTHEST_MM for piece in pieces for v in piece):
            raise BadInput(f"it reaches farther than {FARTHEST_MM / 1000:g} m")
        placed.append(_backwards(pieces))
    return placed


def _backwards(contour: list[list[float]]) -> list[list[float]]:
    """The same contour run the other way."""
    points = [piece[-2:] for piece in contour]
    out = [points[-1]]
    for number in range(len(contour) - 1, 0, -1):
        inner = contour[number][:-2]
        pairs = [inner[i : i + 2] for i in range(0, len(inner), 2)][::-1]
        out.append([v for pair in pairs for v in pair] + points[number - 1])
    return out


if __name__ == "__main__":
    serve(handle)
