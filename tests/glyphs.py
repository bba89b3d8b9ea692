"""Outlines of packaged faces for the tests of the groove, read as the tool reads them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path

from stopcut.foreign.fonts import OpenFont
from stopcut.lettering.facts import glyphs_of
from stopcut.shape.outline import Outline

CHARACTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789&.,'!?-éß"


@lru_cache
def families() -> dict[str, Path]:
    """Package name of each installed family → its folder of font files."""
    found = {}
    for entry in entry_points(group="fontpkg.family"):
        spec = find_spec(entry.value)
        assert spec is not None
        assert spec.origin is not None
        found[entry.name] = Path(spec.origin).parent / "files"
    return dict(sorted(found.items()))


def cuts(folder: Path) -> list[tuple[Path, int | None]]:
    """(file, weight to set or None) of the regular and, where there is one, the bold of a family."""
    upright = sorted(f for f in folder.iterdir() if f.suffix in {".ttf", ".otf"} and "Italic" not in f.name)
    variable = [f for f in upright if "wght" in f.name]
    if variable:
        return [(variable[0], 400), (variable[0], 700)]
    return [(f, None) for f in upright if f.stem.endswith(("-Regular", "-Bold"))]


def glyph(path: Path, weight: int | None, char: str) -> Outline | None:
    """One character's clean outline in em, as the tool itself reads it; None where the face lacks it."""
    return glyphs(path, weight, CHARACTERS if char in CHARACTERS else char).get(char)


@lru_cache(maxsize=8)
def glyphs(path: Path, weight: int | None, characters: str = CHARACTERS) -> dict[str, Outline]:
    """The outlines of those characters that the face has."""
    return glyphs_of(OpenFont(path), characters, weight or 400)


def corpus() -> Iterator[tuple[str, Outline]]:
    """(name, outline) of every glyph of the corpus."""
    for family, folder in families().items():
        for path, weight in cuts(folder):
            for char, outline in glyphs(path, weight).items():
                yield f"{family} {weight or path.stem.rpartition('-')[2]} {char}", outline
