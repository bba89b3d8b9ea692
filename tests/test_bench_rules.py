"""What must be done before what, within a letter."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from bench_boards import FACES, alphabet_cuts, carved, carved_letters
from groove_shapes import RECTANGLE

from stopcut.bench.cuts import cuts_for
from stopcut.bench.plan import Cut
from stopcut.bench.settings import BenchSettings


def before(cuts: Iterable[Cut]) -> dict[str, set[str]]:
    """For each cut all that must be done before it, by way of others too; the cuts come in an order that will do."""
    out: dict[str, set[str]] = {}
    for cut in cuts:
        out[cut.id] = set(cut.after).union(*(out[other] for other in cut.after))
    return out


@pytest.mark.parametrize("family", FACES)
def test_cuts_come_in_an_order_that_keeps_their_rules_within_their_letter(family: str) -> None:
    seen: dict[tuple[int, int], set[str]] = {}
    for cut in alphabet_cuts(family):
        done = seen.setdefault(cut.key, set())
        assert set(cut.after) <= done
        assert cut.id not in done
        done.add(cut.id)


@pytest.mark.parametrize("family", FACES)
def test_every_stroke_is_stopped_before_its_walls(family: str) -> None:
    cuts = alphabet_cuts(family)
    first = before(cuts)
    stops = [cut for cut in cuts if cut.kind == "stop"]
    walls = [cut for cut in cuts if cut.kind == "wall"]
    pairs = [(a, b) for b in walls for a in stops if a.key == b.key and a.stroke == b.stroke]
    assert len(pairs) > 100
    assert all(a.id in first[b.id] for a, b in pairs)


@pytest.mark.parametrize("family", FACES)
def test_stems_come_before_bars_and_bowls_those_before_serifs_and_tips_last(family: str) -> None:
    cuts = alphabet_cuts(family)
    first = before(cuts)

    def rank(cut: Cut) -> int:
        if cut.kind in ("serif", "corner"):
            return 2 if cut.kind == "serif" else 3
        return 0 if cut.stroke_kind in ("stem", "diagonal") else 1

    walls = [cut for cut in cuts if cut.kind in ("wall", "serif", "corner")]
    for a in walls:
        for b in walls:
            if a.key == b.key and rank(a) < rank(b) and not (a.side is None and a.kind == "wall"):
                if b.side is None and b.kind == "wall":
                    continue  # an end that is stopped across the fibres comes first: see below
                assert a.id in first[b.id]


def test_the_end_of_a_bar_is_stopped_across_the_fibres_before_its_walls() -> None:
    cuts = cuts_for((carved(RECTANGLE),), grain="width")
    ends = {cut.id for cut in cuts if cut.kind == "wall" and cut.side is None}
    assert len(ends) == 2
    sides = [cut for cut in cuts if cut.side is not None]
    assert len(sides) == 2
    assert all(ends <= set(cut.after) for cut in sides)


def test_across_the_fibres_a_strokes_end_need_not_come_first() -> None:
    cuts = cuts_for((carved(RECTANGLE),), grain="height")
    ends = {cut.id for cut in cuts if cut.kind == "wall" and cut.side is None}
    assert not any(ends & set(cut.after) for cut in cuts)


@pytest.mark.parametrize(("when", "early"), [("before", True), ("after", False)])
def test_end_cuts_come_before_or_after_a_stems_walls_as_the_carver_likes(when: str, early: bool) -> None:
    cuts = cuts_for(carved_letters("alegreya_sans", "I"), settings=BenchSettings(end_cuts=when))  # type: ignore[arg-type]
    first = before(cuts)
    ends = [cut for cut in cuts if cut.kind == "end"]
    sides = [cut for cut in cuts if cut.side is not None]
    assert ends
    assert sides
    for end in ends:
        for wall in sides:
            assert (end.id in first[wall.id]) == early
            assert (wall.id in first[end.id]) == (not early)


def test_stop_cuts_across_the_fibres_come_before_walls_that_run_with_them() -> None:
    cuts = cuts_for(carved_letters("alegreya_sans", "E"))
    first = before(cuts)
    stem = [cut for cut in cuts if cut.kind == "stop" and cut.stroke_kind == "stem"]
    bars = [cut for cut in cuts if cut.kind == "wall" and cut.stroke_kind == "bar"]
    assert stem
    assert len(bars) >= 6
    assert all(stop.id in first[wall.id] for stop in stem for wall in bars)
