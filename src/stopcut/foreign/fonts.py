"""Reading a font: facts, coverage, shaped lines and clean outlines, as plain values from a worker process.

The tool never opens a font itself. `OpenFont` asks the worker for its file, checks that what comes back has the form it
must have, and turns every misfortune into a `BadFace` that names the file.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stopcut.errors import BadFace
from stopcut.foreign.child import Child, Children, FileRefused, Gone
from stopcut.shape.outline import Contour, Outline, Segment

__all__ = [
    "About",
    "Axis",
    "OpenFont",
    "ShapedLetter",
    "TextRun",
    "members_of",
    "read_together",
    "what_lacks",
    "which_have",
]

_WORKER = "stopcut.foreign.font_worker"
_workers = Children(_WORKER)
BATCH = 64
"""Files that one worker tells of. Our choice: a start is shared by many, and one bad file spoils few."""
_shared: ContextVar[Child | None] = ContextVar("shared", default=None)
"""The worker that this thread's fonts are read in together."""
_WIDTHS = {1: 50.0, 2: 62.5, 3: 75.0, 4: 87.5, 5: 100.0, 6: 112.5, 7: 125.0, 8: 150.0, 9: 200.0}
"""Percent of the normal width for each of OS/2's classes (OpenType specification, usWidthClass)."""


@dataclass(frozen=True, slots=True)
class Axis:
    """A design axis of a variable font; weight's tag is "wght"."""

    tag: str
    least: float
    default: float
    most: float


@dataclass(frozen=True, slots=True)
class About:
    """What a font says of itself; heights in em, angles in degrees (italics lean by a negative italic_deg).

    family is the typographic family where there is one, style its style, old_family the family by the older naming of
    four styles each; weight OS/2's (1–1000), width in percent of the normal one; cap_height and
    x_height OS/2's, 0 where it states none; members how many faces the file holds; damaged the tables that no longer
    match the file's checksums; features the OpenType features that it has rules for;
    instances the styles that a variable font names, with their places on its axes.
    """

    family: str
    style: str
    old_family: str
    weight: float
    width: float
    italic: bool
    italic_deg: float
    licence: str
    axes: tuple[Axis, ...]
    upem: int
    cap_height: float
    x_height: float
    ascender: float
    descender: float
    members: int
    damaged: tuple[str, ...]
    features: frozenset[str]
    instances: tuple[tuple[str, dict[str, float]], ...] = ()

    def axis(self, tag: str) -> Axis | None:
        """The axis with this tag, if the font has it."""
        return next((axis for axis in self.axes if axis.tag == tag), None)

    def style_at(self, weight: float) -> str:
        """The name of the style drawn at this weight, other axes where they are by default.

        A weight between those that a variable font names is called by its number.
        """
        if self.axis("wght") is None:
            return self.style
        wanted = {axis.tag: axis.default for axis in self.axes} | {"wght": weight}
        named = next((name for name, at in self.instances if name and at == wanted), "")
        return named or f"{weight:g}{' Italic' if self.italic else ''}"


@dataclass(frozen=True, slots=True)
class TextRun:
    """A part of a text that is shaped in one direction: characters start to end, right to left or not."""

    start: int
    end: int
    rtl: bool = False


@dataclass(frozen=True, slots=True)
class ShapedLetter:
    """A letter of a shaped line: characters start to end; its outline and advance in em.

    lacking is the place of a character that the face has no glyph for, None where it has all.
    """

    start: int
    end: int
    outline: Outline
    advance: float
    lacking: int | None = None


class OpenFont:
    """A font file (or a member of one, from 0), read in a process of its own. Cheap until it is asked."""

    def __init__(self, path: Path, member: int = 0) -> None:
        self.path, self.member = path, member
        self._about: About | None = None

    def about(self) -> About:
        """What the font says of itself. Raises BadFace."""
        if self._about is None:
            answer = self._ask({"do": "about"})
            try:
                self._about = _about(answer)
            except (KeyError, TypeError, ValueError, IndexError) as problem:
                raise self._bad("what it says of itself makes no sense") from problem
        return self._about

    def line(
        self,
        text: str,
        runs: Sequence[TextRun],
        starts: Sequence[int],
        *,
        features: Mapping[str, int],
        axes: Mapping[str, float],
    ) -> tuple[ShapedLetter, ...]:
        """The letters of a text, run after run, each run's from left to right.

        starts: where the text's grapheme clusters start; features: OpenType feature tags with 0 (off), 1 (on) or the
        number of an alternate; axes: tags with values. Raises BadFace, naming the glyph where one is broken.
        """
        upem = self.about().upem
        answer = self._ask(
            {
                "do": "line",
                "text": text,
                "runs": [[run.start, run.end, run.rtl] for run in runs],
                "starts": list(starts),
                "features": dict(features),
                "axes": dict(axes),
            }
        )
        try:
            outlines = [_outline(shape, upem) for shape in answer["shapes"]]
            return tuple(_letter(letter, outlines, upem, len(text)) for letter in answer["letters"])
        except (KeyError, TypeError, ValueError, IndexError) as problem:
            raise self._bad("what it draws makes no sense") from problem

    def _ask(self, request: dict[str, Any]) -> Any:
        own, shared = self._child(), _shared.get()
        try:
            if shared is not None:
                with suppress(Gone):
                    return shared.ask({**request, "file": [str(self.path), self.member]})
            return own.ask(request)
        except (FileRefused, Gone) as problem:
            raise self._bad(str(problem)) from problem

    def _child(self) -> Child:
        try:
            stat = self.path.stat()
        except (OSError, ValueError) as problem:
            raise self._bad("there is no such file") from problem
        if not self.path.is_file():
            raise self._bad("it is a folder" if self.path.is_dir() else "it is no file")
        return _workers.of(str(self.path), str(self.member), stamp=f"{stat.st_mtime_ns} {stat.st_size}")

    def _bad(self, why: str) -> BadFace:
        member = f" #{self.member}" if self.member else ""
        return BadFace(f"{self.path}{member} cannot be used as a face: {why}.")


@contextmanager
def read_together() -> Iterator[None]:
    """Within it this thread's fonts are read by one worker, not each by its own: to start one takes longer than to
    read a font, and a contact sheet has a hundred.

    A font that brings the worker down is read again in one of its own.
    """
    child = Child(_WORKER, "", "0")
    before = _shared.set(child)
    try:
        yield
    finally:
        _shared.reset(before)
        child.close()


def members_of(paths: Sequence[Path]) -> tuple[tuple[About, ...], ...]:
    """What every face of every font file says of itself; nothing for a file that cannot be read.

    Files are read several to a worker; where one of them brings the worker down, those of its batch are each read in
    a worker of their own.
    """
    found: list[tuple[About, ...]] = []
    for start in range(0, len(paths), BATCH):
        batch = paths[start : start + BATCH]
        together = _members(batch)
        found += together if together is not None else [alone for path in batch for alone in _members([path]) or [()]]
    return tuple(found)


def which_have(faces: Sequence[tuple[Path, int]], text: str) -> tuple[bool, ...]:
    """Which of these font files (path, member) have a glyph for every character of text; see what_lacks."""
    return tuple(not lacking for lacking in what_lacks(faces, text))


def what_lacks(faces: Sequence[tuple[Path, int]], text: str) -> tuple[str, ...]:
    """The characters of text that each of these font files (path, member) has no glyph for, "" where it has them all.

    One worker looks at all of them, so give faces that are trusted to be fonts; if it dies, all lack the whole text.
    """
    child = Child(_WORKER, "", "0")
    try:
        answer = child.ask({"do": "lack", "faces": [[str(path), member] for path, member in faces], "text": text})
        return tuple(str(answer[i]) for i in range(len(faces)))
    except (FileRefused, Gone, TypeError, IndexError, KeyError):
        return (text,) * len(faces)
    finally:
        child.close()


def _members(batch: Sequence[Path]) -> list[tuple[About, ...]] | None:
    """The same in one worker; None where it died over several, nothing of a single one."""
    child = Child(_WORKER, "", "0")
    try:
        answer = child.ask({"do": "members", "paths": [str(path) for path in batch]})
        return [tuple(_about(member) for member in answer[i]) for i in range(len(batch))]
    except (FileRefused, Gone, KeyError, TypeError, ValueError, IndexError):
        return [()] if len(batch) == 1 else None
    finally:
        child.close()


def _about(answer: Any) -> About:
    names, upem = answer["names"], int(answer["upem"])
    return About(
        family=_line(names.get("typographic_family") or names.get("family") or ""),
        style=_line(names.get("typographic_style") or names.get("style") or ""),
        old_family=_line(names.get("family") or ""),
        weight=_number(answer["weight"]),
        width=_WIDTHS.get(int(answer["width_class"]), 100.0),
        italic=answer["italic"] is True,
        italic_deg=_number(answer["italic_deg"]),
        licence=_line(names.get("licence") or names.get("licence_url") or ""),
        axes=tuple(Axis(str(tag), _number(a), _number(b), _number(c)) for tag, a, b, c in answer["axes"]),
        upem=upem,
        cap_height=_number(answer["cap_height"]) / upem,
        x_height=_number(answer["x_height"]) / upem,
        ascender=_number(answer["ascender"]) / upem,
        descender=_number(answer["descender"]) / upem,
        members=int(answer["members"]),
        damaged=tuple(str(name) for name in answer["damaged"]),
        features=frozenset(str(tag) for tag in answer["features"]),
        instances=tuple(
            (_line(name), {str(tag): _number(value) for tag, value in at.items()}) for name, at in answer["instances"]
        ),
    )


def _letter(letter: Any, outlines: list[Outline], upem: int, length: int) -> ShapedLetter:
    start, end, shape, advance, lacking = letter
    start, end, lacking = int(start), int(end), int(lacking)
    if not 0 <= start < end <= length or not lacking < length:
        raise ValueError("a letter of characters that are not there")
    outline = outlines[int(shape)]
    return ShapedLetter(start, end, outline, _number(advance) / upem, lacking if lacking >= 0 else None)


def _outline(shape: Any, upem: int) -> Outline:
    return Outline(tuple(Contour(tuple(_segments(contour, upem))) for contour in shape))


def _segments(contour: Any, upem: int) -> list[Segment]:
    at = (_number(contour[0][0]) / upem, _number(contour[0][1]) / upem)
    first, segments = at, []
    for piece in contour[1:]:
        if len(piece) not in (2, 4, 6):
            raise ValueError("a segment of neither two, three nor four points")
        points = [(_number(piece[i]) / upem, _number(piece[i + 1]) / upem) for i in range(0, len(piece), 2)]
        segments.append((at, *points))
        at = points[-1]
    if at != first or not segments:
        raise ValueError("a contour that does not close")
    return segments


def _number(value: Any) -> float:
    number = float(value)
    if not math.isfinite(number) or isinstance(value, (str, bool)):
        raise ValueError(f"{value!r} is no number")
    return number


def _line(text: Any) -> str:
    """A name as one line of plain text."""
    return " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())
