"""In the worker: what an SVG file holds, before any of it is drawn, and a refusal for what none should hold.

One pass of a parser that expands nothing and fetches nothing. A drawing to be carved is closed shapes; scripts, other
files, entities and pictures have no place in it, and a tree that would unfold beyond all measure is not unfolded.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from stopcut.foreign.inside import BadInput

__all__ = ["check"]

MOST_DEEP = 100
"""Elements within elements. Our choice: drawing programs nest groups ten or twenty deep."""
MOST_ELEMENTS = 20_000
"""Elements, after every `use` is filled in. Our choice: a dense ornament has a few hundred."""

SCRIPTS = {"script", "handler", "listener"}
MOVING = {"animate", "animatetransform", "animatemotion", "animatecolor", "set", "discard"}
PICTURES = {"image", "feimage", "video", "audio", "canvas", "iframe", "foreignobject", "embed", "object"}
WORDS = {"text", "tspan", "textpath", "tref"}
MASKS = {"mask", "filter"}
MEASURES = {"x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "rx", "ry", "width", "height", "d", "points"}
MEASURES |= {"transform", "viewbox", "stroke-width", "stroke-dasharray", "stroke-dashoffset", "stroke-miterlimit"}

_NO_NUMBER = re.compile(r"nan|inf|e[+]?[0-9]{3}", re.IGNORECASE)
_URL = re.compile(r"url\(\s*['\"]?\s*([^)]?)", re.IGNORECASE)


@dataclass
class _Seen:
    """What the pass has met: for each open element its own size and the ids it uses; sizes by id."""

    deep: int = 0
    count: int = 0
    named: str = ""
    inside: list[dict[str, Any]] = field(default_factory=list)
    by_id: dict[str, dict[str, Any]] = field(default_factory=dict)
    root: dict[str, Any] | None = None
    style: bool = False


EMPTY = "it is no SVG drawing: there is nothing in it"
_WHY = {
    expat.errors.XML_ERROR_SYNTAX: "it begins with something else",
    expat.errors.XML_ERROR_NO_ELEMENTS: "it ends too soon",
    expat.errors.XML_ERROR_UNCLOSED_TOKEN: "it ends too soon",
    expat.errors.XML_ERROR_UNCLOSED_CDATA_SECTION: "it ends too soon",
    expat.errors.XML_ERROR_TAG_MISMATCH: "what is opened is not closed in turn",
    expat.errors.XML_ERROR_JUNK_AFTER_DOC_ELEMENT: "something follows its end",
    expat.errors.XML_ERROR_DUPLICATE_ATTRIBUTE: "something is said twice of one element",
    expat.errors.XML_ERROR_UNDEFINED_ENTITY: "it uses a word that it does not explain",
}
"""What a carver is told in place of the reader's own words."""


def check(data: bytes) -> None:
    """Raise BadInput, saying what it is, for anything in an SVG file that is no plain drawing."""
    seen = _Seen()
    parser = expat.ParserCreate()
    parser.StartDoctypeDeclHandler = _doctype
    parser.EntityDeclHandler = _entity
    parser.ProcessingInstructionHandler = _instruction
    parser.StartElementHandler = lambda tag, attributes: _start(seen, tag, attributes)
    parser.EndElementHandler = lambda tag: _end(seen)
    parser.CharacterDataHandler = lambda text: _text(seen, text)
    try:
        parser.Parse(data, True)
    except expat.ExpatError as problem:
        why = _WHY.get(expat.errors.messages[problem.code], "something in it is not written as it must be")
        raise BadInput(f"it is no SVG drawing: {why} (line {problem.lineno})" if data else EMPTY) from problem
    if seen.root is None or seen.named != "svg":
        raise BadInput(f"it is no SVG drawing but begins with <{seen.named}>")
    _unfolded(seen.root, seen.by_id)


def _doctype(name: str, system: str | None, public: str | None, internal: bool) -> None:
    if internal:
        raise BadInput("its DOCTYPE declares things of its own (entities); save it as plain SVG")


def _entity(*_: Any) -> None:
    raise BadInput("it declares entities; save it as plain SVG")


def _instruction(target: str, data: str) -> None:
    if target.lower() == "xml-stylesheet":
        raise BadInput("it asks for a style sheet from another file; save it as plain SVG")


def _start(seen: _Seen, tag: str, attributes: dict[str, str]) -> None:
    name = tag.rpartition(":")[2].lower()
    seen.named = seen.named or name
    seen.deep += 1
    seen.count += 1
    if seen.deep > MOST_DEEP:
        raise BadInput(f"its groups are nested more than {MOST_DEEP} deep")
    if seen.count > MOST_ELEMENTS:
        raise BadInput(f"it has more than {MOST_ELEMENTS} elements")
    _refuse_element(name)
    seen.style = name == "style"
    element: dict[str, Any] = {"children": [], "uses": []}
    for key, value in attributes.items():
        _refuse_attribute(name, key.rpartition(":")[2].lower(), value)
        if key.rpartition(":")[2].lower() == "href" and name == "use":
            element["uses"].append(value.strip()[1:])
    if "id" in attributes:
        seen.by_id.setdefault(attributes["id"], element)
    if seen.inside:
        seen.inside[-1]["children"].append(element)
    else:
        seen.root = element
    seen.inside.append(element)


def _end(seen: _Seen) -> None:
    seen.deep -= 1
    seen.style = False
    seen.inside.pop()


def _text(seen: _Seen, text: str) -> None:
    if seen.style and "@import" in text.lower():
        raise BadInput("its style sheet asks for another file; save it as plain SVG")
    _refuse_urls(text)


def _refuse_element(name: str) -> None:
    if name in SCRIPTS:
        raise BadInput("it holds a script; a drawing to be carved holds shapes only")
    if name in PICTURES:
        raise BadInput(f"it holds a picture or another page (<{name}>); only closed shapes can be carved")
    if name in WORDS:
        raise BadInput("it holds words as text; turn text into paths in your drawing program first")
    if name in MOVING:
        raise BadInput(f"it moves (<{name}>); a drawing to be carved stands still")
    if name in MASKS:
        raise BadInput(f"it holds a {name}; only closed shapes can be carved")


def _refuse_attribute(element: str, name: str, value: str) -> None:
    if name.startswith("on"):
        raise BadInput(f"it holds a script ({name}=); a drawing to be carved holds shapes only")
    if name in ("href", "src") and not value.strip().startswith("#"):
        raise BadInput(f"it asks for another file ({value.strip()[:40]}); a drawing must be whole in itself")
    if name in MEASURES and _NO_NUMBER.search(value):
        raise BadInput(f"a measure in it is no number: {name}={value[:40]!r} of <{element}>")
    _refuse_urls(value)


def _refuse_urls(text: str) -> None:
    for match in _URL.finditer(text):
        if match[1] != "#":
            raise BadInput("it asks for another file (url); a drawing must be whole in itself")


def _unfolded(root: dict[str, Any], by_id: dict[str, dict[str, Any]]) -> None:
    """Refuse a tree that would have too many elements with every `use` filled in, or that uses itself."""
    sizes: dict[int, int] = {}
    open_: set[int] = set()
    stack: list[tuple[dict[str, Any], bool]] = [(root, False)]
    while stack:
        element, done = stack.pop()
        key = id(element)
        for name in element["uses"]:
            if name not in by_id:
                raise BadInput(f"a <use> in it uses what it has not ('{name[:40]}')")
        parts = [*element["children"], *(by_id[name] for name in element["uses"])]
        if done:
            open_.discard(key)
            sizes[key] = 1 + sum(sizes[id(part)] for part in parts)
            if sizes[key] > MOST_ELEMENTS:
                raise BadInput(f"with every <use> filled in it has more than {MOST_ELEMENTS} elements")
        elif key in open_:
            raise BadInput("a <use> in it uses itself")
        elif key not in sizes:
            open_.add(key)
            stack.append((element, True))
            for part in parts:
                if id(part) in open_:
                    raise BadInput("a <use> in it uses itself")
                stack.append((part, False))
