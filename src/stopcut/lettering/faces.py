"""Faces: finding the font file that a job's face and weight ask for.

A face is a family's name or a font file's path. Names are looked for among the carver's own faces (the folder `faces`
in STOPCUT_HOME), then the packaged families (font packages installed beside stopcut), then the machine's. The first two
are known at a glance; the machine's fonts are only gone through when a name is in neither.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from stopcut.errors import BadFace
from stopcut.foreign.fonts import what_lacks, which_have
from stopcut.home import path_named
from stopcut.lettering.installed import SUFFIXES, FontFace, face_key, own_faces, system_faces
from stopcut.lettering.packaged import packaged_faces

__all__ = [
    "DEFAULT_FACE",
    "DEFAULT_WEIGHT",
    "Face",
    "FaceFile",
    "characters_lacking",
    "family_files",
    "find_face",
    "find_family",
    "list_faces",
    "names_a_path",
    "packaged_with",
]

DEFAULT_FACE = "Cinzel"
"""The inscriptional Roman of a job that names no face. Our choice: capitals after Roman inscriptions, open licence."""
DEFAULT_WEIGHT = 400
"""The weight of a job that names none: regular (OpenType specification, OS/2 usWeightClass)."""
MOST_NEAR = 3

Origin = Literal["own", "packaged", "system", "file"]


@dataclass(frozen=True, slots=True)
class FaceFile:
    """The font file that answers for a face.

    member counts a collection's faces from 0; weight is the one to draw, as wanted where the file can vary and the
    file's own where it cannot (None: not known before the file is opened); nearest says in a sentence that another
    weight than the wanted one was taken, "" where it was not.
    """

    path: Path
    member: int
    family: str
    weight: float | None
    wanted: float | None
    origin: Origin
    licence: str = ""
    nearest: str = ""


@dataclass(frozen=True, slots=True)
class Face:
    """A family as `faces` lists it. weights are those of static files, range the ends of a weight axis."""

    family: str
    origin: Origin
    licence: str
    styles: tuple[str, ...]
    weights: tuple[int, ...]
    weight_range: tuple[float, float] | None
    files: tuple[Path, ...]

    @property
    def variable(self) -> bool:
        """Whether its weight can be chosen freely within a range."""
        return self.weight_range is not None


def find_face(name_or_path: str, weight: float | None = None, base_folder: Path | None = None) -> FaceFile:
    """The font file for a family's name or a font file's path (relative to base_folder; "#1" takes a member).

    Names are matched whatever their case; a name may end in "Italic". weight None takes DEFAULT_WEIGHT. A static
    family gives its file of the nearest weight. Raises BadFace for a path with no file, or an unknown name, and then
    says which names are near.
    """
    wanted = name_or_path.strip()
    return _by_path(wanted, weight, base_folder) if names_a_path(wanted) else _nearest(_of_family(wanted), weight)


def family_files(name_or_path: str, base_folder: Path | None = None) -> tuple[FaceFile, ...]:
    """Every file of a family (of the one slant), or the one file of a path. Raises BadFace as find_face does."""
    wanted = name_or_path.strip()
    if names_a_path(wanted):
        return (_by_path(wanted, None, base_folder),)
    return tuple(_nearest([face], None) for face in _of_family(wanted))


def _of_family(name: str) -> list[FontFace]:
    """The faces of a family, upright or (where the name ends so) italic ones, of the width nearest to the normal."""
    family, italic = _split(name)
    for faces in (own_faces, packaged_faces, system_faces):
        found = faces()
        for key, slanted in ((face_key(name), False), (face_key(family), italic)):
            of_slant = [face for face in found.get(key, ()) if face.italic == slanted]
            if of_slant:
                width = min((face.width for face in of_slant), key=lambda width: (abs(width - 100), width))
                return [face for face in of_slant if face.width == width]
    raise BadFace(_unknown(name))


def list_faces(*, system: bool = True) -> tuple[Face, ...]:
    """Every family at hand, the carver's own first, then packaged ones, then the machine's (if asked), by name."""
    sources = [own_faces(), packaged_faces(), *([system_faces()] if system else [])]
    return tuple(_listed(families[key]) for families in sources for key in sorted(families) if families[key])


def find_family(name: str) -> Face:
    """What is known of the family of this name. Raises BadFace as find_face does."""
    chosen = _of_family(name.strip())[0]
    families = (
        own_faces() if chosen.origin == "own" else system_faces() if chosen.origin == "system" else packaged_faces()
    )
    return _listed(families[face_key(chosen.family)])


def packaged_with(text: str, *, unlike: str = "", most: int = MOST_NEAR) -> tuple[str, ...]:
    """Packaged families (at most so many) that have a glyph for every character of text, in order of name."""
    families = {key: faces for key, faces in packaged_faces().items() if key != face_key(unlike)}
    first = [_nearest([face for face in faces if not face.italic] or faces, None) for faces in families.values()]
    having = which_have([(face.path, face.member) for face in first], text)
    names = sorted(face.family for face, has in zip(first, having, strict=True) if has)
    return tuple(names[:most])


def characters_lacking(families: Sequence[str], text: str) -> dict[str, str]:
    """What each family (by name, upright) lacks of a text's characters, "" where nothing; blanks do not count."""
    wanted = "".join(c for c in dict.fromkeys(text) if not c.isspace())
    files = [find_face(family) for family in families]
    return dict(zip(families, what_lacks([(file.path, file.member) for file in files], wanted), strict=True))


def names_a_path(text: str) -> bool:
    """Whether a job's face is looked for as the path of a font file rather than as a family's name."""
    return "/" in text or "\\" in text or text.partition("#")[0].lower().endswith(tuple(SUFFIXES))


def _by_path(text: str, weight: float | None, base_folder: Path | None) -> FaceFile:
    name, member = text, 0
    head, mark, tail = text.rpartition("#")
    if mark and tail.isdecimal():
        name, member = head, int(tail)
    path = path_named(name)
    path = path if path.is_absolute() or base_folder is None else base_folder / path
    try:
        usable, folder = path.is_file(), path.is_dir()
    except (OSError, ValueError):  # a name no file system takes
        usable, folder = False, False
    if not usable:
        raise BadFace(f"{text} cannot be used as a face: {'it is a folder' if folder else 'there is no such file'}.")
    return FaceFile(path, member, path.stem, weight, weight, "file")


def _nearest(faces: Iterable[FontFace], weight: float | None) -> FaceFile:
    """The file that can draw the weight, else the one nearest to it (the lighter of two as near)."""
    wanted = DEFAULT_WEIGHT if weight is None else weight
    face = min(faces, key=lambda face: (_off(face, wanted), face.weight, str(face.path), face.member))
    least, most = face.weight_range or (face.weight, face.weight)
    taken = min(max(wanted, least), most)
    said = ""
    if weight is not None and taken != weight:
        says = f"goes from {least:g} to {most:g}" if face.weight_range else "has no such weight"
        said = f"{face.family} {says}: {taken:g} was taken instead of {weight:g}."
    return FaceFile(face.path, face.member, face.family, taken, weight, face.origin, face.licence, said)


def _off(face: FontFace, weight: float) -> float:
    least, most = face.weight_range or (face.weight, face.weight)
    return max(least - weight, weight - most, 0.0)


def _listed(faces: tuple[FontFace, ...]) -> Face:
    ranges = [face.weight_range for face in faces if face.weight_range]
    return Face(
        family=faces[0].family,
        origin=faces[0].origin,
        licence=faces[0].licence,
        styles=tuple(sorted({"italic" if face.italic else "upright" for face in faces}, reverse=True)),
        weights=tuple(sorted({round(face.weight) for face in faces if face.weight_range is None})),
        weight_range=(min(r[0] for r in ranges), max(r[1] for r in ranges)) if ranges else None,
        files=tuple(sorted({face.path for face in faces})),
    )


def _unknown(name: str) -> str:
    names = {face[0].family for faces in (own_faces(), packaged_faces(), system_faces()) for face in faces.values()}
    keys = {face_key(family): family for family in sorted(names)}
    near = [keys[key] for key in difflib.get_close_matches(face_key(name), list(keys), n=MOST_NEAR, cutoff=0.6)]
    would = f"did you mean {' or '.join(near)}?" if near else "`stopcut faces` lists those at hand."
    return f"There is no face '{name}' here; {would}"


def _split(name: str) -> tuple[str, bool]:
    """A name without "Italic" at its end, and whether it had it."""
    words = name.split()
    if len(words) > 1 and words[-1].casefold() == "italic":
        return " ".join(words[:-1]), True
    return name, False
