"""Faces that a carver brings: looked at before they are kept, and kept so that jobs name them by family.

They are kept in the folder `faces` in STOPCUT_HOME, where `find_face` looks first. So a face of the same name as one
that comes with stopcut would stand in for it in every job that names it; that, and taking the place of another file of
the carver's own, is told and not done unasked.
"""

from __future__ import annotations

import re
import string
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from stopcut.errors import BadFace
from stopcut.foreign.fonts import About, OpenFont, TextRun
from stopcut.home import home
from stopcut.lettering.faces import names_a_path
from stopcut.lettering.installed import face_key, own_faces, short_licence
from stopcut.lettering.packaged import packaged_faces

__all__ = ["RESERVED", "FaceLook", "faces_folder", "in_the_way", "look_at_face", "plain_name"]

LONGEST_FAMILY = 64
"""Characters of a family's name that a job could still be asked to write. Our choice: the longest known take forty."""
LONGEST_LICENCE = 4_000
"""Characters of a font's own licence text that are shown. Our choice: the whole of the usual notes."""
LONGEST_NAME = 60
"""Characters of a kept file's name, without what is after the dot. Our choice: safe in any file system."""
PROBE = string.ascii_uppercase + string.ascii_lowercase + string.digits
"""What is drawn once before a face is kept, so that a broken letter shows now."""
RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
"""Names that Windows takes for devices, whatever follows the dot (Microsoft, Naming Files, Paths, and Namespaces)."""


@dataclass(frozen=True, slots=True)
class FaceLook:
    """What a font file turned out to be.

    weights is the weight, or the range of a variable face; licence its short name and licence_text the font's own words
    (each "" where it has none); file_name what it is kept as; cautions are sentences.
    """

    family: str
    names: tuple[str, ...]
    italic: bool
    weights: tuple[float, float]
    licence: str
    licence_text: str
    file_name: str
    cautions: tuple[str, ...]


def faces_folder() -> Path:
    """Where the carver's own faces are kept. Not made here."""
    return home() / "faces"


def look_at_face(path: Path, suffix: str, called: str) -> FaceLook:
    """What the font file at path is, read in a process that may die; called is what it goes by if it says nothing.

    suffix is the one it is kept with (".ttf"). Raises BadFace, saying why, for what cannot be used, a letter that is
    broken, or a family that no job could name.
    """
    font = OpenFont(path)
    about = font.about()
    names = tuple(dict.fromkeys(name for name in (about.family, about.old_family) if name)) or (plain_name(called),)
    for name in names:
        if len(name) > LONGEST_FAMILY or names_a_path(name):
            raise BadFace(f"It calls itself {name[:LONGEST_FAMILY]!r}, and no job could name it so.")
    axis = about.axis("wght")
    weight = about.weight or 400.0
    return FaceLook(
        family=names[0],
        names=names,
        italic=about.italic,
        weights=(axis.least, axis.most) if axis else (weight, weight),
        licence=short_licence(about.licence),
        licence_text=about.licence[:LONGEST_LICENCE],
        file_name=(plain_name(f"{names[0]} {_style(about)}") if about.family else names[0]) + suffix,
        cautions=tuple(_cautions(font, about)),
    )


def in_the_way(look: FaceLook, content: bytes) -> tuple[str, Path | None]:
    """What keeping it would change in jobs that there are: a sentence, and the carver's own file that it would replace.

    "" and None where nothing is in the way; "" and a path where this very file is kept already.
    """
    for face in (face for name in look.names for face in own_faces().get(face_key(name), ())):
        if face.italic == look.italic and (face.weight_range or (face.weight, face.weight)) == look.weights:
            if _content(face.path) == content:
                return "", face.path
            return (
                f"You have another {_called(look)} already ({face.path.name}), which jobs that name it use.",
                face.path,
            )
    for name in look.names:
        if face_key(name) in packaged_faces():
            return f"stopcut comes with {name}; jobs that name it would use this file in its place.", None
    return "", None


def plain_name(text: str) -> str:
    """A file name without anything that a path could be made of: letters, figures and hyphens, in lower case."""
    words = re.sub(r"[\W_]+", "-", unicodedata.normalize("NFC", text).casefold())
    name = words.strip("-")[:LONGEST_NAME].strip("-") or "unnamed"
    return f"{name}-" if name in RESERVED else name


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:  # gone, or not for us to read
        return b""


def _style(about: About) -> str:
    if about.axis("wght"):
        return "variable italic" if about.italic else "variable"
    return about.style or f"{about.weight or 400:g}{' italic' if about.italic else ''}"


def _called(look: FaceLook) -> str:
    least, most = look.weights
    weights = f"{least:g}" if least == most else f"{least:g} to {most:g}"
    return f"{look.family} {weights}{' Italic' if look.italic else ''}"


def _cautions(font: OpenFont, about: About) -> list[str]:
    """What a carver should know of it before using it. Raises BadFace for a letter that is broken."""
    letters = font.line(PROBE, [TextRun(0, len(PROBE))], range(len(PROBE)), features={"liga": 0}, axes={})
    lacking = [PROBE[letter.lacking] for letter in letters if letter.lacking is not None]
    said = []
    if len(lacking) == len(PROBE):
        said.append("It has none of A to Z, nor figures.")
    elif set(string.ascii_lowercase) <= set(lacking):
        said.append("It has no small letters.")
    capitals = [char for char in lacking if char.isupper() or char.isdigit()]
    if capitals and len(lacking) < len(PROBE):
        said.append(f"It lacks {', '.join(sorted(capitals))}.")
    if about.damaged:
        said.append("The file is not as it was made (its checksums are wrong): look at its letters closely.")
    if not about.licence:
        said.append("It says nothing of its licence: whether you may carve for money with it is for you to find out.")
    return said
