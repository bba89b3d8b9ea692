"""How long it takes."""

from __future__ import annotations

import math
import random
from dataclasses import fields, replace

import pytest
from bench_boards import alphabet_cuts
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.minutes import (
    PUBLISHED_RATES,
    WHY_RATES,
    Logged,
    Pace,
    believed,
    cut_minutes,
    estimate,
    letter_minutes,
    logged_pace,
)
from stopcut.bench.order import pick_ups, working_order

LIME, OAK = 410.0, 1360.0  # side hardness [lbf] of basswood and white oak: Wood Handbook (FPL-GTR-190), chapter 5
RECKONED = list(letter_minutes(alphabet_cuts("cinzel"), LIME).values())


def carver(pace: float, seed: int, spread: float = PUBLISHED_RATES.letter_spread) -> list[float]:
    """Minutes that a carver of that pace takes for A to Z, straying from letter to letter."""
    chance = random.Random(seed)
    return [minutes * pace * math.exp(chance.gauss(0, spread)) for minutes in RECKONED]


def learnt(taken: list[float], letters: int) -> Pace:
    logged = [Logged(*pair) for pair in zip(RECKONED[:letters], taken, strict=False)]
    return logged_pace(believed("practised"), logged)


@pytest.mark.parametrize("pace", [0.5, 1.0, 1.7, 2.5])
def test_a_carver_of_known_pace_is_found_out_by_timing_letters(pace: float) -> None:
    within = 0
    for seed in range(100):
        found = learnt(carver(pace, seed), 20)
        within += abs(found.log_mean - math.log(pace)) <= 1.96 * found.log_spread
    # Expected 95 of 100; the belief that such a carver is practised pulls a little towards 1.
    assert within >= 88


def test_a_carver_who_stabs_twice_as_slowly_as_the_rates_is_found_out_for_the_board() -> None:
    own = replace(PUBLISHED_RATES, stab_s=12.0, stab_s_per_mm=3.0, mm2_per_min=120.0, pick_up_s=20.0)
    cuts = working_order(alphabet_cuts("cinzel"), "reading")
    taken = letter_minutes(cuts, LIME, own)
    reckoned = letter_minutes(cuts, LIME)
    first = sorted(taken)[:8]
    found = logged_pace(believed("practised"), [Logged(reckoned[key], taken[key]) for key in first])
    rest = [key for key in taken if key not in first]
    guess = estimate((reckoned[key] for key in rest), found)
    truth = sum(taken[key] for key in rest)
    assert guess.low <= truth <= guess.high
    assert abs(guess.likely / truth - 1) < 0.1
    assert abs(estimate((reckoned[key] for key in rest), believed("practised")).likely / truth - 1) > 0.2


def test_eight_boards_of_ten_lie_between_low_and_high() -> None:
    chance = random.Random(7)
    belief = believed("first board")
    guess = estimate(RECKONED, belief)
    within = 0
    for seed in range(400):
        pace = math.exp(chance.gauss(belief.log_mean, belief.log_spread))
        within += guess.low <= sum(carver(pace, seed)) <= guess.high
    assert 0.74 * 400 <= within <= 0.86 * 400


@given(st.lists(st.floats(0.2, 5.0), min_size=1, max_size=12))
def test_letters_logged_one_by_one_say_the_same_as_all_at_once(ratios: list[float]) -> None:
    letters = [Logged(10.0, 10.0 * ratio) for ratio in ratios]
    at_once = logged_pace(believed("daily"), letters)
    one_by_one = believed("daily")
    for letter in letters:
        one_by_one = logged_pace(one_by_one, [letter])
    assert at_once.log_mean == pytest.approx(one_by_one.log_mean)
    assert at_once.log_spread == pytest.approx(one_by_one.log_spread)
    assert at_once.letters == one_by_one.letters == len(ratios)


def test_one_logged_letter_with_a_belief_as_wide_as_its_spread_is_met_halfway() -> None:
    rates = replace(PUBLISHED_RATES, letter_spread=0.4)
    found = logged_pace(Pace(0.0, 0.4), [Logged(10.0, 10.0 * math.e)], rates)
    assert found.log_mean == pytest.approx(0.5)
    assert found.log_spread == pytest.approx(0.4 / math.sqrt(2))


def test_more_letters_logged_leave_less_spread() -> None:
    spreads = [learnt(carver(1.3, 1), letters).log_spread for letters in (0, 1, 5, 20)]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[-1] < 0.1


def test_harder_wood_skill_and_pick_ups_show_in_the_minutes() -> None:
    cuts = alphabet_cuts("cinzel")
    lime, oak = sum(letter_minutes(cuts, LIME).values()), sum(letter_minutes(cuts, OAK).values())
    assert 1.2 < oak / lime < math.sqrt(OAK / LIME)
    by_stroke = working_order(cuts, "stroke")
    saved = lime - sum(letter_minutes(by_stroke, LIME).values())
    fewer = pick_ups(cuts) - pick_ups(by_stroke)
    assert saved == pytest.approx(fewer * 8 / 60 * 1.15)
    likely = [estimate(RECKONED, believed(skill)).likely for skill in ("daily", "practised", "first board")]  # type: ignore[arg-type]
    assert likely == sorted(likely)


def test_a_cut_takes_what_its_settings_depth_and_area_say() -> None:
    stop = next(cut for cut in alphabet_cuts("cinzel") if cut.kind == "stop" and cut.use == "whole")
    stop = replace(stop, placements=3, passes=2, depth_mm=4.0)
    assert cut_minutes(stop, LIME) == pytest.approx((6 * 6.0 + 3 * 4 * 1.5) / 60 * 1.15)
    wall = next(cut for cut in alphabet_cuts("cinzel") if cut.kind == "wall" and cut.use == "whole")
    wall = replace(wall, placements=2, passes=1, wall_area_mm2=300.0)
    assert cut_minutes(wall, LIME) == pytest.approx((2 * 6.0 + 120.0) / 60 * 1.15)
    assert cut_minutes(wall, 4 * LIME) == pytest.approx((2 * 6.0 + 240.0) / 60 * 1.15)


def test_nothing_to_carve_takes_no_time() -> None:
    assert estimate((), believed("practised")).high == 0


def test_every_rate_has_its_reason() -> None:
    assert set(WHY_RATES) == {rate.name for rate in fields(PUBLISHED_RATES)}
