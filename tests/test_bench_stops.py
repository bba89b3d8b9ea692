"""Stop cuts and end cuts: where they run and how deep."""

from __future__ import annotations

import math

import numpy as np
import pytest
from bench_boards import FACES, along_of, carved, carved_letters
from groove_shapes import RECTANGLE

from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.stops import stabs
from stopcut.shape.outline import polygon

TAN = math.tan(math.radians(60))


def test_a_bar_is_stopped_along_its_middle_and_ended_into_its_four_corners() -> None:
    found = stabs(carved(RECTANGLE), PUBLISHED_BENCH)
    (stop,) = [stab for stab in found if stab.kind == "stop"]
    assert {tuple(stop.line[0, :2].round(6)), tuple(stop.line[-1, :2].round(6))} == {(5, 5), (35, 5)}
    assert stop.line[:, 2] == pytest.approx(np.full(len(stop.line), 5 * TAN - 0.3))
    ends = [stab for stab in found if stab.kind == "end"]
    assert {tuple(end.line[-1].round(6)) for end in ends} == {(0, 0, 0), (40, 0, 0), (40, 10, 0), (0, 10, 0)}
    for end in ends:
        assert end.line[0, 2] == pytest.approx(5 * TAN - 0.3)


def test_a_shallow_groove_is_stopped_a_share_short_and_a_deep_one_by_the_setting() -> None:
    thin = carved(polygon([(0, 0), (40, 0), (40, 1), (0, 1)]))
    (stop,) = [stab for stab in stabs(thin, PUBLISHED_BENCH) if stab.kind == "stop"]
    assert stop.line[:, 2].max() == pytest.approx(0.8 * 0.5 * TAN)
    (full,) = [stab for stab in stabs(thin, BenchSettings(short_mm=0)) if stab.kind == "stop"]
    assert full.line[:, 2].max() == pytest.approx(0.5 * TAN)


def test_a_romans_stop_cut_ends_where_the_serif_starts_to_flare() -> None:
    (groove,) = carved_letters("cinzel", "I")
    run = sum(end - start for line in groove.lines for start, end in line.parallel)
    stops = [stab for stab in stabs(groove, PUBLISHED_BENCH) if stab.kind == "stop"]
    assert sum(along_of(stab.line)[-1] for stab in stops) == pytest.approx(run, rel=1e-3)


def test_end_cuts_begin_where_a_stop_cut_or_another_end_cut_ends() -> None:
    for groove in carved_letters("cinzel", "IEH"):
        found = stabs(groove, PUBLISHED_BENCH)
        places = [stab.line[end] for stab in found for end in (0, -1)]
        for stab in found:
            if stab.kind == "end":
                near = sorted(float(np.hypot(*(place - stab.line[0])[:2])) for place in places)
                assert near[1] <= 0.05  # nearest is its own beginning


@pytest.mark.parametrize("family", FACES)
def test_no_cut_is_stabbed_deeper_than_the_groove(family: str) -> None:
    for groove in carved_letters(family):
        for stab in stabs(groove, PUBLISHED_BENCH):
            assert (stab.line[:, 2] >= -1e-9).all()
            assert stab.line[:, 2].max() < groove.max_depth_mm


def test_a_round_dot_is_one_mark_in_its_middle() -> None:
    angles = np.radians(np.arange(0, 360, 5))
    dot = carved(polygon([(10 + 5 * math.cos(a), 10 + 5 * math.sin(a)) for a in angles]))
    (mark,) = stabs(dot, PUBLISHED_BENCH)
    assert mark.line[0, :2] == pytest.approx((10, 10), abs=0.05)
    assert len(mark.line) == 1
