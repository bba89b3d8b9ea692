"""The shop's own settings, laid over the published ones, with faults as a job has them."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest

from stopcut.errors import WrongJob
from stopcut.shop import shop_file
from stopcut.shop.shop_file import Screen, Shop, parse_shop, read_shop
from stopcut.shop.thresholds import PUBLISHED, WHY, ByTexture
from stopcut.shop.woods import TEXTURES


def faults_of(text: str) -> list[str]:
    with pytest.raises(WrongJob) as wrong:
        parse_shop(text)
    return [str(fault) for fault in wrong.value.faults]


def test_every_threshold_says_whether_it_is_common_practice_or_our_choice() -> None:
    assert set(WHY) == {field.name for field in dataclasses.fields(PUBLISHED)}
    assert all(re.search("common practice|our choice", why) for why in WHY.values())


def test_grooves_stop_at_half_the_thickness_unless_the_shop_says_otherwise() -> None:
    assert PUBLISHED.deepest_share == 0.5
    assert parse_shop("format = 1\n[thresholds]\ndeepest_share = 0.4").thresholds.deepest_share == 0.4


def test_coarser_woods_want_bolder_strokes_and_more_wood_between() -> None:
    for by_texture in (
        PUBLISHED.thinnest_stroke_mm,
        PUBLISHED.finest_detail_mm,
        PUBLISHED.least_wood_mm,
        PUBLISHED.least_counter_mm,
    ):
        values = [by_texture.of(texture) for texture in TEXTURES]
        assert values == sorted(values)
        assert values[0] < values[-1]


def test_without_a_file_the_published_settings_hold(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert read_shop(tmp_path) == Shop()
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path / "none"))
    assert read_shop() == Shop()


def test_the_shops_file_is_read_from_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "shop.toml").write_text("format = 1\n[thresholds]\nedge_clear = 9\n", encoding="utf-8")
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))
    assert read_shop().thresholds == dataclasses.replace(PUBLISHED, edge_clear_mm=9)


def test_a_threshold_is_set_for_one_texture_or_for_every_wood() -> None:
    own = 'thinnest_stroke = { fine = "0.8 mm", medium-coarse = "1/8" }\nleast_wood = 0.1'
    thresholds = parse_shop(f'format = 1\nunits = "in"\n[thresholds]\n{own}').thresholds
    assert thresholds.thinnest_stroke_mm == dataclasses.replace(
        PUBLISHED.thinnest_stroke_mm, fine=0.8, medium_coarse=3.175
    )
    assert thresholds.least_wood_mm == ByTexture(2.54, 2.54, 2.54, 2.54)
    assert thresholds.least_counter_mm == PUBLISHED.least_counter_mm


def test_an_arrow_key_moves_a_letter_by_a_tenth_or_by_a_millimetre_unless_the_shop_says_otherwise() -> None:
    assert Shop().screen == Screen(fine_step_mm=0.1, coarse_step_mm=1.0)
    assert parse_shop('format = 1\n[screen]\nfine_step = "0.05 mm"').screen == Screen(0.05, 1.0)
    assert parse_shop('format = 1\nunits = "in"\n[screen]\ncoarse_step = "1/16"').screen == Screen(0.1, 1.5875)


def test_the_example_of_the_manual_is_right() -> None:
    assert shop_file.__doc__ is not None
    example = re.search(r"```toml\n(.*?)```", shop_file.__doc__, re.DOTALL)
    assert example is not None
    shop = parse_shop(example[1])
    answer = shop.wood_called("Pear")
    assert answer.wood is not None
    assert (answer.texture, answer.wood.hardness_from, answer.findings) == ("fine", "shop", ())


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("", ["shop.toml format: it is missing; write format = 1 as the first line"]),
        ("format = 1\n[treshold]\n", ["shop.toml treshold, line 2: no such setting; did you mean thresholds?"]),
        (
            "format = 1\n[thresholds]\ndeepest_share = 50\nthinest_stroke = 1",
            [
                "shop.toml thresholds.deepest_share, line 3: 50 is out of range; write a number from 0.05 to 1",
                "shop.toml thresholds.thinest_stroke, line 4: no such setting; did you mean thinnest_stroke?",
            ],
        ),
        (
            "format = 1\n[thresholds]\nleast_wood = { fin = 1 }",
            [
                'shop.toml thresholds.least_wood, line 3: "fin" is no texture; '
                "the textures are fine, medium, medium-coarse, coarse"
            ],
        ),
        (
            'format = 1\n[[wood]]\nname = "pear"\ntexture = "smooth"\nhardness = 0',
            [
                'shop.toml wood[1].texture, line 4: "smooth" is none of "fine", "medium", "medium-coarse" or "coarse"; '
                'write "fine", "medium", "medium-coarse" or "coarse"',
                "shop.toml wood[1].hardness, line 5: 0 is out of range; write a number from 1 to 10000",
            ],
        ),
        (
            'format = 1\n[screen]\nfine_step = 0\ncoarse_step = "1 mile"\nstep = 1',
            [
                "shop.toml screen.fine_step, line 3: 0 is zero; write a length above zero",
                'shop.toml screen.coarse_step, line 4: "1 mile" is no length; '
                'write a number, or "55 mm", "5.5 cm", "2 1/4 in" or "1 ft 3 in"',
                "shop.toml screen.step, line 5: no such setting; take it out",
            ],
        ),
        (
            "format = 1\n[screen]\ncoarse_step = 101",
            ["shop.toml screen.coarse_step, line 3: 101 (101 mm) is too much; stay from 0.01 mm to 100 mm"],
        ),
        ("format = \n", ['shop.toml, line 1: there is no value here; write a number, or words in quotes, "…"']),
    ],
)
def test_a_wrong_shop_file_is_answered_with_every_fault(text: str, faults: list[str]) -> None:
    assert faults_of(text) == faults


def test_a_shop_file_that_cannot_be_read_says_so(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").mkdir()
    with pytest.raises(WrongJob, match="is a folder; name the shop file in it"):
        read_shop(tmp_path)
