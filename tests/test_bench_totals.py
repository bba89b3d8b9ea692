"""What a plan comes to, and how much of the groove it covers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from bench_boards import alphabet_cuts, carved, carved_letters
from groove_shapes import CROSS, RECTANGLE

from stopcut.bench.cuts import cuts_for
from stopcut.bench.plan import Cut
from stopcut.bench.totals import covered, swept, totals
from stopcut.groove.groove import groove
from stopcut.shape.placed import Placed


def moved(cut: Cut, times: object, by: object) -> Cut:
    """A cut whose lines are elsewhere, whatever faces they say they take."""
    return replace(cut, lines=tuple(replace(line, points=line.points * times + by) for line in cut.lines))


def test_the_long_wall_of_a_bar_sweeps_a_trapeze() -> None:
    cuts = cuts_for((carved(RECTANGLE),))
    long = next(cut for cut in cuts if cut.side == "upper" and cut.faces)
    assert swept(long, 60).area == pytest.approx(175)


@pytest.mark.parametrize("shape", [RECTANGLE, CROSS])
def test_all_of_a_plain_shape_is_covered(shape: object) -> None:
    board = (carved(shape),)  # type: ignore[arg-type]
    share = covered(board, cuts_for(board))
    assert (share.wall, share.centre) == pytest.approx((1, 1), abs=1e-6)


def test_a_cut_left_out_is_missed() -> None:
    board = (carved(RECTANGLE),)
    cuts = cuts_for(board)
    short = [cut for cut in cuts if cut.side != "upper"]
    assert covered(board, short).wall == pytest.approx(225 / 400)
    unstopped = [cut for cut in cuts if cut.kind != "stop"]
    assert covered(board, unstopped).centre < 0.02


def test_a_cut_that_is_too_shallow_covers_less() -> None:
    board = (carved(RECTANGLE),)
    cuts = [moved(cut, np.array([1, 1, 0.5]), 0.0) if cut.faces else cut for cut in cuts_for(board)]
    # Half as deep all along: a trapeze of half the height over each edge.
    assert covered(board, cuts).wall == pytest.approx(0.5)


def test_a_cut_in_the_wrong_place_covers_nothing_however_many_faces_it_claims() -> None:
    board = (carved(RECTANGLE),)
    cuts = [moved(cut, 1.0, np.array([100.0, 0, 0])) for cut in cuts_for(board)]
    share = covered(board, cuts)
    assert (share.wall, share.centre) == (0, 0)


def test_with_a_flat_bottom_the_walls_alone_are_covered() -> None:
    for letter in carved_letters("cinzel", "ES"):
        cut = groove(Placed(letter.placed.outline, 64.0, 0, 0, 0, 1, 1, "x"), 60.0, 2.0)
        assert covered((cut,), cuts_for((cut,))).wall >= 0.99


def test_totals_are_the_sums_of_the_cuts() -> None:
    cuts = alphabet_cuts("cinzel")
    whole = totals(cuts)
    assert whole.letters == 26
    assert whole.cuts == len(cuts) == sum(count for _, count in whole.by_tool) + whole.without
    assert whole.wall_mm2 == pytest.approx(sum(g.wall_area_mm2 for g in carved_letters("cinzel")))
    halves = totals([c for c in cuts if c.letter <= 13]), totals([c for c in cuts if c.letter > 13])
    assert whole.settings == sum(half.settings for half in halves)
    assert whole.stop_mm == pytest.approx(sum(half.stop_mm for half in halves))
    assert whole.deepest_mm == max(half.deepest_mm for half in halves)


def test_nothing_comes_to_nothing() -> None:
    assert totals(()).cuts == 0
    assert covered((), ()) == covered((), ())
    assert shapely.Polygon().is_empty
