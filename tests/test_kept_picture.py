"""A picture of the docs is written anew for what it shows, never for noise."""

from pathlib import Path

import pytest
from benchmarks.kept_picture import keep_picture, shows_the_same
from PIL import Image, ImageChops, ImageDraw, ImageFilter

DOCS = Path(__file__).resolve().parents[1] / "docs"
PICTURES = sorted(DOCS.glob("*.png"))


def drawn(figure: str = "7.9 mm", moved: int = 0) -> Image.Image:
    """A board with a figure on it."""
    picture = Image.new("RGB", (400, 200), "#e8dcc4")
    pen = ImageDraw.Draw(picture)
    pen.line((40 + moved, 30, 40 + moved, 170), fill="black", width=2)
    pen.text((120, 90), figure, fill="black")
    return picture


@pytest.mark.parametrize("path", PICTURES, ids=[path.name for path in PICTURES])
def test_fewer_colours_and_a_hair_of_smoothing_are_noise(path: Path) -> None:
    picture = Image.open(path).convert("RGB")
    assert shows_the_same(picture, picture.quantize(160, dither=Image.Dither.NONE))
    assert shows_the_same(picture, picture.filter(ImageFilter.GaussianBlur(0.3)))


def test_another_figure_a_moved_line_and_another_size_are_not_noise() -> None:
    assert shows_the_same(drawn(), drawn())
    assert not shows_the_same(drawn(), drawn("7.8 mm"))
    assert not shows_the_same(drawn(), drawn(moved=1))
    assert not shows_the_same(drawn(), drawn().resize((401, 200)))
    assert not shows_the_same(drawn(), ImageChops.invert(drawn()))


def test_a_file_that_shows_the_same_is_left_to_the_byte(tmp_path: Path) -> None:
    path = tmp_path / "board.png"
    keep_picture(drawn(), path)
    before = path.read_bytes()
    keep_picture(drawn().quantize(32), path)
    assert path.read_bytes() == before
    keep_picture(drawn("7.8 mm"), path)
    assert path.read_bytes() != before
