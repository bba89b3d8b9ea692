"""Drawings read back against areas known in closed form; hostile ones are refused and cannot take the tool down."""

import contextlib
import math
import re
import time
from pathlib import Path

import numpy as np
import pathops
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from svgelements import SVG as OTHER_READER
from svgelements import Path as OtherPath

from stopcut.errors import BadFile
from stopcut.foreign import svg_unite
from stopcut.foreign.svg import read_drawing, read_svg
from stopcut.foreign.svg_paths import draw_path
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Outline

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


@pytest.fixture
def read(tmp_path):
    def _read(
        body: str, size: str = 'width="100mm" height="100mm" viewBox="0 0 100 100"', whole: bool = False
    ) -> Outline:
        path = tmp_path / "ornament.svg"
        path.write_text(body if whole else f"{HEAD} {size}>{body}</svg>", encoding="utf-8")
        return read_svg(path)

    return _read


SMALL = '<rect width="5" height="5"/>'
RING = (
    '<path d="M25 35c-5.523 0-10-4.477-10-10S19.477 15 25 15s10 4.477 10 10-4.477 10-10 10z'
    'm0-18c-4.418 0-8 3.582-8 8s3.582 8 8 8 8-3.582 8-8-3.582-8-8-8z"/>'
)
ACROSS = 2 * (math.sqrt(63) + 64 * math.asin(1 / 8))
"""What a bar 2 wide covers of a circle of 8. [units²]"""

# (body, area in mm²): elementary geometry; curves by their circles and ellipses.
SHAPES = {
    "a rectangle": ('<rect x="10" y="20" width="30" height="5"/>', 150),
    "a rectangle with round corners": ('<rect width="30" height="20" rx="5"/>', 600 - 100 + 25 * math.pi),
    "a circle": ('<circle cx="50" cy="50" r="10"/>', 100 * math.pi),
    "an ellipse": ('<ellipse cx="50" cy="50" rx="20" ry="10"/>', 200 * math.pi),
    "a polygon": ('<polygon points="0,0 30,0 0,40"/>', 600),
    "a path with an arc": ('<path d="M10 50 A20 20 0 0 1 50 50 Z"/>', 200 * math.pi),
    "a path of cubics, relative and smooth": ('<path d="m10 50c0-10 20-10 20 0s20 10 20 0v20h-40z"/>', 800),
    "a hole by the even-odd rule": ('<path fill-rule="evenodd" d="M0 0h20v20h-20z M5 5h10v10h-10z"/>', 300),
    "no hole by the non-zero rule": ('<path d="M0 0h20v20h-20z M5 5h10v10h-10z"/>', 400),
    "a hole run the other way": ('<path d="M0 0h20v20h-20z M5 5v10h10v-10z"/>', 300),
    "white on top": ('<rect width="20" height="20"/><rect x="5" y="5" width="10" height="10" fill="white"/>', 300),
    "white below": ('<rect width="20" height="20" fill="#fff"/><rect x="5" y="5" width="10" height="10"/>', 100),
    "shapes that overlap": ('<rect width="20" height="20"/><rect x="10" width="20" height="20"/>', 600),
    "a stroke": ('<path d="M10 10H60" fill="none" stroke="black" stroke-width="4"/>', 200),
    "a stroke in mm": ('<path d="M10 10H60" fill="none" stroke="#123" stroke-width="1mm"/>', 50 * 96 / 25.4),
    "nested transforms": (
        '<g transform="translate(50 50) scale(2)"><g transform="rotate(30)"><rect width="5" height="5"/></g></g>',
        100,
    ),
    "a matrix that mirrors": ('<g transform="matrix(-1 0 0 1 50 0)"><rect width="5" height="4"/></g>', 20),
    "a use": (
        '<defs><rect id="a" width="5" height="5"/></defs><use href="#a"/><use xlink:href="#a" x="20" y="20"/>',
        50,
    ),
    "a clip": (
        '<clipPath id="c"><rect width="10" height="10"/></clipPath><rect width="20" height="5" clip-path="url(#c)"/>',
        50,
    ),
    "a style": ('<rect width="9" height="9" style="fill:none"/><rect width="5" height="5" style="fill:#000"/>', 25),
    "a sheet of classes": (
        '<style>.a{fill:none}.b,#c{fill:#000}</style><rect class="a" width="9" height="9"/>'
        '<rect class="b" width="5" height="5"/><rect id="c" x="10" width="2" height="2"/>',
        29,
    ),
    "what is not shown": ('<rect width="5" height="5"/><rect width="50" height="50" display="none"/>', 25),
    "what is hidden": (
        '<rect width="5" height="5"/><g style="visibility:hidden"><rect width="50" height="50"/></g>',
        25,
    ),
    "an open path is closed by its fill": ('<path d="M0 0H10V10"/>', 50),
    "a stroke of no width": ('<rect width="9" height="9" fill="none" stroke="black" stroke-width="0"/>' + SMALL, 25),
    "a group's stroke of no width": ('<g stroke="black" stroke-width="0">' + SMALL + "</g>", 25),
    "a dot by a round stroke": (
        '<circle cx="50" cy="50" r="1" fill="none" stroke="black" stroke-width="2"/>',
        4 * math.pi,
    ),
    "dashes": ('<path d="M0 50H60" stroke="black" stroke-width="2" stroke-dasharray="10 5"/>', 4 * 20),
    "white that lets half through, in percent": (
        SMALL + '<rect width="3" height="3" fill="#fff" fill-opacity="50%"/>',
        25,
    ),
    "white that lets half through": (SMALL + '<rect width="3" height="3" fill="#fff" opacity="0.5"/>', 25),
    "white in a group that lets half through": (
        SMALL + '<g opacity="0.5"><rect width="3" height="3" fill="#fff"/></g>',
        25,
    ),
    "white by its numbers": (SMALL + '<rect width="3" height="3" fill="rgb( 255, 255 ,255 )"/>', 16),
    "white by its lightness": (SMALL + '<rect width="3" height="3" fill="hsl(0, 0%, 100%)"/>', 16),
    "white that is transparent": (SMALL + '<rect width="3" height="3" fill="rgba(255,255,255,0.5)"/>', 25),
    "what lies half off the page": ('<rect x="-10" y="90" width="20" height="20"/>', 100),
    "a share of the page": ('<rect width="100%" height="5%"/>', 500),
    "a share of the mean diagonal": ('<circle cx="50%" cy="50%" r="10%"/>', 100 * math.pi),
    # skia-pathops loses the bar's ends where they run into this ring; the circles are drawn to a tenth.
    "a ring with a bar across": (RING + '<path d="M16 24h18v2h-18z"/>', 36 * math.pi + ACROSS),
    "what other programs keep beside": (
        '<metadata><x xmlns="urn:x" y="1"/></metadata><title>leaf</title><rect width="5" height="5"/>',
        25,
    ),
}


@pytest.mark.parametrize("name", SHAPES)
def test_the_area_is_the_closed_formulas(read, name):
    body, area = SHAPES[name]
    outline = read(body)
    assert outline.area == pytest.approx(area, rel=3e-4)
    box = outline.bounds
    assert flatten(outline, 0.01).area == pytest.approx(area, rel=1e-3)
    assert box.left >= -21
    assert box.top <= 100 + 1e-3


def test_y_points_up_from_the_drawings_lower_left_corner(read):
    box = read('<rect x="10" y="20" width="30" height="5"/>').bounds
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx((10, 75, 40, 80), abs=1e-3)


@pytest.mark.parametrize(
    ("size", "mm"),
    [
        ('width="4in" height="4in" viewBox="0 0 100 100"', 101.6),
        ('width="20cm" height="20cm" viewBox="0 0 100 100"', 200),
        ('width="72pt" height="72pt" viewBox="0 0 100 100"', 25.4),
        ('viewBox="0 0 100 100"', 100 * 25.4 / 96),
        ('width="100%" height="100%" viewBox="0 0 100 100"', 100 * 25.4 / 96),
        ("", 100 * 25.4 / 96),
        ('width="50mm" height="100mm" viewBox="0 0 100 100"', 50),
    ],
)
def test_the_size_is_that_of_css_units(read, size, mm):
    assert read('<rect width="100" height="100"/>', size).bounds.width == pytest.approx(mm, rel=1e-6)


# (size, the page's width and height in mm): SVG 1.1, chapter 7.8. The page is inked all over.
PAGES = [
    ('width="60mm" height="40mm"', 60, 40),
    ('width="6cm" height="4cm" viewBox="0 0 300 200"', 60, 40),
    ('width="60mm" height="60mm" viewBox="0 0 300 200"', 60, 60),
    ('width="60mm" height="60mm" viewBox="0 0 300 200" preserveAspectRatio="none"', 60, 60),
    ('width="60mm" height="60mm" viewBox="0 0 300 200" preserveAspectRatio="xMaxYMin slice"', 60, 60),
    ('width="96" height="48px"', 25.4, 12.7),
    ('width="2in" height="72pt" viewBox=""', 50.8, 25.4),
    ('width="2in" height="72pt" viewBox="0 0 leaf 4"', 50.8, 25.4),
    ('width="2in" height="72pt" viewBox="0 0 -6 4"', 50.8, 25.4),
    ('width="6cm" height="4cm" viewBox=" 0, 0,\n300 , 200 "', 60, 40),
]


@pytest.mark.parametrize(("size", "width", "height"), PAGES)
def test_ink_all_over_is_as_large_as_the_page(read, size, width, height):
    box = read('<rect x="-999" y="-999" width="2999" height="2999"/>', size).bounds
    assert (box.left, box.bottom, box.right, box.top) == pytest.approx((0, 0, width, height), abs=1e-3)


def test_nothing_is_off_a_page_that_has_no_size(read):
    assert read('<rect x="-10" width="20" height="5"/>', "").area == pytest.approx(100 * (25.4 / 96) ** 2)


@pytest.mark.parametrize(("x", "share"), [(0, 0), (-5, 0.5), (97.5, 0.75)])
def test_what_is_off_the_page_is_left_out_and_counted(tmp_path, x, share):
    path = tmp_path / "ornament.svg"
    path.write_text(f'{HEAD} viewBox="0 0 100 100"><rect x="{x}" width="10" height="10"/></svg>', encoding="utf-8")
    assert read_drawing(path).off_page == pytest.approx(share, abs=1e-6)


def test_a_drawing_that_lies_off_its_page_is_refused_with_that(read):
    with pytest.raises(BadFile, match="off its page"):
        read('<rect x="-10" width="5" height="5"/>')


def test_where_the_curves_cannot_be_united_the_polygons_are_taken(monkeypatch):
    def lost(painted):
        return pathops.Path()

    monkeypatch.setattr(svg_unite, "_at_once", lost)
    monkeypatch.setattr(svg_unite, "_one_by_one", lost)
    circle = draw_path("M0 8192a8192 8192 0 0 1 16384 0a8192 8192 0 0 1-16384 0z", "nonzero")
    hole = draw_path("M4096 8192a4096 4096 0 0 1 8192 0a4096 4096 0 0 1-8192 0z", "nonzero")
    contours, off_page = svg_unite.united([svg_unite.Painted(circle, False), svg_unite.Painted(hole, True)], None)
    assert off_page == 0
    assert len(contours) == 2
    assert svg_unite._region(contours).area == pytest.approx(math.pi * (8192**2 - 4096**2), rel=5e-4)


def test_outer_rings_run_anticlockwise_and_holes_clockwise(read):
    outline = read('<path fill-rule="evenodd" d="M0 0h50v50h-50z M5 5h40v40h-40z M10 10h30v30h-30z"/>')
    assert sorted(round(contour.area) for contour in outline.contours) == [-1600, 900, 2500]


def test_curves_stay_curves(read):
    outline = read('<circle cx="50" cy="50" r="10"/>')
    assert all(len(segment) > 2 for segment in outline.segments)
    assert sum(1 for _ in outline.segments) <= 8


def test_another_svg_reader_sees_the_same_box(read, tmp_path):
    body = (
        '<g transform="translate(20 30) rotate(20) skewX(10)"><path d="M0 0 C10 -20 40 -20 60 0 S 20 40 0 0Z"/>'
        '<path d="M5 0 q 10 30 20 0 t 20 0 a 9 4 15 1 0 3 3 z"/></g>'
    )
    mine = read(body).bounds
    other = OTHER_READER.parse(str(tmp_path / "ornament.svg"), ppi=96)
    boxes = np.array([OtherPath(e).bbox() for e in other.elements() if isinstance(e, OtherPath)])
    to_mm = 25.4 / 96
    left, top, right, bottom = boxes[:, 0].min(), boxes[:, 1].min(), boxes[:, 2].max(), boxes[:, 3].max()
    assert mine.left == pytest.approx(left * to_mm, abs=0.02)
    assert mine.right == pytest.approx(right * to_mm, abs=0.02)
    assert mine.top == pytest.approx(100 - top * to_mm, abs=0.02)
    assert mine.bottom == pytest.approx(100 - bottom * to_mm, abs=0.02)


def test_a_doctype_without_declarations_is_only_a_name(read):
    whole = (
        '<?xml version="1.0" encoding="UTF-8"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" '
        f'"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">{HEAD}><rect width="9" height="9"/></svg>'
    )
    assert read(whole, whole=True).area > 0


def test_a_drawing_that_forgets_its_namespace_is_read(read):
    assert read(
        '<svg width="9mm" height="9mm" viewBox="0 0 9 9"><rect width="3" height="3"/></svg>', whole=True
    ).area == pytest.approx(9)


LAUGHS = (
    '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {chr(98 + i)} "{f"&{chr(97 + i)};" * 10}">' for i in range(9))
    + f"]>{HEAD}><text>&j;</text></svg>"
)
R = '<rect width="9" height="9"/>'
OUTSIDE = f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>{HEAD}><title>&x;</title>{R}</svg>'
BOMB = (
    f'{HEAD}><defs><g id="g0"><rect width="1" height="1"/></g>'
    + "".join(
        f'<g id="g{i}">{f"<use href=#g{i - 1}#/>".replace("#g", chr(34) + "#g").replace("#/", chr(34) + "/") * 10}</g>'
        for i in range(1, 12)
    )
    + '</defs><use href="#g11"/></svg>'
)
REFUSED = {
    "entities that laugh": (LAUGHS, "declares"),
    "an entity from a file": (OUTSIDE, "declares"),
    "a bomb of uses": (BOMB, "filled in"),
    "a use of itself": (f'{HEAD}><g id="a"><use href="#a"/></g></svg>', "uses itself"),
    "two uses of each other": (
        f'{HEAD}><g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></svg>',
        "uses itself",
    ),
    "a nest": (f"{HEAD}>{'<g>' * 5000}{R}{'</g>' * 5000}</svg>", "deep"),
    "a crowd": (f"{HEAD}>{R * 30000}</svg>", "elements"),
    "a script": (f"{HEAD}><script>1</script>{R}</svg>", "script"),
    "a handler": (f'{HEAD} onload="x()">{R}</svg>', "script"),
    "a page": (f"{HEAD}><foreignObject/>{R}</svg>", "page"),
    "a picture": (f'{HEAD}><image href="data:image/png;base64,AA"/>{R}</svg>', "picture"),
    "another file used": (f'{HEAD}><use href="other.svg#a"/></svg>', "another file"),
    "a far file used": (f'{HEAD}><use xlink:href="http://example.invalid/a.svg#a"/></svg>', "another file"),
    "a far fill": (f'{HEAD}><rect width="9" height="9" fill="url(http://example.invalid/a#b)"/></svg>', "another file"),
    "a far sheet": (f'<?xml-stylesheet href="a.css"?>{HEAD}>{R}</svg>', "style sheet"),
    "an imported sheet": (f'{HEAD}><style>@import "a.css";</style>{R}</svg>', "another file"),
    "words": (f"{HEAD}><text>leaf</text></svg>", "text into paths"),
    "a mask": (f'{HEAD}><mask id="m">{R}</mask>{R}</svg>', "mask"),
    "movement": (f'{HEAD}><rect width="9" height="9"><animate attributeName="x"/></rect></svg>', "moves"),
    "no number": (f'{HEAD}><rect width="nan" height="9"/></svg>', "no number"),
    "no number in a path": (f'{HEAD}><path d="M0 0L9 NaN 9 9z"/></svg>', "no number"),
    "endless": (f'{HEAD}><rect width="1e999" height="9"/></svg>', "no number"),
    "huge numbers": (f'{HEAD} width="1e30mm" height="1e30mm" viewBox="0 0 1 1">{R}</svg>', "farther"),
    "a broken path": (f'{HEAD}><path d="M0 0 L leaf 9"/></svg>', "cannot be read"),
    "nothing painted": (f'{HEAD}><rect width="9" height="9" fill="none"/></svg>', "no closed shape"),
    "a page of no width": (f'{HEAD} width="0" height="9">{R}</svg>', "no width"),
    "a page of no height": (f'{HEAD} width="9" height="0mm">{R}</svg>', "no height"),
    "a view of nothing": (f'{HEAD} width="9" height="9" viewBox="0 0 0 9">{R}</svg>', "nothing of it is shown"),
    "nothing at all": (f"{HEAD}/>", "no closed shape"),
    "another document": ("<html><body/></html>", "no SVG"),
    "no XML": ("leaf", "no SVG drawing"),
    "half a file": (f"{HEAD}><rect", "no SVG drawing"),
    "an empty file": ("", "no SVG drawing"),
    "a clever sheet": (f"{HEAD}><style>g > rect:hover{{fill:red}}</style>{R}</svg>", "style sheet"),
    "a use of nothing": (f'{HEAD}><use href="#leaf"/></svg>', "has not"),
    "a length in ems": (f'{HEAD}><rect width="5em" height="9"/></svg>', "plain"),
    "no transform": (f'{HEAD}><g transform="scale(leaf)">{R}</g></svg>', r"transform='scale\(leaf\)'"),
    "no opacity": (f'{HEAD}><rect width="9" height="9" opacity="half"/></svg>', "opacity='half'"),
    "no points": (f'{HEAD}><polygon points="0,0 9,leaf"/></svg>', "points='0,0 9,leaf'"),
    "no cap": (f'{HEAD}><path d="M0 0h9" stroke="black" stroke-linecap="pointed"/></svg>', "stroke-linecap"),
    "an undeclared entity": (f"{HEAD}><title>&hello;</title>{R}</svg>", "no SVG drawing"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_is_no_plain_drawing_is_refused_and_says_why(read, name):
    whole, why = REFUSED[name]
    with pytest.raises(BadFile, match=why) as refusal:
        read(whole, whole=True)
    assert "ornament.svg cannot be used" in str(refusal.value)
    assert not re.search(
        "Traceback|Error|Exception|convert|NoneType|index|unpack|token|syntax|element found", str(refusal.value)
    )


# fmt: off
SCRAPS = [
    "<g>", "</g>", "<rect", " width='9'", " height='9'", "/>", "<path d='", "M0 0h9v9z", "A1 1 0 0 1 5 5", "1e9", "'/>",
    "'>", "-", "\x00", "é", "<svg", "<!--", "-->", "<use href='#a'/>", "<g id='a'>", " transform='", "scale(0)",
    "matrix(1 2 3)", "rotate(1,2,3,4)", "<style>.a{", "fill:none}", "</style>", " fill='", "url(#a)", "&amp;",
    "<![CDATA[", "]]>", " clip-path='", " stroke='red' stroke-width='2'", " opacity='x'", "<symbol id='a'>",
]
# fmt: on


@given(st.lists(st.sampled_from(SCRAPS), max_size=14))
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_in_a_file_it_is_read_or_refused(read, scraps):
    with contextlib.suppress(BadFile):
        outline = read("".join(scraps))
        assert outline.area > 0
        assert all(math.isfinite(v) for segment in outline.segments for point in segment for v in point)


def test_a_drawing_that_takes_too_long_is_given_up(tmp_path, monkeypatch):
    monkeypatch.setattr("stopcut.foreign.svg.SECONDS", 0.5)
    path = tmp_path / "endless.svg"
    path.write_text(f'{HEAD}><path d="M0 0{"L9 9 0 8" * 400_000}z"/></svg>', encoding="utf-8")
    with pytest.raises(BadFile, match=r"too long|not done"):
        read_svg(path)


def test_elements_may_be_written_with_a_prefix(read):
    head = '<s:svg xmlns:s="http://www.w3.org/2000/svg" viewBox="0 0 9 9" width="9mm">'
    whole = f'{head}<s:rect width="3" height="3"/></s:svg>'
    assert read(whole, whole=True).area == pytest.approx(9)


def test_a_file_too_large_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "huge.svg"
    with path.open("wb") as file:
        file.truncate(2**31)
    with pytest.raises(BadFile, match="larger than"):
        read_svg(path)


def test_a_missing_file_and_a_folder_are_refused(tmp_path):
    with pytest.raises(BadFile, match="no such file"):
        read_svg(tmp_path / "none.svg")
    with pytest.raises(BadFile, match="folder"):
        read_svg(tmp_path)


def test_the_next_drawing_is_read_after_a_hostile_one(read):
    with pytest.raises(BadFile):
        read(BOMB, whole=True)
    assert read(R).area == pytest.approx(81)


def test_a_dense_ornament_of_ten_thousand_points_is_read_whole(read):
    turn = np.linspace(0, 2 * math.pi, 10_000, endpoint=False)
    reach = 40 + 4 * np.random.default_rng(7).random(len(turn))
    x, y = 50 + reach * np.cos(turn), 50 + reach * np.sin(turn)
    points = " ".join(f"{a:.5f},{b:.5f}" for a, b in zip(x, y, strict=True))
    outline = read(f'<polygon points="{points}"/>')
    area = (np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2  # the surveyor's formula
    assert outline.area == pytest.approx(area, rel=1e-4)
    assert sum(1 for _ in outline.segments) > 9_500  # corners that hardly stand out from their neighbours may go


def test_reading_leaves_no_trace_of_the_clock(read):
    first = read(R)
    time.sleep(0.01)
    assert read(R).digest == first.digest


def test_the_path_may_have_any_letters(tmp_path):
    path: Path = tmp_path / "Blätter und 花.svg"
    path.write_text(f"{HEAD}>{R}</svg>", encoding="utf-8")
    assert read_svg(path).area > 0
