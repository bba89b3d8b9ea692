"""In the worker: an SVG file's own style sheet, written onto the elements it speaks of.

Drawing programs put fills and strokes into a small sheet of classes. Only that is understood: selectors that are one
element name, one class or one id, alone or in a list. Anything else is refused rather than guessed at.
"""

from __future__ import annotations

import math
import re
from typing import Any

from stopcut.foreign.inside import BadInput

__all__ = ["UNITS", "apply_sheets", "is_white", "plain_lengths"]

UNITS = {"": 1.0, "px": 1.0, "pt": 96 / 72, "pc": 16.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 24 / 25.4}
"""Units of the drawing in each absolute unit of length (CSS Values and Units level 3)."""

SVG = "{http://www.w3.org/2000/svg}"
SHAPES = {f"{SVG}{name}" for name in ("rect", "circle", "ellipse", "line")}
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
LENGTHS = {"x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "rx", "ry", "width", "height", "stroke-width"}
ACROSS, UP = {"x", "x1", "x2", "cx", "rx", "width"}, {"y", "y1", "y2", "cy", "ry", "height"}
WHITE = {"white", "#fff", "#ffff", "#ffffff", "#ffffffff"}
"""Names of white (CSS Color Module level 4)."""
_WHITE = re.compile(
    r"(rgba?\((255|100%)[, ]+(255|100%)[, ]+(255|100%)|hsla?\([^,/ ]+[, ]+[^,/ ]+[, ]+100%)([,/ ]+(1|100%))?\)"
)
OTHER_PAGES = {f"{SVG}{name}" for name in ("svg", "symbol", "pattern", "marker")}
_PERCENT = re.compile(r"\s*([+-]?[0-9]*\.?[0-9]+)%\s*")
_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_NUMBERS = rf"{_NUMBER}(?:(?:\s*,\s*|\s+|(?=[+-])){_NUMBER})*"
OPACITIES = ("opacity", "fill-opacity", "stroke-opacity")
_READABLE = {
    **dict.fromkeys(OPACITIES, re.compile(rf"{_NUMBER}%?|inherit")),
    "points": re.compile(rf"(?:{_NUMBERS}\s*,?)?"),
    "transform": re.compile(
        rf"(?:(?:matrix|translate|scale|rotate|skewX|skewY)\s*\(\s*{_NUMBERS}\s*\)(?:\s*,\s*|\s*))*|none"
    ),
    "stroke-linecap": re.compile("butt|round|square"),
    "stroke-linejoin": re.compile("miter|round|bevel"),
    "stroke-miterlimit": re.compile(_NUMBER),
    "stroke-dashoffset": re.compile(_NUMBER),
    "stroke-dasharray": re.compile(rf"{_NUMBERS}|none"),
}
"""What may stand in attributes that are worked out (SVG 1.1, chapters 7, 9 and 11)."""
_NAME = re.compile(r"[a-z][a-z-]*")
_LENGTH = re.compile(r"\s*([+-]?[0-9]*\.?[0-9]+(?:e[+-]?[0-9]+)?)(px|pt|pc|in|cm|mm|q)?\s*", re.IGNORECASE)
_COMMENT = re.compile(r"/\*.*?\*/|<!--|-->", re.DOTALL)
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_SELECTOR = re.compile(r"[.#]?[A-Za-z_][\w-]*|\*")


def apply_sheets(root: Any) -> None:
    """Turn the sheets in a parsed SVG (an lxml element) into style attributes, and take them out."""
    rules: list[tuple[str, str]] = []
    for sheet in list(root.iter(f"{SVG}style")):
        rules += _rules("".join(sheet.itertext()))
        sheet.getparent().remove(sheet)
    if not rules:
        return
    rules.sort(key=lambda rule: _weight(rule[0]))  # a stable sort: of equal ones the later wins
    for element in root.iter(f"{SVG}*"):
        if said := [words for selector, words in rules if _speaks_of(selector, element)]:
            element.set("style", ";".join([*said, element.get("style", "")]))


def is_white(fill: str) -> bool:
    """Whether a fill is plain white, however it is written."""
    plain = re.sub(r"\s*([,()/])\s*", r"\1", fill.strip().lower())
    return plain in WHITE or bool(_WHITE.fullmatch(plain))


def plain_lengths(root: Any, box: tuple[float, float, float, float]) -> None:
    """Write each shape's style as attributes and its lengths as bare numbers, as picosvg wants them. In place.

    box is the page in the drawing's unit (x, y, width, height): what percentages are of.
    """
    for element in root.iter(f"{SVG}*"):
        if element.get("href") is not None:  # SVG 2 writes it bare
            element.set(XLINK_HREF, element.attrib.pop("href"))
        for words in element.attrib.pop("style", "").split(";"):
            name, _, value = words.partition(":")
            if value.strip() and _NAME.fullmatch(name.strip()):
                element.set(name.strip(), value.replace("!important", "").strip())
        if element.attrib.pop("visibility", "") in ("hidden", "collapse"):  # picosvg knows only display
            element.set("display", "none")
        _readable(element)
        for name in LENGTHS & set(element.attrib) if element is not root else {"stroke-width"} & set(element.attrib):
            if (share := _PERCENT.fullmatch(element.get(name))) and not _inside_another(element, root):
                element.set(name, repr(float(share[1]) / 100 * _whole(name, box)))
                continue
            match = _LENGTH.fullmatch(element.get(name))
            if match is None and element.tag in SHAPES:
                raise BadInput(f"the length {name}={element.get(name)[:20]!r} in it is no plain one; use mm or px")
            if match and match[2]:
                element.set(name, repr(float(match[1]) * UNITS[match[2].lower()]))


def _readable(element: Any) -> None:
    """Write percentages of opacity as numbers; raise BadInput for a value that picosvg would trip over."""
    for name, value in dict(element.attrib).items():
        pattern = _READABLE.get(name)
        if pattern is not None and not pattern.fullmatch(value.strip()):
            raise BadInput(f"{name}={value[:40]!r} in it is nothing that can be read")
        if name in OPACITIES and value.strip().endswith("%"):
            element.set(name, repr(float(value.strip()[:-1]) / 100))


def _whole(name: str, box: tuple[float, float, float, float]) -> float:
    """What a percentage of a length is of (SVG 1.1, chapter 7.10): the page's width, height or mean diagonal."""
    return box[2] if name in ACROSS else box[3] if name in UP else math.hypot(box[2], box[3]) / math.sqrt(2)


def _inside_another(element: Any, root: Any) -> bool:
    """Whether an element's percentages are of another page than the root's."""
    return any(above is not root and above.tag in OTHER_PAGES for above in element.iterancestors())


def _rules(sheet: str) -> list[tuple[str, str]]:
    """(selector, declarations) of a sheet, in its order."""
    plain = _COMMENT.sub(" ", sheet)
    rules: list[tuple[str, str]] = []
    if _RULE.sub("", plain).strip():
        raise BadInput("its style sheet has more than plain rules; save it with presentation attributes")
    for match in _RULE.finditer(plain):
        for selector in match[1].split(","):
            name = selector.strip()
            if not _SELECTOR.fullmatch(name):
                raise BadInput(f"its style sheet speaks of '{name[:40]}'; save it with presentation attributes")
            rules.append((name, match[2].strip().rstrip(";").replace("!important", "")))
    return rules


def _weight(selector: str) -> int:
    """Ids before classes before element names before all (CSS, specificity)."""
    return {"#": 3, ".": 2, "*": 0}.get(selector[0], 1)


def _speaks_of(selector: str, element: Any) -> bool:
    if selector == "*":
        return True
    if selector[0] == ".":
        return selector[1:] in element.get("class", "").split()
    if selector[0] == "#":
        return bool(element.get("id") == selector[1:])
    return bool(element.tag == SVG + selector)
