"""The largest value at which something still fits, where what it takes grows with the value, nearly in a straight line.

A line's width is nearly in proportion to its height, and straight in its openness: a straight line through what was
found at two values tells nearly where the third should be. Each trial of a board sets all its letters, so that trials
are what is spared: some six where halving takes twenty.
"""

from __future__ import annotations

import math
from collections.abc import Callable

__all__ = ["largest"]

_HALVE_EVERY = 4
"""Every so many trials the middle is tried, whatever the straight line says, so that a curve of any shape ends."""


def largest(
    over: Callable[[float], float],
    within: tuple[float, float],
    step: float,
    first: float,
    towards: Callable[[float, float], float],
) -> float | None:
    """The largest value that fits, to a quarter of a step, if smaller ones fit too; None if the least does not.

    over(value) is by how much it is too much, not above 0 where it fits, infinite where there is no telling. first is
    the value to begin with; towards(value, over) guesses from one of them where over would be 0.
    """
    low, high = within
    near = step / 8
    fits: tuple[float, float] | None = None
    fails: tuple[float, float] | None = None
    value, tries, before = min(max(first, low), high), 0, False
    while True:
        found = over(value)
        good = found <= 0
        if good:
            if value >= high:
                return high
            if fails is not None and before:  # the end that stays counts less each time: regula falsi, Illinois rule
                fails = (fails[0], fails[1] / 2)
            fits = (value, found)
        else:
            if value <= low:
                return None
            if fits is not None and not before:
                fits = (fits[0], fits[1] / 2)
            fails = (value, found)
        before, tries = good, tries + 1
        if fits is not None and fails is not None:
            if fails[0] - fits[0] <= step / 4:
                return fits[0]
            value = _between(fits, fails, near, halve=tries % _HALVE_EVERY == 0)
        else:
            past = near * 2**tries
            aim = towards(value, found) if math.isfinite(found) else (low + value) / 2
            value = min(max(aim + past, value + near), high) if good else max(min(aim - past, value - near), low)


def _between(fits: tuple[float, float], fails: tuple[float, float], near: float, *, halve: bool) -> float:
    """The value to try next: where the straight line crosses 0, but no nearer to either end than that."""
    (left, under), (right, above) = fits, fails
    if halve or not math.isfinite(under) or not math.isfinite(above):
        return (left + right) / 2
    at = left + (right - left) * under / (under - above)
    return min(max(at, left + near), right - near)
