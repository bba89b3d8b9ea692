"""The specimen, looked at again as pixels."""

from __future__ import annotations

import io
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from stopcut.keep import forget_all
from stopcut.lettering.faces import list_faces
from stopcut.sheets.specimen import MARGIN_PX, NAMES_PX, ROW_PX, ROWS, specimen_pages


def grey(png: bytes) -> NDArray[np.float64]:
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"), dtype=float)


def specimen(faces: list[str], words: str) -> NDArray[np.float64]:
    (page,) = specimen_pages(faces, words)
    return grey(page)


def words_of_row(picture: NDArray[np.float64], row: int) -> NDArray[np.float64]:
    top = MARGIN_PX + row * ROW_PX - 10
    return 255 - picture[top : top + ROW_PX - 10, MARGIN_PX + NAMES_PX - 10 :]


def height_of(row: NDArray[np.float64]) -> int:
    inked = np.flatnonzero(row.max(axis=1) > 100)
    return int(inked[-1] - inked[0])


def test_every_face_has_a_row_with_its_words_and_heavier_faces_have_more_ink() -> None:
    picture = specimen(["Cinzel", "Josefin Sans"], "MARROW LANE")
    light, heavy = (words_of_row(picture, row).sum() for row in (0, 1))
    assert light > 0
    assert heavy > 1.15 * light
    names = 255 - picture[:, MARGIN_PX : MARGIN_PX + NAMES_PX - 40]
    assert all(names[MARGIN_PX + row * ROW_PX : MARGIN_PX + (row + 1) * ROW_PX].sum() > 0 for row in (0, 1))


def test_the_counter_of_an_o_is_left_white_and_its_stroke_is_ink() -> None:
    row = words_of_row(specimen(["Jost"], "O"), 0)
    inked = np.argwhere(row > 200)
    (top, left), (bottom, right) = inked.min(axis=0), inked.max(axis=0)
    assert row[(top + bottom) // 2, (left + right) // 2] == 0
    middle = row[(top + bottom) // 2, left : right + 1]
    assert middle[0:3].max() > 200
    assert middle[-3:].max() > 200


def test_a_face_that_lacks_a_letter_says_so_and_the_others_go_on() -> None:
    picture = specimen(["Cinzel", "Nonesuch", "EB Garamond"], "жук")
    inks = [words_of_row(picture, row).sum() for row in range(3)]
    assert inks[2] > 1.5 * max(inks[:2])
    assert min(inks) > 0


def test_words_too_wide_for_the_sheet_are_made_small_enough_in_their_own_row_alone() -> None:
    words = "MARROW LANE ALLOTMENTS I"
    picture = specimen(["Libre Baskerville", "Jost"], words)
    assert (picture[:, -MARGIN_PX // 2 :] > 250).all()
    wide, narrow = (height_of(words_of_row(picture, row)) for row in (0, 1))
    assert wide < 0.9 * narrow
    assert narrow == pytest.approx(height_of(words_of_row(specimen(["Jost"], words), 0)), abs=1)


def test_many_faces_come_on_pages_of_one_size_and_a_family_asked_for_twice_comes_once() -> None:
    names = [face.family for face in list_faces(system=False)][: ROWS + 2]
    pages = specimen_pages([*names, *names], "ML")
    assert len(pages) == 2
    full, rest = map(grey, pages)
    assert 1.2 < full.shape[0] / full.shape[1] < 1.42
    assert rest.shape[1] == full.shape[1]
    assert words_of_row(rest, 1).sum() > 0
    assert rest.shape[0] < MARGIN_PX + 3 * ROW_PX


def test_a_sheet_of_many_faces_starts_one_reader_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))  # nothing kept from before
    forget_all()
    started: list[object] = []
    start = subprocess.Popen

    def counting(*arguments: Any, **named: Any) -> subprocess.Popen[bytes]:
        started.append(arguments)
        return start(*arguments, **named)

    monkeypatch.setattr("stopcut.foreign.child.subprocess.Popen", counting)
    specimen_pages(["Cinzel", "Jost", "EB Garamond", "Lato"], "MARROW")
    assert len(started) == 1
