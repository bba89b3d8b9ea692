"""Lettering that is already on a board, as the pages change it: its measures, its gaps, and what they decide.

The changes are made on the newest text, and leave the rest of what was measured as it was written.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any, Final

from stopcut.app.merging_words import MakeEdits
from stopcut.app.wording import as_written
from stopcut.job.edit_values import At, Edit, Refused, RemoveTable, SetKey
from stopcut.job.job import Match
from stopcut.job.pairs import split_pair
from stopcut.units import Units, parse_length
from stopcut.written.literals import Value
from stopcut.written.places import find_places

__all__ = ["BY_WHAT_IS_THERE", "decided", "gap_change", "gap_written", "measure_change", "nothing_there"]

BY_WHAT_IS_THERE: Final = "decided by what is there"
"""What a value says of itself while a measure of lettering already on the board stands in its place."""

TABLE: Final = "match"


def decided(match: Match | None) -> frozenset[str]:
    """The settings of a line that measured lettering decides, by their keys: they take no other value meanwhile."""
    if match is None:
        return frozenset()
    keys = {"cap_height"} if match.cap_height_mm is not None else set()
    keys |= {"weight", "stem"} if match.stem_mm is not None else set()
    return frozenset(keys | ({"openness"} if match.gaps else set()))


def measure_change(key: str, value: Value | None) -> MakeEdits:
    """A measure set, or taken out; with the last of them all goes, since nothing to be matched is no matching."""

    def edits(text: str) -> Sequence[Edit]:
        others = {name for name, there in _measured(text).items() if there and name != key}
        return (SetKey(At(TABLE), key, value),) if value is not None or others else nothing_there(text)

    return edits


def gap_change(place: int, pair: str, gap: Value | None) -> MakeEdits:
    """Another length for the gap that stood at a place (from 0) for these two letters; None takes it out.

    A place beyond the last is a new gap.
    """

    def edits(text: str) -> Sequence[Edit]:
        gaps: list[Value] = list(_measured(text).get("gaps", []))
        pairs = [one.get("pair") if isinstance(one, dict) else None for one in gaps]
        if place < len(gaps) and pairs[place] != pair:
            raise Refused("Not saved: this gap has been changed in another window.")
        put: list[Value] = [] if gap is None else [{"pair": pair, "gap": gap}]
        gaps = [*gaps[:place], *put, *gaps[place + 1 :]]
        return measure_change("gaps", gaps or None)(text)

    return edits


def nothing_there(text: str) -> Sequence[Edit]:
    """Nothing is on the board yet: all that was measured goes."""
    if TABLE not in tomllib.loads(text):
        return ()
    headed = any(block.path[:1] == (TABLE,) for block in find_places(text).blocks)
    return (RemoveTable(At(TABLE)) if headed else SetKey(At(), TABLE, None),)


def gap_written(written: str, units: Units) -> tuple[str, Value]:
    """Two letters and the gap between them, as one writes them: "RO 6 mm". Raises ValueError for anything else."""
    pair, _, length = written.strip().partition(" ")
    gap = as_written(length)
    if split_pair(pair) is None or gap is None:
        raise ValueError("Write two letters that stand side by side, and the gap between them: RO 6 mm.")
    parse_length(length, units)  # says what is wrong with it
    return pair, gap


def _measured(text: str) -> Mapping[str, Any]:
    found = tomllib.loads(text).get(TABLE, {})
    return found if isinstance(found, dict) else {}
