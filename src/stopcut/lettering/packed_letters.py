"""Letters and facts as bytes for the cache, and back: JSON with every shape written once."""

from __future__ import annotations

from typing import Any

from stopcut.errors import Finding, Severity
from stopcut.keep import pack_json, unpack_json
from stopcut.lettering.letters import FaceFacts, Letter, Lettered
from stopcut.shape.packed import outline_from_plain, plain_outline

__all__ = ["pack_facts", "pack_lettered", "unpack_facts", "unpack_lettered"]


def pack_facts(facts: FaceFacts) -> bytes:
    """A face's facts as bytes."""
    return pack_json(_plain_facts(facts))


def unpack_facts(packed: bytes) -> FaceFacts:
    """What pack_facts packed."""
    return _facts(unpack_json(packed))


def pack_lettered(lettered: Lettered) -> bytes:
    """A line's letters as bytes."""
    numbers: dict[str, int] = {}
    shapes: list[Any] = []
    letters = []
    for letter in lettered.letters:
        key = letter.outline.digest
        if key not in numbers:
            numbers[key] = len(shapes)
            shapes.append(plain_outline(letter.outline))
        letters.append([letter.char, numbers[key], letter.advance, letter.word, letter.stem])
    return pack_json(
        {
            "words": lettered.words,
            "face": _plain_facts(lettered.face),
            "shapes": shapes,
            "letters": letters,
            "order": lettered.order,
            "as_capitals": lettered.as_capitals,
            "notes": [[note.code, note.severity, note.says, note.remedy] for note in lettered.notes],
        }
    )


def unpack_lettered(packed: bytes) -> Lettered:
    """What pack_lettered packed."""
    plain = unpack_json(packed)
    shapes = [outline_from_plain(shape) for shape in plain["shapes"]]
    return Lettered(
        plain["words"],
        _facts(plain["face"]),
        tuple(
            Letter(char, shapes[shape], advance, word, stem) for char, shape, advance, word, stem in plain["letters"]
        ),
        tuple(plain["order"]),
        tuple(Finding(code, Severity(severity), says, remedy) for code, severity, says, remedy in plain["notes"]),
        plain["as_capitals"],
    )


def _plain_facts(facts: FaceFacts) -> dict[str, Any]:
    plain = {name: getattr(facts, name) for name in FaceFacts.__dataclass_fields__}
    plain["upright"] = None if facts.upright is None else plain_outline(facts.upright)
    return plain


def _facts(plain: dict[str, Any]) -> FaceFacts:
    upright = plain["upright"]
    return FaceFacts(**{**plain, "upright": None if upright is None else outline_from_plain(upright)})
