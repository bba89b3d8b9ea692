"""Letters that are not what their writing wants are told of: unjoined, of a false height, figures that do not suit."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from making_fonts import instance, packaged, saved

from stopcut.errors import Severity
from stopcut.job.read import parse_job
from stopcut.lettering.line_letters import LineRequest, letter_line
from stopcut.shape.placed import Placed
from stopcut.shape.regions import region_of
from stopcut.work import Work

BEH, ALEF = "\u0628", "\u0627"
JOINING = (
    "languagesystem arab dflt; feature init { sub beh by beh.init; } init; feature fina { sub beh by beh.fina; } fina;"
)
BOARD = 'format = 1\ntitle = "x"\n[board]\nwidth = 900\nheight = 300\nthickness = 30\n[lettering]\ncap_height = 36\n'


def _arabic(path: Path, features: str = "") -> Path:
    """A font of blocks: beh and alef, and what a feature file makes of them."""
    sizes = {".notdef": 500, "space": 300, "beh": 600, "beh.init": 400, "beh.fina": 500, "alef": 200, "H": 700}
    builder = FontBuilder(1000)
    builder.setupGlyphOrder(list(sizes))
    builder.setupCharacterMap({32: "space", 72: "H", ord(BEH): "beh", ord(ALEF): "alef"})
    glyphs = {}
    for name, width in sizes.items():
        pen = TTGlyphPen(None)
        if name != "space":
            for i, point in enumerate([(0, 0), (0, 700), (width, 700), (width, 0)]):
                (pen.lineTo if i else pen.moveTo)(point)
            pen.closePath()
        glyphs[name] = pen.glyph()
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics({name: (width, 0) for name, width in sizes.items()})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Blocks", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    if features:
        addOpenTypeFeaturesFromString(builder.font, features)
    builder.save(path)
    return path


def _codes(request: LineRequest) -> dict[str, str]:
    return {note.code: note.says for note in letter_line(request).notes}


def test_a_writing_that_joins_in_a_face_that_does_not_is_a_stop(tmp_path: Path) -> None:
    face = str(_arabic(tmp_path / "blocks.ttf"))
    (note,) = letter_line(LineRequest(BEH + BEH + ALEF, face, line=2)).notes
    assert (note.code, note.severity, note.where.line) == ("not-joined", Severity.STOP, 2)
    assert "misspelt" in note.says


def test_a_face_that_joins_says_nothing(tmp_path: Path) -> None:
    face = str(_arabic(tmp_path / "blocks.ttf", JOINING))
    assert _codes(LineRequest(BEH + BEH, face)) == {}


@pytest.mark.parametrize("words", [ALEF + BEH, f"{BEH} {BEH}", BEH, f"{BEH}\u200c{BEH}", "H"])
def test_letters_that_need_no_joining_say_nothing(tmp_path: Path, words: str) -> None:
    assert _codes(LineRequest(words, str(_arabic(tmp_path / "blocks.ttf")))) == {}


def test_joins_that_the_font_makes_are_silent_and_others_are_said(tmp_path: Path) -> None:
    face = _arabic(tmp_path / "blocks.ttf", JOINING)
    joined = Work(parse_job(f'{BOARD}face = "{face}"\n[[line]]\nwords = "{BEH}{BEH}"\n'))
    assert [len(group) for group in joined.joined] == [2]
    assert "touching" not in {finding.code for finding in joined.findings}
    latin = Work(parse_job(f'{BOARD}[[line]]\nwords = "OO"\nshifts = [{{ pair = "OO", by = -20 }}]\n'))
    assert "touching" in {finding.code for finding in latin.findings}


def test_a_cap_height_that_the_letters_deny_is_not_taken_and_is_said(tmp_path: Path) -> None:
    font = instance(packaged("Cinzel"), 400, "HIO ")
    font["glyf"]["H"] = font["glyf"]["O"]  # an H without a flat top, as scripts have it
    for stated, false in ((0.195, True), (0.7, False)):
        font["OS/2"].sCapHeight = round(stated * font["head"].unitsPerEm)
        path = tmp_path / f"stated-{stated}.ttf"
        path.write_bytes(saved(font))
        lettered = letter_line(LineRequest("HOI", str(path)))
        assert lettered.face.cap_height == pytest.approx(0.7, abs=0.03)
        assert ("false-cap-height" in {note.code for note in lettered.notes}) == false


def test_old_style_figures_beside_capitals_are_noted_with_lining_ones_as_the_remedy() -> None:
    (note,) = (one for one in letter_line(LineRequest("PLOT 17", "Cormorant")).notes if one.code == "old-style-figures")
    assert 'features = ["lnum"]' in note.remedy
    for words, features in (("PLOT 17", ("lnum",)), ("PLOT 17", ("onum",)), ("plot 17", ()), ("17", ()), ("PLOT", ())):
        assert "old-style-figures" not in _codes(LineRequest(words, "Cormorant", features=features))
    assert "old-style-figures" not in _codes(LineRequest("PLOT 17", "Cinzel"))


@pytest.mark.parametrize("face", ["Cinzel", "EB Garamond", "Jost", "Cormorant"])
@pytest.mark.parametrize("words", ["1897–2027", "1914–1918", "12.7.04", "17-71", "2–7", "5·7"])
def test_a_dash_or_point_between_figures_stands_as_far_from_one_as_from_the_other(face: str, words: str) -> None:
    placed = Work(parse_job(f'{BOARD}face = "{face}"\n[[line]]\nwords = "{words}"\n')).setting.placed
    apart = [_wood(one, other) for one, other in pairwise(placed)]
    marks = [i for i, one in enumerate(placed) if not one.char.isdecimal()]
    assert marks
    for i in marks:  # rows of the profile are 0.36 mm high
        assert apart[i - 1] == pytest.approx(apart[i], abs=0.4)
        assert 4 < apart[i] < 13


@pytest.mark.parametrize("face", ["Cinzel", "EB Garamond"])
def test_a_colon_between_figures_stands_as_far_from_one_as_from_the_other(face: str) -> None:
    placed = Work(parse_job(f'{BOARD}face = "{face}"\n[[line]]\nwords = "10:30"\n')).setting.placed
    assert _wood(placed[1], placed[2]) == pytest.approx(_wood(placed[2], placed[3]), abs=0.4)  # 6.1 and 2.1 in Cinzel


def _wood(one: Placed, other: Placed) -> float:
    return region_of(one.on_board, 0.02).distance(region_of(other.on_board, 0.02))
