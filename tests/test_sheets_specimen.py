"""The specimen, looked at again as pixels."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stopcut.sheets.specimen import MARGIN_PX, NAMES_PX, ROW_PX, specimen_png


def grey(png: bytes) -> NDArray[np.float64]:
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"), dtype=float)


def words_of_row(picture: NDArray[np.float64], row: int) -> NDArray[np.float64]:
    top = MARGIN_PX + row * ROW_PX - 10
    return 255 - picture[top : top + ROW_PX - 10, MARGIN_PX + NAMES_PX - 10 :]


def test_every_face_has_a_row_with_its_words_and_heavier_faces_have_more_ink() -> None:
    picture = grey(specimen_png(["Cinzel", "Josefin Sans"], "MARROW LANE"))
    light, heavy = (words_of_row(picture, row).sum() for row in (0, 1))
    assert light > 0
    assert heavy > 1.15 * light
    names = 255 - picture[:, MARGIN_PX : MARGIN_PX + NAMES_PX - 40]
    assert all(names[MARGIN_PX + row * ROW_PX : MARGIN_PX + (row + 1) * ROW_PX].sum() > 0 for row in (0, 1))


def test_the_counter_of_an_o_is_left_white_and_its_stroke_is_ink() -> None:
    row = words_of_row(grey(specimen_png(["Jost"], "O")), 0)
    inked = np.argwhere(row > 200)
    (top, left), (bottom, right) = inked.min(axis=0), inked.max(axis=0)
    assert row[(top + bottom) // 2, (left + right) // 2] == 0
    middle = row[(top + bottom) // 2, left : right + 1]
    assert middle[0:3].max() > 200
    assert middle[-3:].max() > 200


def test_a_face_that_lacks_a_letter_says_so_and_the_others_go_on() -> None:
    picture = grey(specimen_png(["Cinzel", "Nonesuch", "EB Garamond"], "жук"))
    inks = [words_of_row(picture, row).sum() for row in range(3)]
    assert inks[2] > 1.5 * max(inks[:2])
    assert min(inks) > 0


def test_long_words_are_made_small_enough_for_the_sheet() -> None:
    png = specimen_png(["Libre Baskerville"], "MARROW LANE ALLOTMENT SOCIETY OPENED IN THE SPRING OF 1931")
    picture = grey(png)
    assert (picture[:, -MARGIN_PX // 2 :] > 250).all()
