"""What a roll cannot do, and which tool would help most."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from bench_boards import carved_letters

from stopcut.bench.choose import Outfit, options
from stopcut.bench.cuts import cuts_for
from stopcut.bench.missing import USUAL, advice, badly_served
from stopcut.bench.settings import PUBLISHED_BENCH
from stopcut.shop.rates import PUBLISHED_RATES
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool

CHISELS = Roll((Tool("chisel 12", "chisel", 12), Tool("chisel 3", "chisel", 3)))
GOUGES = Roll((Tool("gouge 10", "gouge", 10, 12),))


def test_a_roll_of_gouges_lacks_a_chisel() -> None:
    cuts = cuts_for(carved_letters("alegreya_sans", "EHI"), GOUGES)
    found = advice(cuts)
    assert found is not None
    assert found.tool.kind == "chisel"
    assert found.helps == len(found.cuts) > 20


def test_the_advised_tool_does_serve_the_cuts_it_is_said_to() -> None:
    grooves = carved_letters("alegreya_sans", "EHLT")
    cuts = cuts_for(grooves, GOUGES)
    found = advice(cuts)
    assert found is not None
    bought = cuts_for(grooves, Roll((*GOUGES.tools, found.tool)))
    assert len(badly_served(bought)) <= len(badly_served(cuts)) - 0.9 * found.helps
    assert set(found.cuts) <= {cut.id for cut in badly_served(cuts)}


def test_no_other_usual_tool_helps_with_more() -> None:
    cuts = cuts_for(carved_letters("cinzel", "SCO"), GOUGES)
    best = advice(cuts)
    assert best is not None
    wanting = [cut for cut in badly_served(cuts) if cut.kind != "end"]
    for tool in USUAL[::7]:
        shop = Outfit(Roll((tool,)), PUBLISHED_BENCH, PUBLISHED_RATES, PUBLISHED_RATES.hardness_lbf)
        found = [options(replace(cut, tool=None), shop) for cut in wanting]
        helps = sum(bool(np.isfinite(one.seconds[0])) and one.missed_mm[0] <= 0.5 * one.run_mm for one in found)
        assert helps <= best.helps


def test_where_all_is_well_served_nothing_is_advised() -> None:
    cuts = cuts_for(carved_letters("alegreya_sans", "I"), published_roll())
    assert badly_served(cuts) == ()
    assert advice(cuts) is None


def test_chisels_alone_follow_a_round_letter_only_with_small_parts_of_their_edges() -> None:
    cuts = cuts_for(carved_letters("alegreya_sans", "O"), CHISELS)
    with_gouges = cuts_for(carved_letters("alegreya_sans", "O"), published_roll())
    assert sum(cut.placements for cut in cuts) > 1.2 * sum(cut.placements for cut in with_gouges)
