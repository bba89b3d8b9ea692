"""From a line of words to its letters: one clean outline a grapheme cluster, in visual order.

The worker shapes and draws; here it is said what the letters are. Spaces part words and are no letters, nor is what
Unicode calls default ignorable. What was lettered once is kept, so that a job seen before starts no worker.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import regex

from stopcut.errors import BadFace, FaceLacksCharacter, Finding, Severity, Where
from stopcut.foreign.fonts import OpenFont, Run, ShapedLetter
from stopcut.keep import keep
from stopcut.lettering.faces import DEFAULT_FACE, FaceFile, find_face, packaged_with
from stopcut.lettering.facts import face_facts, file_stamp, usable_weight
from stopcut.lettering.heights import upright_stem
from stopcut.lettering.kept import pack_lettered, unpack_lettered
from stopcut.lettering.letters import FaceFacts, Letter, Lettered

__all__ = ["LineRequest", "features_of", "graphemes", "letter_line", "only_figures"]

VERSION = 1
"""Raised when the same line of the same file would come out otherwise: what was kept before is not found again."""
STANDARD_OFF = ("liga", "clig")
"""Ligatures a type designer has on and a carver asks for: letters are cut one by one (common practice)."""

_GRAPHEME = regex.compile(r"\X")
_IGNORABLE = regex.compile(r"\p{Default_Ignorable_Code_Point}+")
_FIGURES = regex.compile(r"[\p{Nd}\s\p{P}]*\p{Nd}[\p{Nd}\s\p{P}]*")
_FEATURE = regex.compile(r"(?P<off>-)?(?P<tag>[A-Za-z0-9]{4})(?:=(?P<value>\d{1,3}))?")


@dataclass(frozen=True, slots=True)
class LineRequest:
    """What letters depend on, and nothing else.

    face is a family's name or a font file's path (relative to base_folder); weight None is the default or, with
    stem_em, the weight whose upright stem has that width in em; features are OpenType tags ("smcp", "liga"; "salt=2"
    for an alternate, "-kern" to turn one off); line is the line's number on the board, from 1, for what is said.
    """

    words: str
    face: str = DEFAULT_FACE
    base_folder: Path | None = None
    weight: float | None = None
    stem_em: float | None = None
    features: tuple[str, ...] = ()
    line: int = 1


def letter_line(request: LineRequest) -> Lettered:
    """The line's letters, left to right as they stand, with what the face says of itself.

    Raises BadFace where the face cannot be found or read, FaceLacksCharacter where it has no shape for a character.
    """
    file = find_face(request.face, request.weight, request.base_folder)
    weight = file.weight
    lettered = keep().remembered(
        "lettered",
        (request.words, str(file.path), file.member, file_stamp(file.path), weight, request.features),
        lambda: _lettered(request.words, file, weight, request.features, request.line),
        version=VERSION,
        pack=pack_lettered,
        unpack=unpack_lettered,
    )
    where = Where(line=request.line)
    notes = (*_face_notes(file), *lettered.notes)
    return replace(
        lettered,
        face=replace(lettered.face, licence=file.licence or lettered.face.licence),
        notes=tuple(replace(note, where=where) for note in notes),
    )


def only_figures(words: str) -> bool:
    """Whether a line holds figures and nothing but what goes with them: spaces, points, hyphens (house numbers)."""
    return _FIGURES.fullmatch(words) is not None


def graphemes(words: str) -> tuple[tuple[int, int], ...]:
    """Where each grapheme cluster of the text starts and ends (UAX #29, extended clusters)."""
    return tuple(match.span() for match in _GRAPHEME.finditer(words))


def features_of(tags: tuple[str, ...], words: str) -> dict[str, int]:
    """OpenType features to shape with: standard ligatures off unless asked for, lining figures on for figures alone.

    Raises BadFace for a tag that is none.
    """
    features = dict.fromkeys(STANDARD_OFF, 0)
    if only_figures(words):
        features["lnum"] = 1
    for tag in tags:
        match = _FEATURE.fullmatch(tag)
        if match is None:
            raise BadFace(f"'{tag}' is no OpenType feature: a feature has four letters, such as smcp, onum or liga.")
        features[match["tag"]] = 0 if match["off"] else int(match["value"] or 1)
    if features.get("onum"):
        features.pop("lnum", None)
    return features


def _lettered(words: str, file: FaceFile, wanted: float | None, tags: tuple[str, ...], line: int) -> Lettered:
    font = OpenFont(file.path, file.member)
    about = font.about()
    weight, note = usable_weight(about, wanted)
    facts = face_facts(file.path, file.member, weight)
    starts = [start for start, _ in graphemes(words)]
    shaped = font.line(
        words,
        [Run(0, len(words))],
        starts,
        features=features_of(tags, words),
        axes={"wght": weight} if about.axis("wght") else {},
    )
    shaped = tuple(letter for letter in shaped if not _IGNORABLE.fullmatch(words, letter.start, letter.end))
    _check(words, shaped, file, facts, line)
    letters, order = _letters(words, shaped, -about.italic_deg)
    notes = tuple(
        _note("nearest-weight", note, "Choose a face with that weight if it matters.") for note in (note,) if note
    )
    return Lettered(words, facts, letters, order, notes + _damage(about.damaged, facts.family))


def _letters(
    words: str, shaped: tuple[ShapedLetter, ...], slant_deg: float
) -> tuple[tuple[Letter, ...], tuple[int, ...]]:
    ink = [letter for letter in shaped if not words[letter.start : letter.end].isspace()]
    reading = {letter.start: place for place, letter in enumerate(sorted(ink, key=lambda one: one.start))}
    stems: dict[int, float | None] = {}
    letters = []
    for letter in ink:
        key = id(letter.outline)
        if key not in stems:
            stems[key] = upright_stem(letter.outline, slant_deg)
        char = words[letter.start : letter.end].strip()
        letters.append(Letter(char, letter.outline, letter.advance, _word(words, letter.start), stems[key]))
    return tuple(letters), tuple(reading[letter.start] for letter in ink)


def _word(words: str, at: int) -> int:
    """The number of the word that the character at this place belongs to, from 0."""
    before = words[:at].split()
    return len(before) - (1 if at > 0 and before and not words[at - 1].isspace() else 0)


def _check(words: str, shaped: tuple[ShapedLetter, ...], file: FaceFile, facts: FaceFacts, line: int) -> None:
    """Raises FaceLacksCharacter or BadFace for the first letter, in reading order, that cannot be drawn."""
    index = 0
    for letter in sorted(shaped, key=lambda one: one.start):
        text = words[letter.start : letter.end]
        if text.isspace():
            continue
        index += 1
        if letter.lacking is not None:
            char = next(words[a:b] for a, b in graphemes(words) if a <= letter.lacking < b)
            raise FaceLacksCharacter(char, line, index, facts.family, packaged_with(char, unlike=facts.family))
        if not letter.outline:
            raise BadFace(f"{file.path} cannot be used as a face: it has no outline for '{text}'.")


def _face_notes(file: FaceFile) -> tuple[Finding, ...]:
    if not file.nearest:
        return ()
    return (_note("nearest-weight", file.nearest, "Choose a face with that weight if it matters."),)


def _damage(tables: tuple[str, ...], family: str) -> tuple[Finding, ...]:
    if not tables:
        return ()
    says = f"The font file of {family} has changed since it was made (checksums of {', '.join(tables)})."
    return (Finding("face-damaged", Severity.LOOK, says, "Look at its letters closely, or fetch the font again."),)


def _note(code: str, says: str, remedy: str) -> Finding:
    return Finding(code, Severity.NOTE, says, remedy)
