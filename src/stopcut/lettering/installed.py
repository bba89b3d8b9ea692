"""Fonts on this machine: the carver's own in STOPCUT_HOME/faces, and what the system has.

Names come from fontconfig where it is (it has read every font already), else from each file's own worker, once, and
are then kept by the file's path, size and time of change.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal

from stopcut.foreign.fonts import About, members_of
from stopcut.home import home
from stopcut.keep import keep, pack_json, unpack_json

__all__ = ["SUFFIXES", "Families", "FontFace", "face_key", "own_faces", "short_licence", "system_faces"]

SUFFIXES = {".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2"}
LICENCES = (
    ("open font license", "OFL-1.1"),
    ("scripts.sil.org/ofl", "OFL-1.1"),
    ("openfontlicense.org", "OFL-1.1"),
    ("apache license", "Apache-2.0"),
    ("apache.org/licenses", "Apache-2.0"),
    ("ubuntu font licence", "Ubuntu-font-1.0"),
    ("gust font license", "GUST-Font-License"),
)
"""How open font licences are named in fonts, with their SPDX identifiers."""
LICENCE_LENGTH = 60
"""Characters of another licence's text that are shown. Our choice."""
FC_SECONDS = 20.0
"""Longest wait for fontconfig, which may have its cache to build. [s] Our choice."""


@dataclass(frozen=True, slots=True)
class FontFace:
    """One face of one font file.

    weight_range is its weight axis's, None for a static face; width in percent of the normal one.
    """

    family: str
    italic: bool
    weight: float
    weight_range: tuple[float, float] | None
    path: Path
    member: int
    licence: str
    origin: Literal["own", "packaged", "system"]
    width: float = 100.0


Families = dict[str, tuple[FontFace, ...]]


def face_key(name: str) -> str:
    """What names are compared by: the same whatever their case, spaces, hyphens and underscores."""
    return "".join(c for c in name.casefold() if c not in " -_\t")


def short_licence(text: str) -> str:
    """A font's own words on its licence as the licence's short name (SPDX), or their beginning."""
    known = next((short for words, short in LICENCES if words in text.casefold()), "")
    return known or (text if len(text) <= LICENCE_LENGTH else text[: LICENCE_LENGTH - 1].rstrip() + "…")


def own_faces() -> Families:
    """The carver's own faces, by key. A file that is no font is passed over."""
    return _by_family(_read(_font_files(home() / "faces"), "own"))


def system_faces() -> Families:
    """The machine's faces, by key; gone through once and then kept for as long as the tool runs."""
    global _system
    if _system is None:
        _system = _by_family(_listed_by_fontconfig() or _found_in_folders())
    return _system


_system: Families | None = None


def _by_family(faces: Iterator[FontFace] | list[FontFace]) -> Families:
    found: dict[str, list[FontFace]] = {}
    for face in faces:
        found.setdefault(face_key(face.family), []).append(face)
    return {key: tuple(several) for key, several in found.items()}


def _listed_by_fontconfig() -> list[FontFace]:
    """All outline fonts that fontconfig knows; empty where there is no fontconfig."""
    command = shutil.which("fc-list")
    if command is None:
        return []
    form = "%{family}\t%{width}\t%{slant}\t%{weight}\t%{variable}\t%{index}\t%{file}\n"
    try:
        done = subprocess.run(
            [command, "-f", form, ":outline=true"], capture_output=True, timeout=FC_SECONDS, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return []
    faces = []
    for line in done.stdout.decode("utf-8", "replace").splitlines():
        parts = line.split("\t")
        if len(parts) == 7 and Path(parts[6]).suffix.lower() in SUFFIXES:
            faces += _from_fontconfig(parts)
    return faces


def _from_fontconfig(parts: list[str]) -> list[FontFace]:
    families, width, slant, weight, variable, index, file = parts
    number = int(index) if index.isdigit() else 0
    if not families or number >> 16:  # a named instance of a variable font: the font itself is listed too
        return []
    span = weight.strip("[]").split() if variable == "True" and weight.startswith("[") else []
    least = _css(_first_number(weight, FC_REGULAR))
    most = _css(_first_number(span[-1], FC_REGULAR)) if len(span) == 2 else least
    return [
        FontFace(
            family=family,
            italic=slant not in ("0", ""),
            weight=least,
            weight_range=(least, most) if most > least else None,
            path=Path(file),
            member=number & 0xFFFF,
            licence="",
            origin="system",
            width=_first_number(width, 100.0),
        )
        for family in dict.fromkeys(name.strip() for name in families.split(","))
        if family
    ]


def _first_number(text: str, otherwise: float) -> float:
    """The first number of a fontconfig value ("100", "[75 100]")."""
    try:
        return float(text.strip("[]").split()[0])
    except (ValueError, IndexError):
        return otherwise


FC_REGULAR = 80.0
"""Regular in fontconfig's scale of weights (fontconfig, FC_WEIGHT_REGULAR)."""
# fontconfig's own scale of weights against OpenType's (fontconfig, fcweight.c).
_FC_WEIGHTS = ((0, 100), (40, 200), (50, 300), (55, 350), (75, 380), (80, 400), (100, 500), (180, 600), (200, 700))
_FC_HEAVY = ((205, 800), (210, 900), (215, 1000))


def _css(weight: float) -> float:
    """A fontconfig weight as OpenType counts, between the listed ones in a straight line."""
    table = (*_FC_WEIGHTS, *_FC_HEAVY)
    for (fc0, css0), (fc1, css1) in pairwise(table):
        if weight <= fc1:
            return round(css0 + (css1 - css0) * max(0.0, weight - fc0) / (fc1 - fc0))
    return 1000.0


def _found_in_folders() -> list[FontFace]:
    return _read([path for folder in _system_folders() for path in _font_files(folder)], "system")


def _system_folders() -> list[Path]:
    """The usual font folders of each system."""
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", "")
        folders = [Path(os.environ.get("WINDIR", r"C:\Windows")) / "Fonts"]
        return folders + ([Path(local) / "Microsoft" / "Windows" / "Fonts"] if local else [])
    if sys.platform == "darwin":
        return [Path("/System/Library/Fonts"), Path("/Library/Fonts"), Path.home() / "Library" / "Fonts"]
    data = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return [Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path(data) / "fonts", Path.home() / ".fonts"]


def _font_files(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.rglob("*") if path.suffix.lower() in SUFFIXES and path.is_file())
    except OSError:
        return []


def _read(paths: list[Path], origin: Literal["own", "system"]) -> list[FontFace]:
    """The faces of font files, from their own names; read again only when a file was added, taken away or changed."""
    if not paths:
        return []
    known: list[list[dict[str, Any]]] = keep().remembered(
        "face_names",
        tuple((str(path), *_stamp(path)) for path in paths),
        lambda: [
            [_plain(about, path.stem) for about in members]
            for path, members in zip(paths, members_of(paths), strict=True)
        ],
        version=4,
        pack=pack_json,
        unpack=unpack_json,
    )
    return [
        FontFace(
            family=family,
            italic=names["italic"],
            weight=names["weight"],
            weight_range=tuple(names["weight_range"]) if names["weight_range"] else None,
            path=path,
            member=member,
            licence=names["licence"],
            origin=origin,
            width=names["width"],
        )
        for path, members in zip(paths, known, strict=True)
        for member, names in enumerate(members)
        for family in names["families"]
    ]


def _stamp(path: Path) -> tuple[int, int]:
    try:
        stat = path.stat()
    except OSError:
        return (0, 0)
    return (stat.st_size, stat.st_mtime_ns)


def _plain(about: About, stem: str) -> dict[str, Any]:
    axis = about.axis("wght")
    return {
        "families": list(dict.fromkeys(name for name in (about.family, about.old_family) if name)) or [stem],
        "italic": about.italic,
        "weight": about.weight or 400.0,
        "weight_range": [axis.least, axis.most] if axis else None,
        "width": about.width,
        "licence": short_licence(about.licence),
    }
