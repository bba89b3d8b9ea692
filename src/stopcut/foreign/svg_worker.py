"""The process that reads a drawing: `python -m stopcut.foreign.svg_worker`.

It answers `read` with the drawing's closed shapes as clean contours in mm, y up, and the share of the ink that lies off
the drawing's page and is therefore left out, as a viewer leaves it out. picosvg resolves shapes, transforms, `use` and
clips; what is painted is united in the order it is painted, and white takes away what it covers, as on paper.
"""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

from lxml import etree  # type: ignore[import-untyped]

from stopcut.foreign.inside import BadInput, serve
from stopcut.foreign.svg_check import check
from stopcut.foreign.svg_page import Page, page_of
from stopcut.foreign.svg_paths import draw_path
from stopcut.foreign.svg_strokes import Stroked
from stopcut.foreign.svg_styles import apply_sheets, is_white, plain_lengths
from stopcut.foreign.svg_unite import GRID, Painted, united
from stopcut.foreign.tidy import Contours

MOST_BYTES = 8 * 2**20
"""Longest file. Our choice: an ornament of 20,000 points takes half a megabyte."""
MOST_POINTS = 60_000
"""Points of all shapes. Our choice: three times the densest ornament that the groove is tried on."""
FARTHEST_MM = 1e5
"""No point may lie farther from the origin. [mm] Our choice: five of the longest boards."""


def handle(request: dict[str, Any]) -> dict[str, Any]:
    """Answer one request: `{"do": "read", "path": …}`."""
    if request.get("do") != "read":
        raise BadInput("nothing is known of that")
    drawing, page = _parsed(_bytes(request["path"]))
    _simplify(drawing)
    shapes = [shape for shape in drawing.shapes() if _paints(shape)]
    contours, off_page = _placed(
        [(draw_path(shape.d, shape.fill_rule or "nonzero"), _white(shape)) for shape in shapes], page
    )
    if not contours:
        where = "what is painted in it lies off its page" if off_page else "it has no closed shape that is painted"
        raise BadInput(where)
    return {"contours": contours, "off_page": off_page}


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


def _parsed(data: bytes) -> tuple[Any, Page]:
    check(data)
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, remove_comments=True)
    root = etree.fromstring(data, parser)
    if not root.tag.startswith("{"):
        root = etree.fromstring(_named(etree.tostring(root, encoding="unicode")).encode(), parser)
    text = etree.tostring(root, encoding="unicode")  # without the DOCTYPE
    if root.prefix:
        text = _unprefixed(text, root.prefix)
    drawing: Any = Stroked.fromstring(text)  # type: ignore[no-untyped-call]
    page = page_of(drawing.svg_root)
    apply_sheets(drawing.svg_root)
    plain_lengths(drawing.svg_root, page.box)
    if page.bounded:  # picosvg reads no width or height with a unit
        drawing.svg_root.set("viewBox", " ".join(repr(v) for v in page.box))
    return drawing, page


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


def _white(shape: Any) -> bool:
    """Whether it takes away what it covers: white that lets something through does not."""
    return is_white(shape.fill) and shape.opacity * shape.fill_opacity >= 1


def _paints(shape: Any) -> bool:
    shown = shape.display != "none" and shape.fill not in ("none", "transparent")
    return bool(shown and shape.opacity * shape.fill_opacity > 0)


def _unprefixed(text: str, prefix: str) -> str:
    """An SVG whose elements are written svg:path, with plain names, as picosvg wants them."""
    text = re.sub(rf'xmlns(:{re.escape(prefix)})?="http://www.w3.org/2000/svg"', "", text)
    text = re.sub(rf"(</?){re.escape(prefix)}:", r"\1", text)
    return _named(text)


def _placed(paths: list[tuple[Any, bool]], page: Page) -> tuple[Contours, float]:
    """What is left of the paths (each with whether it is white), in mm, y up, from the page's lower left corner."""
    boxes = [path.bounds for path, _ in paths if len(list(path.points))]
    if not boxes:
        return [], 0.0
    if not all(math.isfinite(v) for box in boxes for v in box):
        raise BadInput("a measure in it is no number")
    if sum(len(list(path.points)) for path, _ in paths) > MOST_POINTS:
        raise BadInput(f"its shapes have more than {MOST_POINTS} points")
    left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
    size = max(max(box[2] for box in boxes) - left, max(box[3] for box in boxes) - top)
    if not size > 0:
        return [], 0.0
    grow = GRID / size

    def to_grid(path: Any) -> Any:  # y up from here on
        return path.transform(grow, 0, 0, -grow, -left * grow, (top + size) * grow)

    x, y, width, height = page.box
    edge = ((x - left) * grow, (top + size - y - height) * grow, (x + width - left) * grow, (top + size - y) * grow)
    contours, off_page = united(
        [Painted(to_grid(path), white) for path, white in paths],
        edge if page.bounded and _beyond(edge, GRID) else None,
    )
    return [_in_mm(contour, grow, (edge[0], edge[1]), page) for contour in contours], off_page


def _beyond(edge: tuple[float, float, float, float], size: float) -> bool:
    """Whether a drawing from 0 to size may reach over the edge of its page."""
    return edge[0] > 0 or edge[1] > 0 or edge[2] < size or edge[3] < size


def _in_mm(contour: list[list[float]], grow: float, corner: tuple[float, float], page: Page) -> list[list[float]]:
    """A contour of the grid's units in mm from the page's lower left corner."""
    units = (page.x_mm / grow, page.y_mm / grow)
    pieces = [[(v - corner[i % 2]) * units[i % 2] for i, v in enumerate(piece)] for piece in contour]
    if any(abs(v) > FARTHEST_MM for piece in pieces for v in piece):
        raise BadInput(f"it reaches farther than {FARTHEST_MM / 1000:g} m")
    return pieces


if __name__ == "__main__":
    serve(handle)
