"""How walls are parted and tips cleaned, and the words for it."""

from __future__ import annotations

import dataclasses
import re

import numpy as np
import pytest
from bench_boards import FACES, alphabet_cuts, carved, carved_letters
from groove_shapes import RECTANGLE, RING

from stopcut.bench.cuts import cuts_for
from stopcut.bench.pared import LONGEST_TIP_MM, TIP_BEND, TIP_MM
from stopcut.bench.settings import PUBLISHED_BENCH, WHY_BENCH, BenchSettings, soft
from stopcut.bench.walls import SHORT_MM
from stopcut.shape.outline import polygon
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool, axis_deg
from stopcut.shop.woods import wood_called


def test_every_setting_says_whether_it_is_common_practice_or_our_choice() -> None:
    assert set(WHY_BENCH) == {field.name for field in dataclasses.fields(PUBLISHED_BENCH)}
    assert all(re.search("common practice|our choice", why) for why in WHY_BENCH.values())


def test_lime_and_pine_are_soft_and_oak_is_not() -> None:
    """Hardness: the published table's, from the Wood Handbook."""
    hardness = {name: wood_called(name).wood for name in ("lime", "eastern white pine", "white oak", "black walnut")}
    said = {name: soft(wood.hardness_lbf) for name, wood in hardness.items() if wood is not None}
    assert said == {"lime": True, "eastern white pine": True, "white oak": False, "black walnut": False}
    assert not soft(None)


@pytest.mark.parametrize("family", FACES)
def test_no_tip_is_longer_than_a_point_can_clean(family: str) -> None:
    tips = [cut for cut in alphabet_cuts(family) if cut.kind == "corner"]
    assert tips
    for tip in tips:
        assert tip.use == "point"
        assert tip.tool is not None
        assert tip.tool.kind == "fishtail"  # the narrowest of the roll's skews and fishtails
        assert tip.length_mm <= 2 * LONGEST_TIP_MM  # with what runs on past inner corners


def test_the_blunt_tip_of_a_serif_is_one_cut_however_many_edges_it_has() -> None:
    for family in ("cinzel", "eb_garamond"):
        cuts = cuts_for(carved_letters(family, "I"))
        assert len([cut for cut in cuts if cut.kind == "corner"]) == 4


def test_a_round_stroke_is_pared_in_pieces_of_one_bend_and_one_way() -> None:
    walls = [cut for cut in cuts_for(carved_letters("alegreya_sans", "O")) if cut.kind == "wall"]
    for wall in walls:
        assert wall.slice in ("along", "against")
        assert wall.bends[0] * wall.bends[1] > 0
        assert wall.bend == pytest.approx(np.clip(wall.bend, *wall.bends), abs=1e-5)
    concave, convex = ([w for w in walls if (w.bend > 0) == way] for way in (True, False))
    assert len(concave) >= 4  # the direction changes four times round a ring
    assert len(convex) >= 4


def test_hollow_walls_have_the_gouges_back_to_them_and_round_ones_its_hollow() -> None:
    for wall in alphabet_cuts("alegreya_sans"):
        if wall.kind == "wall" and wall.tool is not None and not wall.tool.straight:
            assert ("hollow to the wall" in wall.technique) == (sum(wall.bends) < 0)
            assert ("back to the wall" in wall.technique) == (sum(wall.bends) >= 0)


def test_straight_serifs_are_cut_with_straight_edges_alone_and_hollow_ones_with_gouges_too() -> None:
    def gouged(settings: BenchSettings) -> int:
        cuts = cuts_for(carved_letters("cinzel", "IEHT"), settings=settings)
        return sum(cut.kind == "serif" and cut.tool is not None and not cut.tool.straight for cut in cuts)

    assert gouged(BenchSettings(serifs="straight")) == 0
    assert gouged(BenchSettings(serifs="hollow")) > 10


def test_a_wall_is_leaned_into_as_the_bevel_asks_and_a_stop_cut_stands_upright() -> None:
    bench = Roll((Tool("bench chisel", "chisel", 8, bevel="single", edge_deg=25),))
    carving = Roll((Tool("carving chisel", "chisel", 8, bevel="double", edge_deg=20),))
    for roll, wall in ((bench, 85), (carving, 70)):
        cuts = cuts_for((carved(RECTANGLE),), roll)
        assert {cut.axis_deg for cut in cuts if cut.kind in ("stop", "end")} == {90}
        assert {cut.axis_deg for cut in cuts if cut.faces} == {wall}
        assert axis_deg(60, roll.tools[0].bevel, roll.tools[0].edge_deg) == wall


def test_deep_walls_are_taken_in_passes() -> None:
    cuts = cuts_for((carved(RECTANGLE),), settings=BenchSettings(pass_mm=3))
    assert {cut.passes for cut in cuts if cut.faces} == {3}  # 5 mm · tan 60° = 8.66 mm
    assert {cut.passes for cut in cuts_for((carved(RECTANGLE),), settings=BenchSettings(pass_mm=9))} == {1}


def test_every_cut_says_how_it_is_done() -> None:
    for cut in alphabet_cuts("cinzel"):
        assert cut.technique
        assert cut.placements >= 1
        assert cut.passes >= 1
        assert 0 < cut.edge_mm <= cut.tool.width_mm + 1e-9 if cut.tool else True
        assert (cut.points[:, 2] >= -1e-9).all()


def test_a_rings_inner_walls_are_on_one_side_of_its_strokes_and_the_outer_ones_on_the_other() -> None:
    angles = np.radians(np.arange(0, 360, 4))
    outer = [(20 + 20 * np.cos(a), 20 + 20 * np.sin(a)) for a in angles]
    inner = [(20 + 14 * np.cos(a), 20 + 14 * np.sin(a)) for a in angles[::-1]]
    cuts = [cut for cut in cuts_for((carved(polygon(outer, inner)),)) if cut.kind == "wall"]
    sides = {("outer" if cut.bend > 0 else "inner", cut.side) for cut in cuts}
    assert len(sides) == 2
    assert len({side for _, side in sides}) == 2


def test_a_square_rings_corners_need_no_more_than_their_walls() -> None:
    kinds = {cut.kind for cut in cuts_for((carved(RING),))}
    assert kinds <= {"stop", "end", "wall"}


def test_the_roll_decides_and_the_cuts_stay_where_they_are() -> None:
    few = Roll(tuple(tool for tool in published_roll().tools if tool.kind == "chisel"))
    grooves = carved_letters("alegreya_sans", "EIL")
    for with_all, with_few in zip(cuts_for(grooves), cuts_for(grooves, few), strict=False):
        assert with_all.kind == with_few.kind
    assert SHORT_MM <= TIP_MM
    assert TIP_BEND > 0
