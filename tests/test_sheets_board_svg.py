import io
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from sheet_boards import board, small_board
from svgelements import SVG, CubicBezier, Path, QuadraticBezier

from stopcut.sheets.board_svg import board_svg
from stopcut.sheets.drawn import PENS, layers

SVG_NS = "{http://www.w3.org/2000/svg}"
MM_PER_PIXEL = 25.4 / 96  # CSS: 96 pixels an inch


def read(work):
    return SVG.parse(io.BytesIO(board_svg(work)))


def paths_of(svg, layer):
    return [e for e in svg.elements() if isinstance(e, Path) and e.id.split("-")[:2] == layer.split("-")[:2]]


def test_a_reader_finds_the_board_at_its_size_in_mm():
    svg = read(board())
    assert (svg.width * MM_PER_PIXEL, svg.height * MM_PER_PIXEL) == pytest.approx((900, 260), abs=1e-3)


def test_every_stroke_comes_back_to_a_thousandth_of_a_millimetre():
    work = board()
    paths = {path.id: path for path in read(work).elements() if isinstance(path, Path)}
    count = 0
    for layer in layers(work):
        group = [path for name, path in paths.items() if _layer_of(name) == layer.name]
        assert len(group) == len(layer.strokes)
        for stroke, path in zip(layer.strokes, group, strict=True):
            ends = [run[0][0] for run in stroke.runs] + [s[-1] for run in stroke.runs for s in run]
            there = np.array([[p.x, p.y] for p in path.as_points()]) * MM_PER_PIXEL
            for x, y in ends:
                assert np.hypot(*(there - [x, 260 - y]).T).min() < 1e-3
                count += 1
    assert count > 300


def test_curves_are_written_as_the_curves_they_are():
    (ring,) = [path for path in paths_of(read(small_board()), "outline-1") if path.id == "outline-1-2"]
    kinds = [type(segment) for segment in ring]
    assert kinds.count(CubicBezier) == 4
    assert kinds.count(QuadraticBezier) == 8


def test_a_letter_keeps_its_box():
    svg = read(small_board())
    (stem,) = [path for path in svg.elements() if isinstance(path, Path) and path.id == "outline-1-1"]
    left, top, right, bottom = (v * MM_PER_PIXEL for v in stem.bbox())
    assert (right - left, bottom - top) == pytest.approx((6.4, 40), abs=1e-3)
    assert 80 - bottom == pytest.approx(20, abs=1e-3)


def test_layers_have_the_trades_names_and_one_ink():
    root = ET.fromstring(board_svg(board()))
    outer = root.find(f"{SVG_NS}g")
    assert [group.get("id") for group in outer] == list(PENS)
    assert {e.get("stroke") for e in root.iter() if e.get("stroke")} == {"#000"}
    assert {e.get("fill") for e in root.iter() if e.get("fill")} == {"none"}


def test_ids_are_the_only_ones_of_their_name():
    ids = [e.get("id") for e in ET.fromstring(board_svg(board())).iter() if e.get("id")]
    assert len(ids) == len(set(ids))


def test_a_title_with_markup_and_letters_xml_cannot_write_stays_words():
    svg = board_svg(board(title='Beans & <peas> "2" \x01\ufffe日本'))
    assert ET.fromstring(svg).find(f"{SVG_NS}title").text == 'Beans & <peas> "2" 日本'


def test_the_same_board_gives_the_same_bytes():
    assert board_svg(board()) == board_svg(board())


def _layer_of(name):
    return next(layer for layer in sorted(PENS, key=len, reverse=True) if name.startswith(layer))
