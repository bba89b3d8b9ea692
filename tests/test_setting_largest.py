"""The largest value that fits: as halving would find it, in far fewer trials."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stopcut.setting.largest import largest

WITHIN = (1.0, 2000.0)
STEP = 0.01


def found(over, first: float = 50.0) -> tuple[float | None, int]:
    """What is found, and after how many trials."""
    tried: list[float] = []

    def once(value: float) -> float:
        tried.append(value)
        return over(value)

    return largest(once, WITHIN, STEP, first, lambda value, by: value / (1 + by) if by > -1 else 2 * value), len(tried)


@given(st.floats(5, 1900), st.floats(1, 2000), st.floats(0.5, 1), st.floats(0, 4))
def test_what_is_nearly_in_proportion_is_found_in_a_few_trials(
    room: float, first: float, tight: float, wood: float
) -> None:
    """A line as wide as it is high, or where its letters must leave wood between them, less and that wood."""
    value, trials = found(lambda height: max(height, tight * height + wood) / room - 1, first)
    root = min(room, (room - wood) / tight)
    assert value is not None
    assert root - STEP / 4 - 1e-9 <= value <= root + 1e-9
    assert trials <= 12  # halving takes twenty


@given(st.lists(st.tuples(st.floats(2, 1900), st.floats(1e-4, 10)), min_size=1, max_size=5), st.floats(1, 2000))
def test_whatever_grows_is_found_to_the_same_tolerance(pieces: list[tuple[float, float]], first: float) -> None:
    def over(value: float) -> float:
        return max((value - root) * slope for root, slope in pieces)

    value, _ = found(over, first)
    root = min(root for root, _ in pieces)
    assert value is not None
    assert root - STEP / 4 - 1e-9 <= value <= root + 1e-9


@pytest.mark.parametrize("jump", [3.0, 47.0, 1200.0])
def test_a_leap_is_closed_in_on_as_by_halving(jump: float) -> None:
    value, _ = found(lambda value: math.inf if value > jump else -0.5)
    assert value == pytest.approx(jump, abs=STEP / 4)


def test_what_never_fits_and_what_always_fits() -> None:
    assert found(lambda value: 1 + value)[0] is None
    assert found(lambda value: -1 / value)[0] == WITHIN[1]
    assert found(lambda _: 0.3)[0] is None
    assert found(lambda _: math.inf)[0] is None
