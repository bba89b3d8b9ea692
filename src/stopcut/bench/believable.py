"""Whether the time that a letter took is to be believed: what is far from all that was reckoned is asked about first.

A letter that was stopped after a minute, or whose clock ran on through dinner, says nothing of a carver's pace, yet it
would move the plan as much as any other. What is believed of the pace says how far a letter may stray: the logarithm of
taken over reckoned is normal about the pace's, with the pace's spread and the letter's own added in squares. Beyond FAR
of these spreads a time counts only where the carver says so. Letters are judged one after another, each by what those
before it have taught, so that a carver who is truly slow is soon believed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from stopcut.bench.minutes import PUBLISHED_RATES, Logged, Pace, Rates, logged_pace
from stopcut.errors import Finding, Severity, Where
from stopcut.shop.rates import RATES_FILE

__all__ = ["FAR", "Judged", "counted", "far_off_findings", "judged", "share_in_words", "span"]

FAR: Final = 3.0
"""How many spreads a time may stray. Our choice: a letter in four hundred strays so far by itself (tables of the normal
law), and a slip of the clock is mostly farther off."""
SHARES: Final = {2: "half", 3: "a third", 4: "a quarter", 5: "a fifth", 10: "a tenth"}


@dataclass(frozen=True, slots=True)
class Judged:
    """A timed letter, judged. share is what it took of what was expected at the carver's pace; counts whether the plan
    is to go by it: it is believable, or the carver is sure."""

    letter: Logged
    share: float
    counts: bool


def span(pace: Pace, rates: Rates = PUBLISHED_RATES) -> tuple[float, float]:
    """The least and the most that a believable letter takes, as shares of its minutes at pace 1."""
    reach = FAR * math.hypot(pace.log_spread, rates.letter_spread)
    return math.exp(pace.log_mean - reach), math.exp(pace.log_mean + reach)


def judged(before: Pace, letters: Iterable[Logged], rates: Rates = PUBLISHED_RATES) -> tuple[Judged, ...]:
    """Letters, judged in the order in which they were timed. before is what is believed of the pace without them."""
    out: list[Judged] = []
    pace = before
    for letter in letters:
        least, most = span(pace, rates)
        share = letter.taken / letter.reckoned
        counts = letter.sure or least <= share <= most
        out.append(Judged(letter, share / pace.likely, counts))
        if counts:
            pace = logged_pace(pace, [letter], rates)
    return tuple(out)


def counted(letters: Iterable[Judged]) -> tuple[Logged, ...]:
    """The letters that the plan is to go by."""
    return tuple(one.letter for one in letters if one.counts)


def far_off_findings(letters: Sequence[Judged]) -> tuple[Finding, ...]:
    """What is to be said of the letters of rates.toml that are not counted."""
    return tuple(
        Finding(
            "time-far-off",
            Severity.LOOK,
            f"{RATES_FILE}: {one.letter.what or f'timed letter {number}'} took {one.letter.taken:g} min, "
            f"{share_in_words(one.share)} what was expected, so it is not counted.",
            "Write sure = true under it if it did take so long, or take it out.",
            Where(),
        )
        for number, one in enumerate(letters, 1)
        if not one.counts
    )


def share_in_words(share: float) -> str:
    """A share as one says it: "a quarter of", "4 times"."""
    if share >= 1:
        return f"{share:.{0 if share >= 9.5 else 1}f}".removesuffix(".0") + " times"
    parts = round(1 / share)
    return f"{SHARES.get(parts, f'one part in {parts}')} of"
