"""How long it takes."""

from __future__ import annotations

import math
import random
from dataclasses import fields, replace
from itertools import pairwise

import numpy as np
import pytest
from bench_boards import ALPHABET, BASSWOOD, of_height, tall_cuts
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
    seconds_of,
)
from stopcut.bench.order import pick_ups, working_order
from stopcut.bench.planned import planned

OAK = 1360.0  # side hardness of white oak: Wood Handbook (FPL-GTR-190), chapter 5 [lbf]
RECKONED = list(letter_minutes(tall_cuts("cinzel")).values())


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


def test_a_carver_who_stabs_three_times_as_slowly_as_the_rates_is_found_out_for_the_board() -> None:
    own = replace(PUBLISHED_RATES, stab_s=6.0, pare_s_per_mm=3.0, mm2_per_min=400.0, pick_up_s=20.0)
    grooves = of_height("cinzel")
    taken = planned(grooves, order="reading", rates=own, hardness_lbf=BASSWOOD).reckoned
    reckoned = planned(grooves, order="reading", hardness_lbf=BASSWOOD).reckoned
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


def minutes_at(cap_mm: float, hardness: float = BASSWOOD) -> dict[str, float]:
    """Likely minutes of each letter of Cinzel, practised."""
    grooves = of_height("cinzel", ALPHABET, cap_mm)
    plan = planned(grooves, order="reading", hardness_lbf=hardness)
    return {ALPHABET[letter - 1]: minutes for (_, letter), minutes in plan.letter_minutes.items()}


def test_a_practised_carvers_letters_take_what_the_published_pace_says() -> None:
    """A 60 mm serifed capital in lime or basswood, practised carver: I, L, T 5 to 9 minutes; E, F, H, N, A 9 to 16; R,
    B, O, S, W 10 to 20. Common practice, between a working letter cutter's public work diary of 2014 (three to four
    two-inch V-cut capitals an hour in limestone) and a teacher's I and E in basswood in four to five minutes each."""
    found = minutes_at(60.0)
    for letters, low, high in (("ILT", 5, 9), ("EFHNA", 9, 16), ("RBOSW", 10, 20)):
        for char in letters:
            assert low <= round(found[char]) <= high, (char, found[char])


def test_letters_of_35_mm_take_about_half_as_long_as_those_of_60_and_oak_longer_by_its_hardness() -> None:
    tall, small, oak = minutes_at(60.0), minutes_at(35.0), minutes_at(60.0, OAK)
    assert 0.45 <= sum(small.values()) / sum(tall.values()) <= 0.62
    # What is cut takes (1360 / 410) ** 0.5 = 1.82 times as long; finding the line and taking up tools does not.
    assert 1.3 < sum(oak.values()) / sum(tall.values()) < 1.9


def test_skill_and_pick_ups_show_in_the_minutes() -> None:
    cuts = tall_cuts("cinzel")
    by_letter, by_stroke = (working_order(cuts, way) for way in ("reading", "stroke"))  # type: ignore[arg-type]
    saved = sum(letter_minutes(by_letter).values()) - sum(letter_minutes(by_stroke).values())
    fewer = pick_ups(by_letter) - pick_ups(by_stroke)
    assert saved == pytest.approx(fewer * PUBLISHED_RATES.pick_up_s / 60 * (1 + PUBLISHED_RATES.rest))
    likely = [estimate(RECKONED, believed(skill)).likely for skill in ("daily", "practised", "first board")]  # type: ignore[arg-type]
    assert likely == sorted(likely)


def test_a_cut_takes_what_its_settings_depth_and_area_say() -> None:
    rates = PUBLISHED_RATES
    stop = next(cut for cut in tall_cuts("cinzel") if cut.kind == "stop" and cut.missed_mm == 0)
    none, one = np.zeros(1), np.ones(1)
    said = seconds_of(stop, 6 * one, 12 * one, none, BASSWOOD)
    assert said == pytest.approx(6 * rates.stab_s + 12 * rates.stab_s_per_mm)
    wall = replace(next(cut for cut in tall_cuts("cinzel") if cut.kind == "wall"), wall_area_mm2=300.0)
    said = seconds_of(wall, 2 * one, 10 * one, 3 * one, BASSWOOD)
    pared = 10 * rates.pare_s_per_mm + 60 * 300 / rates.mm2_per_min + 3 * rates.point_s_per_mm
    assert said == pytest.approx(2 * rates.pare_s + pared)
    assert seconds_of(wall, 2 * one, 10 * one, 3 * one, 4 * BASSWOOD) == pytest.approx(2 * rates.pare_s + 2 * pared)
    assert cut_minutes(replace(wall, seconds=60.0)) == pytest.approx(1 + rates.rest)


def test_nothing_to_carve_takes_no_time() -> None:
    assert estimate((), believed("practised")).high == 0


def test_every_rate_has_its_reason() -> None:
    assert set(WHY_RATES) == {rate.name for rate in fields(PUBLISHED_RATES)}


def test_a_letters_minutes_are_its_cuts_its_pick_ups_and_its_own_with_the_rest_on_each() -> None:
    rates = replace(PUBLISHED_RATES, rest=0.25, pick_up_s=30.0, letter_s=60.0)
    cuts = tall_cuts("cinzel", "L")
    held = [cut.tool.name for cut in cuts if cut.tool is not None]
    taken = 1 + sum(one != other for one, other in pairwise(held))
    wanted = (60.0 + 30.0 * taken + sum(cut.seconds for cut in cuts)) * 1.25 / 60
    assert letter_minutes(cuts, rates) == {cuts[0].key: pytest.approx(wanted)}
