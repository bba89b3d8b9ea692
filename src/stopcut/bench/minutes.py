"""How long it takes: from settings of the edge, wall area, depth, hardness and pick-ups, at the carver's own pace.

Each cut has its minutes at the bench's rates; a pace, one number, says how many times as long this carver takes. It is
not known but believed: its logarithm is taken to be normal about what the skill suggests, and every letter that was
timed says log(minutes taken / minutes reckoned), which strays from letter to letter by a spread that is a rate too. The
two normals are multiplied (the conjugate update): precisions, one over the spread squared, add up, and the new belief
is the mean of the old one and the logged letters, each weighted by its precision. So the first logged letters move the
estimate most, many leave little of the guess, and what is left of its spread is shown as low and high: one board in ten
is done sooner than low, one in ten later than high. This is the textbook's normal belief about normal data of known
spread. A board's letters stray one by one, so that on a long board much of their straying evens out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from stopcut.arrays import Array
from stopcut.bench.plan import Cut, LetterKey
from stopcut.shop.rates import PUBLISHED_RATES, WHY_RATES, Logged, Rates, Skill

__all__ = [
    "PUBLISHED_RATES",
    "WHY_RATES",
    "Logged",
    "Minutes",
    "Pace",
    "Rates",
    "Skill",
    "believed",
    "cut_minutes",
    "estimate",
    "harder",
    "letter_minutes",
    "logged_pace",
    "seconds_of",
]

TENTH: Final = 1.2816
"""A normal value is below its mean by more than this many spreads one time in ten. (tables of the normal law)"""


@dataclass(frozen=True, slots=True)
class Minutes:
    """An estimate. likely is as often too little as too much; one time in ten it is less than low, or more than
    high."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class Pace:
    """What is believed of a carver's pace: the mean and spread of its logarithm, and how many letters it rests on."""

    log_mean: float
    log_spread: float
    letters: int = 0

    @property
    def likely(self) -> float:
        """How many times as long as the rates this carver takes."""
        return math.exp(self.log_mean)


def believed(skill: Skill, rates: Rates = PUBLISHED_RATES) -> Pace:
    """What a skill suggests, before any letter is timed."""
    pace, spread = {
        "first board": (rates.pace_first_board, rates.spread_first_board),
        "practised": (rates.pace_practised, rates.spread_practised),
        "daily": (rates.pace_daily, rates.spread_daily),
    }[skill]
    return Pace(math.log(pace), spread)


def logged_pace(before: Pace, letters: Iterable[Logged], rates: Rates = PUBLISHED_RATES) -> Pace:
    """What is believed after letters were timed: the conjugate update told above."""
    ratios = [math.log(letter.taken / letter.reckoned) for letter in letters]
    own, each = 1 / before.log_spread**2, 1 / rates.letter_spread**2
    whole = own + each * len(ratios)
    mean = (own * before.log_mean + each * sum(ratios)) / whole
    return Pace(mean, math.sqrt(1 / whole), before.letters + len(ratios))


def harder(hardness_lbf: float | None, rates: Rates = PUBLISHED_RATES) -> float:
    """How many times as long cutting takes in a wood as in the one that the rates are for.

    hardness_lbf is the wood's side hardness at 12 % moisture, None where it is not known. [pound-force]
    """
    return float(((hardness_lbf or rates.unknown_lbf) / rates.hardness_lbf) ** rates.hardness_power)


def seconds_of(
    cut: Cut, settings: Array, deep: Array, missed_mm: Array, hardness_lbf: float | None, rates: Rates = PUBLISHED_RATES
) -> Array:
    """How long a cut takes at pace 1, its tool in the hand already, for each of some tools (t,). [s]

    settings (t,) counts settings of the edge in all passes, deep (t,) the sum of the depths that they go down to [mm],
    missed_mm (t,) is what is drawn with the edge's corner [mm].
    """
    slower = harder(hardness_lbf, rates)
    drawn: Array = missed_mm * rates.point_s_per_mm * slower
    if cut.kind == "relief":
        return settings * cut.length_mm * rates.relief_s_per_mm * slower
    if cut.kind in ("stop", "end"):
        return settings * rates.stab_s + deep * rates.stab_s_per_mm * slower + drawn
    pared = cut.wall_area_mm2 / rates.mm2_per_min + cut.floor_area_mm2 / rates.floor_mm2_per_min
    return settings * rates.pare_s + deep * rates.pare_s_per_mm * slower + 60.0 * pared * slower + drawn


def cut_minutes(cut: Cut, rates: Rates = PUBLISHED_RATES) -> float:
    """One cut with its tool at pace 1, looking and stropping included. [minutes]"""
    return cut.seconds / 60.0 * (1 + rates.rest)


def letter_minutes(cuts: Sequence[Cut], rates: Rates = PUBLISHED_RATES) -> dict[LetterKey, float]:
    """Every letter's minutes at pace 1, for cuts in working order.

    A pick-up goes to the letter that the tool is picked up for.
    """
    out = {cut.key: rates.letter_s / 60.0 * (1 + rates.rest) for cut in cuts}
    held = ""
    for cut in cuts:
        out[cut.key] += cut_minutes(cut, rates)
        if cut.tool is not None and cut.tool.name != held:
            held = cut.tool.name
            out[cut.key] += rates.pick_up_s / 60.0 * (1 + rates.rest)
    return out


def estimate(reckoned: Iterable[float], pace: Pace, rates: Rates = PUBLISHED_RATES) -> Minutes:
    """How long letters take that are reckoned at these minutes each (at pace 1), with its spread."""
    each = list(reckoned)
    whole = sum(each)
    if whole <= 0:
        return Minutes(0.0, 0.0, 0.0)
    # Letters stray one by one, so that on a long board much of it evens out.
    strays = rates.letter_spread**2 * sum(minutes**2 for minutes in each) / whole**2
    spread = math.sqrt(pace.log_spread**2 + strays)
    likely = whole * pace.likely
    return Minutes(likely * math.exp(-TENTH * spread), likely, likely * math.exp(TENTH * spread))
