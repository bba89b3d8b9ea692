"""The families that font packages bring: known by the packages' own descriptions, their files not opened."""

from __future__ import annotations

import importlib.resources
import json
from functools import lru_cache
from importlib.metadata import EntryPoint, entry_points

from fontpkg import Family, family_from_metadata

from stopcut.lettering.installed import Families, FontFace, face_key

__all__ = ["packaged_faces"]

GROUP = "fontpkg.family"
"""The entry point under which a font package names itself (the fontpkg project's convention)."""
REGULAR = 400.0


@lru_cache(maxsize=1)
def packaged_faces() -> Families:
    """Families of the font packages installed beside stopcut, by key. A package that is broken is passed over."""
    families = (_family(entry) for entry in entry_points(group=GROUP))
    return {face_key(family.name): _faces(family) for family in families if family is not None and family.files}


def _family(entry: EntryPoint) -> Family | None:
    try:
        root = importlib.resources.files(entry.load())
        return family_from_metadata(json.loads((root / "metadata.json").read_text(encoding="utf-8")), root)
    except Exception:  # whatever is wrong with one package, the others are there
        return None


def _faces(family: Family) -> tuple[FontFace, ...]:
    axis = next((axis for axis in family.axes if axis.tag == "wght"), None)
    return tuple(
        FontFace(
            family=family.name,
            italic=file.style == "italic",
            weight=file.weight or REGULAR,
            weight_range=(axis.min, axis.max) if file.variable and axis else None,
            path=file.path,
            member=0,
            licence=family.license,
            origin="packaged",
        )
        for file in family.files
    )
