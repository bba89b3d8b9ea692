"""The pictures of the README, made by real runs of the demo: `python -m benchmarks.pictures`."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pypdfium2 as pdfium
from PIL import Image

from benchmarks.kept_picture import keep_picture
from stopcut.cli import main as stopcut

DOCS = Path(__file__).resolve().parents[1] / "docs"
PAGE_DPI = 90
COLOURS = 200
"""Enough for a quiet wood; a quarter of the bytes."""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        _run("demo", place, "--quiet")
        _run("faces", "--specimen", place / "specimen.png", "--quiet")
        pattern = pdfium.PdfDocument(place / "pattern.pdf")
        for number, name in ((0, "pattern-cover.png"), (3, "pattern.png")):
            page = pattern[number].render(scale=PAGE_DPI / 72, grayscale=True).to_pil()
            _keep(page.quantize(16), name)
        _keep(_few_colours(place / "carved.png"), "carved.png")
        _keep(_few_colours(place / "specimen-1.png"), "specimen.png")


def _run(*arguments: str | Path) -> None:
    try:
        stopcut([str(argument) for argument in arguments])
    except SystemExit as left:
        if left.code not in (0, 1):
            raise


def _few_colours(path: Path) -> Image.Image:
    return Image.open(path).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)


def _keep(picture: Image.Image, name: str) -> None:
    keep_picture(picture, DOCS / name)


if __name__ == "__main__":
    main()
