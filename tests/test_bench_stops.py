"""Stop cuts and end cuts: where they run and how deep."""

from __future__ import annotations

import math

import numpy as np
import pytest
from bench_boards import FACES, along_of, carved, carved_letters, of_height
from groove_shapes import CROSS, RECTANGLE

from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.stops import Stab, stabs
from stopcut.bench.strokes import strokes_of
from stopcut.groove.surface import Groove
from stopcut.shape.outline import polygon

TAN = math.tan(math.radians(60))


def of(groove: Groove, settings: BenchSettings = PUBLISHED_BENCH) -> list[Stab]:
    return stabs(groove, strokes_of(groove, (1, 1)), settings)


def stops(groove: Groove, settings: BenchSettings = PUBLISHED_BENCH) -> list[Stab]:
    return [stab for stab in of(groove, settings) if stab.kind == "stop"]


def test_a_bar_is_stopped_along_its_middle_and_its_two_ends_are_rolled_into_two_corners_each() -> None:
    groove = carved(RECTANGLE)
    ((line,),) = [stab.lines for stab in stops(groove)]
    assert {tuple(line[0, :2].round(6)), tuple(line[-1, :2].round(6))} == {(5, 5), (35, 5)}
    assert line[:, 2] == pytest.approx(np.full(len(line), 5 * TAN - 0.3))
    ends = [stab for stab in of(groove) if stab.kind == "end"]
    assert [len(end.lines) for end in ends] == [2, 2]
    corners = {tuple(line[-1].round(6)) for end in ends for line in end.lines}
    assert corners == {(0, 0, 0), (40, 0, 0), (40, 10, 0), (0, 10, 0)}
    for end in ends:
        assert end.lines[0][0, 2] == pytest.approx(5 * TAN - 0.3)


def test_a_shallow_groove_is_stopped_a_share_short_and_a_deep_one_by_the_setting() -> None:
    thin = carved(polygon([(0, 0), (40, 0), (40, 1), (0, 1)]))
    (stop,) = stops(thin)
    assert stop.lines[0][:, 2].max() == pytest.approx(0.8 * 0.5 * TAN)
    (full,) = stops(thin, BenchSettings(short_mm=0))
    assert full.lines[0][:, 2].max() == pytest.approx(0.5 * TAN)


def test_a_stop_cut_runs_through_where_a_bar_joins_the_stem() -> None:
    (groove,) = of_height("cinzel", "E")
    whole = [stab for stab in stops(groove) if len(stab.lines) == 1]
    assert len(stops(groove)) == 4  # the stem and its three bars
    stem = max(whole, key=lambda stab: np.ptp(stab.lines[0][:, 1]))
    assert np.ptp(stem.lines[0][:, 1]) > 0.8 * 60
    assert {len(stab.lines) for stab in stops(carved(CROSS))} <= {1, 2}


@pytest.mark.parametrize("family", FACES)
def test_a_stroke_has_one_stop_cut_and_all_centre_line_lies_on_one(family: str) -> None:
    for groove in carved_letters(family):
        found = stops(groove)
        numbers = [stab.stroke for stab in found if stab.stroke]
        assert len(numbers) == len(set(numbers))
        length = sum(along_of(line)[-1] for stab in found for line in stab.lines)
        centre = sum(
            along_of(line.points)[-1] for line in groove.lines if line.kind == "centre" and len(line.points) > 1
        )
        assert length == pytest.approx(centre, rel=1e-6)


def test_ends_begin_where_a_stop_cut_or_another_end_begins_or_ends() -> None:
    for groove in carved_letters("cinzel", "IEH"):
        found = of(groove)
        places = [line[end] for stab in found for line in stab.lines for end in (0, -1)]
        for stab in found:
            if stab.kind == "end":
                near = sorted(float(np.hypot(*(place - stab.lines[0][0])[:2])) for place in places)
                assert near[1] <= 0.05  # nearest is its own beginning


@pytest.mark.parametrize("family", FACES)
def test_no_cut_is_stabbed_deeper_than_the_groove(family: str) -> None:
    for groove in carved_letters(family):
        for line in (line for stab in of(groove) for line in stab.lines):
            assert (line[:, 2] >= -1e-9).all()
            assert line[:, 2].max() < groove.max_depth_mm


def test_a_round_dot_is_one_mark_in_its_middle() -> None:
    angles = np.radians(np.arange(0, 360, 5))
    dot = carved(polygon([(10 + 5 * math.cos(a), 10 + 5 * math.sin(a)) for a in angles]))
    (mark,) = of(dot)
    assert mark.lines[0][0, :2] == pytest.approx((10, 10), abs=0.05)
    assert len(mark.lines[0]) == 1
