"""The order within a letter, and what must be done before what."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pytest
from bench_boards import BASSWOOD, FACES, alphabet_cuts, carved, carved_letters, of_height
from groove_shapes import RECTANGLE

from stopcut.bench.cuts import cuts_for, worked
from stopcut.bench.order import WITHINS, Within, working_order
from stopcut.bench.plan import Cut
from stopcut.bench.settings import BenchSettings

ORDERED = (*FACES, "zilla_slab", "lora")


def before(cuts: Iterable[Cut]) -> dict[str, set[str]]:
    """For each cut all that must be done before it, by way of others too; the cuts come in an order that will do."""
    out: dict[str, set[str]] = {}
    for cut in cuts:
        out[cut.id] = set(cut.after).union(*(out[other] for other in cut.after))
    return out


def by_letter(cuts: Sequence[Cut]) -> list[list[Cut]]:
    own: dict[tuple[int, int], list[Cut]] = {}
    for cut in cuts:
        own.setdefault(cut.key, []).append(cut)
    return list(own.values())


@pytest.mark.parametrize("family", FACES)
def test_cuts_come_in_an_order_that_keeps_their_rules_within_their_letter(family: str) -> None:
    for own in by_letter(alphabet_cuts(family)):
        done: set[str] = set()
        for cut in own:
            assert set(cut.after) <= done
            done.add(cut.id)


@pytest.mark.parametrize("within", WITHINS)
@pytest.mark.parametrize("family", ORDERED)
def test_every_stab_of_a_stroke_stands_before_its_walls(family: str, within: Within) -> None:
    cuts = working_order(alphabet_cuts(family), "reading", None, within)
    pairs = 0
    for own in by_letter(cuts):
        for n, cut in enumerate(own):
            if cut.kind in ("wall", "serif"):
                late = [one for one in own[n:] if one.stroke == cut.stroke and one.kind in ("relief", "stop", "end")]
                assert not late, (cut.char, cut.id, [one.id for one in late])
                pairs += sum(one.stroke == cut.stroke and one.kind == "stop" for one in own[:n])
    assert pairs > 150


@pytest.mark.parametrize("family", [*FACES, "zilla_slab"])
def test_each_stroke_is_cut_whole_then_come_serifs_then_points(family: str) -> None:
    """As it is taught: between a stroke's first cut and its last stands no cut of a stroke of another kind."""
    group = {"diagonal": "sloping", "leg": "sloping", "tail": "sloping", "bowl": "round", "arc": "round"}
    for own in by_letter(working_order(alphabet_cuts(family), "reading")):
        kinds = []
        for cut in own:
            level = {"serif": "serifs", "corner": "points"}.get(cut.kind)
            kinds.append(level or group.get(str(cut.stroke_kind), str(cut.stroke_kind)))
        runs = [kind for n, kind in enumerate(kinds) if not n or kinds[n - 1] != kind]
        assert len(runs) == len(set(runs)), (own[0].char, runs)
        assert runs == sorted(runs, key=lambda kind: {"serifs": 1, "points": 2}.get(kind, 0))
        if "stem" in runs:
            assert runs[0] == "stem"


def test_the_end_of_a_bar_is_stopped_across_the_fibres_before_its_walls() -> None:
    cuts = cuts_for((carved(RECTANGLE),), grain="width")
    ends = {cut.id for cut in cuts if cut.kind == "wall" and cut.side is None}
    sides = [cut for cut in cuts if cut.side is not None]
    assert (len(ends), len(sides)) == (2, 2)
    assert all(ends <= set(cut.after) for cut in sides)


def test_across_the_fibres_a_strokes_ends_are_trimmed_after_its_walls() -> None:
    cuts = cuts_for((carved(RECTANGLE),), grain="height")
    assert [cut.side is None for cut in cuts if cut.kind == "wall"] == [False, False, True, True]


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


def test_strokes_across_the_fibres_come_before_strokes_that_run_with_them() -> None:
    for grain, kinds in (("width", ["stem", "bar"]), ("height", ["bar", "stem"])):
        cuts = working_order(cuts_for(carved_letters("alegreya_sans", "E"), grain=grain), "reading")  # type: ignore[arg-type]
        said = [str(cut.stroke_kind) for cut in cuts if cut.kind in ("stop", "wall")]
        assert list(dict.fromkeys(said)) == kinds


def test_an_acute_inner_point_is_cut_with_care_and_last_of_its_block() -> None:
    cuts = cuts_for(carved_letters("alegreya_sans", "A"))
    careful = [cut for cut in cuts if cut.kind == "wall" and cut.cautions]
    assert len(careful) == 2  # the two sides of the counter at the apex
    assert all("acute point" in cut.cautions[0] for cut in careful)
    plain = {
        cut.id for cut in cuts if cut.kind == "wall" and cut.side and cut.stroke_kind == "diagonal" and not cut.cautions
    }
    assert plain
    assert all(plain <= set(cut.after) for cut in careful)
    assert not any(cut.cautions for cut in cuts_for(carved_letters("alegreya_sans", "E")))


def test_a_deep_stroke_is_relieved_before_it_is_stopped_and_says_its_passes() -> None:
    oak = 1360.0  # white oak: Wood Handbook (FPL-GTR-190), chapter 5 [lbf]
    cuts = worked(of_height("cinzel", "W", 150.0), hardness_lbf=oak).cuts
    reliefs = [cut for cut in cuts if cut.kind == "relief"]
    assert reliefs
    for relief in reliefs:
        (stop,) = [cut for cut in cuts if cut.kind == "stop" and cut.stroke == relief.stroke]
        assert relief.id in stop.after
        assert relief.depth_mm < stop.depth_mm
        assert len(stop.passes) > 2
        assert stop.passes[-1] == pytest.approx(stop.depth_mm, abs=0.05)
        assert list(stop.passes) == sorted(stop.passes)
    assert not any(cut.kind == "relief" for cut in worked(of_height("cinzel", "W"), hardness_lbf=BASSWOOD).cuts)
