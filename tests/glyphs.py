"""Outlines of packaged faces for the tests of the groove: fontTools' instances, overlaps taken out by skia-pathops."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path

import pathops
import uharfbuzz as hb

from stopcut.shape.outline import Contour, Outline, Segment

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


@lru_cache(maxsize=8)
def _font(path: Path, weight: int | None) -> hb.Font:
    font = hb.Font(hb.Face(path.read_bytes()))
    if weight is not None:
        font.set_variations({"wght": weight})
    return font


def glyph(path: Path, weight: int | None, char: str) -> Outline | None:
    """One character's clean outline in em, None where the face lacks it."""
    font = _font(path, weight)
    number = font.get_nominal_glyph(ord(char))
    if not number:
        return None
    skia = pathops.Path()
    font.draw_glyph_with_pen(number, skia.getPen(glyphSet=None))
    skia.simplify(fix_winding=True, keep_starting_points=False)
    return Outline(tuple(_contours(skia, 1 / font.face.upem)))


def _contours(skia: pathops.Path, scale: float) -> Iterator[Contour]:
    for contour in skia.contours:
        segments: list[Segment] = []
        at = start = (0.0, 0.0)
        for verb, points in contour:
            ends = tuple((x * scale, y * scale) for x, y in points)
            if verb == pathops.PathVerb.MOVE:
                at = start = ends[0]
            elif verb == pathops.PathVerb.CLOSE:
                if at != start:
                    segments.append((at, start))
            else:
                segments.append((at, *ends))
                at = ends[-1]
        made = Contour(tuple(s for s in segments if any(p != s[0] for p in s)))
        if made.segments:
            yield made


def corpus() -> Iterator[tuple[str, Outline]]:
    """(name, outline) of every glyph of the corpus."""
    for family, folder in families().items():
        for path, weight in cuts(folder):
            for char in CHARACTERS:
                outline = glyph(path, weight, char)
                if outline is not None:
                    yield f"{family} {weight or path.stem.rpartition('-')[2]} {char}", outline
