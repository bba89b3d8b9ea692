"""Whether a timed letter is believed: a slip of the clock is asked about, a slow carver is not called a liar."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.bench.believable import counted, far_off_findings, judged, share_in_words, span
from stopcut.bench.minutes import Logged, believed, estimate, logged_pace
from stopcut.shop.rates import Rates

PRACTISED = believed("practised")
minutes = st.floats(1.0, 100.0)


def test_a_letter_stopped_after_a_minute_does_not_make_an_afternoon_of_a_board() -> None:
    letters = [Logged(10.0, 10.5), Logged(10.0, 9.0), Logged(10.0, 0.7)]
    found = judged(PRACTISED, letters)
    assert [one.counts for one in found] == [True, True, False]
    board = [10.0] * 26
    with_slip = estimate(board, logged_pace(PRACTISED, letters)).likely
    without = estimate(board, logged_pace(PRACTISED, counted(found))).likely
    assert without == pytest.approx(254, abs=8)
    assert with_slip < 0.6 * without  # what it would have done


def test_a_clock_that_ran_on_overnight_is_not_believed_either() -> None:
    assert [one.counts for one in judged(PRACTISED, [Logged(10.0, 600.0)])] == [False]


def test_what_is_believed_strays_three_spreads_at_most() -> None:
    least, most = span(PRACTISED, Rates())
    # both spreads added in squares: sqrt(0.35² + 0.25²) = 0.430; e ** (3 × 0.430) = 3.63
    assert most == pytest.approx(3.63, abs=0.01)
    assert least == pytest.approx(1 / 3.63, abs=0.001)
    assert [judged(PRACTISED, [Logged(10, taken)])[0].counts for taken in (2.7, 2.8, 36, 37)] == [
        False,
        True,
        True,
        False,
    ]


def test_a_carver_who_says_so_is_believed_and_so_are_the_next_letters() -> None:
    slow = [Logged(10, 60, "R", sure=True), *[Logged(10, 50)] * 3]
    assert all(one.counts for one in judged(PRACTISED, slow))
    assert not judged(PRACTISED, slow[1:])[0].counts


@given(st.lists(st.builds(Logged, minutes, minutes), max_size=8))
def test_every_letter_that_is_counted_was_within_reach_of_what_was_believed_before_it(letters: list[Logged]) -> None:
    pace = PRACTISED
    for one in judged(PRACTISED, letters):
        least, most = span(pace)
        assert one.counts == (least <= one.letter.taken / one.letter.reckoned <= most)
        if one.counts:
            pace = logged_pace(pace, [one.letter])
    assert pace.letters == len(counted(judged(PRACTISED, letters)))


def test_a_letter_of_the_rates_that_is_far_off_is_named_and_says_what_would_do() -> None:
    found = far_off_findings(judged(PRACTISED, [Logged(12, 13), Logged(12, 3, "R of the gate board"), Logged(9, 90)]))
    assert [finding.code for finding in found] == ["time-far-off"] * 2
    assert "R of the gate board took 3 min, a quarter of what was expected" in found[0].says
    assert "timed letter 3" in found[1].says
    assert "sure = true" in found[0].remedy


def test_shares_are_said_as_one_says_them() -> None:
    said = [share_in_words(share) for share in (0.24, 0.5, 1 / 14, 4.0, 3.63, 12.4)]
    assert said == ["a quarter of", "half of", "one part in 14 of", "4 times", "3.6 times", "12 times"]
