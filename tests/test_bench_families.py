"""Cuts of one shape are found wherever they stand, turned or mirrored, and are cut alike."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from bench_boards import FACES, of_height, tall_cuts
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.families import families, same_shape
from stopcut.bench.plan import Cut, CutLine, Trace
from stopcut.bench.trace import places_of


def wall(points: np.ndarray) -> Cut:
    """A wall along a line (k, 3)."""
    step = np.hypot(*np.diff(points[:, :2], axis=0).T)
    trace = Trace(step, np.zeros_like(step), points[:-1, 2], places_of(points))
    return Cut("1.1.1", 1, 1, "x", 1, "stem", "wall", "left", (CutLine(points),), (trace,), float(points[:, 2].max()))


def bow(length: float = 30.0, bend: float = 0.03, deep: float = 5.0) -> np.ndarray:
    angles = np.linspace(0, length * bend, 40)
    return np.column_stack([np.sin(angles) / bend, (1 - np.cos(angles)) / bend, np.full(40, deep)])


@given(st.floats(0, 360), st.booleans(), st.booleans(), st.floats(-200, 200))
def test_a_line_turned_mirrored_moved_or_run_the_other_way_is_the_same_shape(
    deg: float, mirrored: bool, reversed_: bool, by: float
) -> None:
    line = bow()
    a = math.radians(deg)
    turned = line.copy()
    turned[:, :2] = (
        line[:, :2]
        * ((-1, 1) if mirrored else (1, 1))
        @ np.array([[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]])
        + by
    )
    assert same_shape(wall(line), wall(turned[::-1] if reversed_ else turned))


@pytest.mark.parametrize("other", [bow(length=34), bow(bend=0.05), bow(deep=6), bow(bend=-0.0001)])
def test_a_longer_tighter_deeper_or_straight_line_is_another(other: np.ndarray) -> None:
    assert not same_shape(wall(bow()), wall(other))


def test_families_count_from_one_in_the_order_in_which_they_come() -> None:
    cuts = [wall(bow()), wall(bow(60)), wall(bow()[::-1]), replace(wall(bow()), kind="serif")]
    assert families(cuts) == [1, 2, 1, 3]


@pytest.mark.parametrize("family", FACES)
def test_equal_cuts_have_the_same_tool_technique_and_settings(family: str) -> None:
    seen: dict[int, tuple[object, ...]] = {}
    for cut in tall_cuts(family):
        held = (cut.tool, cut.technique.replace("pressed by hand", "struck"), cut.placements, cut.settings)
        assert seen.setdefault(cut.equals, held) == held


def test_the_four_brackets_of_an_i_are_one_family_and_so_are_its_two_facets_and_its_walls() -> None:
    own = [cut for cut in tall_cuts("cinzel") if cut.char == "I"]
    assert len(of_height("cinzel")) == 26
    brackets = {cut.equals for cut in own if cut.kind == "serif"}
    assert len([cut for cut in own if cut.kind == "serif"]) == 4
    assert len(brackets) == 1
    assert len({cut.equals for cut in own if cut.kind == "wall" and cut.side is None}) == 1
    assert len({cut.equals for cut in own if cut.kind == "wall" and cut.side is not None}) == 1


def test_the_serifs_of_an_h_are_cut_like_those_of_an_i_and_the_halves_of_an_o_like_each_other() -> None:
    cuts = tall_cuts("cinzel")
    brackets = {char: {cut.equals for cut in cuts if cut.char == char and cut.kind == "serif"} for char in "IH"}
    assert brackets["I"] == brackets["H"]
    outer = [cut for cut in cuts if cut.char == "O" and cut.side == "outside"]
    assert len(outer) == 4
    assert len({cut.tool for cut in outer}) == 1
