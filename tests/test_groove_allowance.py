import math

import pytest
from glyphs import families, glyph
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.errors import CarverError
from stopcut.groove.allowance import allowance_mm, allowance_outline, allowance_placed, cut_depth_mm
from stopcut.groove.groove import groove
from stopcut.shape.offset import mitred
from stopcut.shape.outline import Outline, polygon
from stopcut.shape.placed import Placed
from stopcut.shape.regions import region_of

STEM = polygon([(0, 0), (10, 0), (10, 60), (0, 60)])


def _letter(char: str) -> Outline:
    outline = glyph(next(iter(families()["cinzel"].glob("*.ttf"))), 500, char)
    assert outline is not None
    return outline.scaled(85)


def test_a_stem_stands_out_by_what_comes_off_over_the_walls_slope():
    # Trigonometry: 0.5 mm off a wall of 60° narrows each side by 0.5 / √3.
    assert allowance_mm(0.5, 60) == pytest.approx(0.5 / math.sqrt(3))
    assert allowance_outline(STEM, 0.5, 60).bounds.width == pytest.approx(10 + 1 / math.sqrt(3))


@given(st.floats(0.1, 3), st.floats(30, 75))
@settings(max_examples=25)
def test_the_groove_of_the_pattern_is_deeper_by_what_comes_off(off, wall):
    designed = groove(Placed(STEM, 1, 0, 0), wall)
    cut = groove(Placed(allowance_outline(STEM, off, wall), 1, 0, 0), wall)
    assert cut.max_depth_mm == pytest.approx(cut_depth_mm(designed.max_depth_mm, off), rel=1e-6)


@pytest.mark.parametrize("char", "ARSO")
def test_taking_the_face_down_leaves_the_letter_as_designed(char):
    letter, off, wall = _letter(char), 0.6, 60
    pattern = allowance_outline(letter, off, wall)
    # The contour of the groove at the depth that comes off is its outline moved in by off / tan(wall), mitred.
    left = region_of(mitred(pattern, -off / math.tan(math.radians(wall)), 0.01), 0.01)
    designed_area = region_of(letter, 0.01)
    assert left.symmetric_difference(designed_area).area < 0.01 * designed_area.length  # 0.01 mm off, on average
    cut = groove(Placed(pattern, 1, 0, 0), wall)
    designed = groove(Placed(letter, 1, 0, 0), wall)
    if char != "A":  # the blunt inside of its apex, 0.3 mm broad, is closed to a point on the pattern
        assert cut.max_depth_mm - off == pytest.approx(designed.max_depth_mm, abs=0.04)
    # Below the plane that comes off lies the designed groove: its volume is what is left of the cut one.
    slab = _slab(pattern, off, wall)
    assert cut.volume_mm3 - slab == pytest.approx(designed.volume_mm3, rel=5e-3)


def _slab(pattern: Outline, off: float, wall: float, steps: int = 40) -> float:
    """Volume of the groove in the layer that comes off, by the trapezium rule over mitred offsets. [mm³]"""
    inward = off / math.tan(math.radians(wall))
    areas = [mitred(pattern, -inward * i / steps, 0.01).area for i in range(steps + 1)]
    return off / steps * (sum(areas) - (areas[0] + areas[-1]) / 2)


def test_a_placed_letter_keeps_its_place_and_unit():
    letter = Placed(STEM.scaled(0.01), 100, 20, 30, 15, line=1, index=2, char="I")
    drawn = allowance_placed(letter, 0.5, 60)
    assert (drawn.x_mm, drawn.y_mm, drawn.scale, drawn.turn_deg, drawn.char) == (20, 30, 100, 15, "I")
    assert drawn.outline.bounds.width * 100 == pytest.approx(10 + 1 / math.sqrt(3))
    assert allowance_placed(letter, 0, 60) is letter


@pytest.mark.parametrize(("off", "wall"), [(-1, 60), (math.inf, 60), (1, 0), (1, 90)])
def test_what_cannot_come_off_is_refused(off, wall):
    with pytest.raises(CarverError):
        allowance_mm(off, wall)
