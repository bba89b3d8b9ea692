"""Fitting a board: the largest height that keeps the margins, found by setting the board a few times only."""

from __future__ import annotations

import pytest
from setting_faces import plain

from stopcut.job.job import Arc
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.setting import fitting
from stopcut.setting.columns import entries
from stopcut.setting.fitting import fit, openness_for, tallest
from stopcut.setting.lay import laid
from stopcut.setting.line import LineShape, line_shape
from stopcut.setting.request import LineSetting, SettingRequest

MOST_TRIALS = 9
NAMES = ("ADA FENN", "OLIVE QUILL", "WYN AVERY", "JOT YARROW", "VI OTTER", "TESS IVES", "NAN APPLEBY")


def cinzel(words: str) -> Lettered:
    return letter_line(LineRequest(words, "Cinzel"))


def shapes_of(request: SettingRequest) -> list[LineShape]:
    return [line_shape(line.lettered, line.tuck, line.word_space) for line in request.lines]


def honours(columns: int, height: float = 900, *, stop: bool = False) -> SettingRequest:
    words = [f"{name} {1990 + n}" for n, name in enumerate(NAMES * 4)]
    places = entries([True] * len(words), [2] * len(words), columns, stop=stop)
    lines = [
        LineSetting(cinzel(one), None, align="left", entry=place) for one, place in zip(words, places, strict=True)
    ]
    heading = LineSetting(cinzel("HONOURS"), None, size=2)
    return SettingRequest(700, height, 40, (heading, *lines), 1.3, between_mm=35)


BOARDS = {
    "one line": SettingRequest(600, 150, 20, (LineSetting(cinzel("MARROW LANE"), None),), 1.3),
    "a narrow margin of wood": SettingRequest(90, 60, 5, (LineSetting(cinzel("AVATAR"), None),), 2),
    "an arc": SettingRequest(
        500, 300, 20, (LineSetting(cinzel("MARROW LANE"), None, arc=Arc(400)), LineSetting(plain("HOT"), 30))
    ),
    "two columns": honours(2),
    "three columns at a stop": honours(3, stop=True),
    "a low board": honours(2, height=250),
}


@pytest.mark.parametrize("request_", BOARDS.values(), ids=BOARDS)
def test_the_height_found_fits_and_one_a_hair_larger_does_not(request_: SettingRequest) -> None:
    shapes = shapes_of(request_)
    found = fit(request_, shapes)
    assert found.fits
    assert fitting._too_much(request_, shapes, found.cap_height_mm)[0] <= 0
    assert fitting._too_much(request_, shapes, found.cap_height_mm + 0.02)[0] > 0


@pytest.mark.parametrize("request_", BOARDS.values(), ids=BOARDS)
def test_a_board_is_set_a_few_times_until_it_fits(request_: SettingRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    shapes, heights = shapes_of(request_), set()

    def counted(*asked, **named):
        heights.add(asked[3] / asked[1].size)
        return laid(*asked, **named)

    monkeypatch.setattr(fitting, "laid", counted)
    fit(request_, shapes)
    given = {line.cap_height_mm for line in request_.lines if line.cap_height_mm is not None}
    assert 3 <= len(heights - given) <= MOST_TRIALS


def test_one_line_s_height_and_openness_are_found_likewise(monkeypatch: pytest.MonkeyPatch) -> None:
    setting = LineSetting(cinzel("MARROW LANE"), 70)
    request = SettingRequest(600, 150, 20, (setting,), 1.3)
    (shape,), trials = shapes_of(request), []

    def counted(*asked, **named):
        trials.append(asked)
        return laid(*asked, **named)

    monkeypatch.setattr(fitting, "laid", counted)
    height = tallest(request, setting, shape)
    assert height is not None
    assert laid(request, setting, shape, height).box.width == pytest.approx(560, abs=0.05)
    assert len(trials) <= MOST_TRIALS
    trials.clear()
    openness = openness_for(request, setting, shape, 50, edge=False)
    assert openness is not None
    assert laid(request, setting, shape, 50, openness).box.width == pytest.approx(560, abs=1e-3)
    assert len(trials) <= MOST_TRIALS


def test_a_board_that_nothing_fits_says_what_is_in_the_way() -> None:
    tall = SettingRequest(600, 100, 20, (LineSetting(plain("HOT"), None), LineSetting(plain("HAT"), 80)))
    found = fit(tall, shapes_of(tall))
    assert (found.fits, found.limit) == (False, 0)
