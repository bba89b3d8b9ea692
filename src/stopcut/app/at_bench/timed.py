"""Letters that were timed: which of them the plan goes by, and why another is not counted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from stopcut.bench.believable import counted, far_off_findings, judged
from stopcut.bench.minutes import Logged, Pace, Rates
from stopcut.errors import Finding
from stopcut.store.values import LoggedMinutes

__all__ = ["Verdict", "Weighed", "weighed"]

Verdict = Literal["counted", "far off", "left out", "not all ticked", "older"]
"""older: timed by an earlier version, which reckoned otherwise and did not ask for all its cuts."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """Timed letters, weighed: those that the plan goes by; of each of the store's, by job and id, the verdict and what
    it took of what was expected of this carver. findings say which of rates.toml's are not counted."""

    counted: tuple[Logged, ...]
    verdicts: dict[tuple[str, str], tuple[Verdict, float]]
    findings: tuple[Finding, ...] = ()


def weighed(before: Pace, own: Iterable[Logged], timed: Sequence[LoggedMinutes], rates: Rates) -> Weighed:
    """Weigh the letters of rates.toml (own) and those of the store (timed), in the order in which they were timed.

    before is what is believed of the carver's pace without them. A letter that was left out, or not all of whose steps
    are ticked, is not looked at: it teaches nothing.
    """
    verdicts: dict[tuple[str, str], tuple[Verdict, float]] = {}
    letters = list(own)
    first = len(letters)
    of_store = []
    for one in timed:
        if one.counts == "no":
            verdicts[one.job_id, one.id] = "left out", one.taken_min / one.reckoned_min / before.likely
        elif not one.done:
            verdict: Verdict = "not all ticked" if one.steps else "older"
            verdicts[one.job_id, one.id] = verdict, one.taken_min / one.reckoned_min / before.likely
        else:
            letters.append(Logged(one.reckoned_min, one.taken_min, sure=one.counts == "yes"))
            of_store.append(one)
    found = judged(before, letters, rates)
    for known, letter in zip(of_store, found[first:], strict=True):
        verdicts[known.job_id, known.id] = "counted" if letter.counts else "far off", letter.share
    return Weighed(counted(found), verdicts, far_off_findings(found[:first]))
