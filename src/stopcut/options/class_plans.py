"""The plans of a class: one set of tools for all its boards, so that a letter is cut alike at every bench.

All letters of the class are planned as if they stood on one board, which finds the fewest tools for all of them; each
learner's cuts are then put in order and timed as the learner's own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from stopcut.bench.cuts import keys_of
from stopcut.bench.minutes import cut_minutes, estimate, letter_minutes
from stopcut.bench.order import WAYS, Way, pick_ups, working_order
from stopcut.bench.plan import Cut, LetterKey
from stopcut.bench.planned import Plan, ToolUse, planned
from stopcut.bench.settings import PUBLISHED_BENCH, soft
from stopcut.bench.steps import steps_of
from stopcut.bench.totals import covered
from stopcut.groove.surface import Groove
from stopcut.shop.tools import Roll
from stopcut.teaching.in_class import Member
from stopcut.work import Progress, Work

__all__ = ["class_plans"]


def class_plans(
    members: Sequence[Member],
    roll: Roll | None = None,
    order: Way = "middle",
    progress: Progress | None = None,
    *,
    only: Sequence[str] | None = None,
) -> list[Plan]:
    """The members' plans, in their order. Boards whose job names strokes anew are planned one by one.

    only are the names of the tools that there are; others are taken where none of these can do it.
    """
    tell = progress or (lambda doing, done: None)
    plans = []
    for number, member in enumerate(members):
        tell(f"The plan of {member.name}", number / len(members))
        plans.append(member.work.plan(order, roll, member.level, only=only))
    if len(members) < 2 or any(line.strokes for member in members for line in member.work.job.lines):
        return plans
    tell("Tools for all", 0.0)
    together = _together([member.work for member in members], roll, only)
    return [_with(plan, member.work, cuts) for plan, member, cuts in zip(plans, members, together, strict=True)]


def _together(works: Sequence[Work], roll: Roll | None, only: Sequence[str] | None) -> list[tuple[Cut, ...]]:
    """Every board's cuts, with tools chosen as if all were one board."""
    first, grooves, whose = 0, list[Groove](), dict[LetterKey, tuple[int, LetterKey]]()
    for number, work in enumerate(works):
        moved = [_on_line(groove, first) for groove in work.pattern]
        keys = keys_of([*grooves, *moved])[len(grooves) :]
        whose |= {key: (number, own) for key, own in zip(keys, keys_of(work.pattern), strict=True)}
        grooves += moved
        first += max((groove.placed.line for groove in work.pattern), default=0)
    wood, board = works[0].wood.wood, works[0].job.board
    hardness = wood.hardness_lbf if wood is not None else None
    settings = replace(PUBLISHED_BENCH, soft_wood=soft(hardness))
    whole = planned(grooves, roll, board.grain, settings, order="reading", hardness_lbf=hardness, only=only)
    out: list[list[Cut]] = [[] for _ in works]
    for cut in whole.cuts:
        number, own = whose[cut.key]
        out[number].append(_as(cut, own))
    return [tuple(cuts) for cuts in out]


def _on_line(groove: Groove, first: int) -> Groove:
    """A letter with its line counted on from those of the boards before; an ornament as it is."""
    placed = groove.placed
    return replace(groove, placed=replace(placed, line=placed.line + first)) if placed.line else groove


def _as(cut: Cut, key: LetterKey) -> Cut:
    """A cut under its letter's own name."""
    line, letter = key

    def named(cut_id: str) -> str:
        return f"{line}.{letter}.{cut_id.rpartition('.')[2]}"

    return replace(cut, id=named(cut.id), line=line, letter=letter, after=tuple(map(named, cut.after)))


def _with(plan: Plan, work: Work, found: tuple[Cut, ...]) -> Plan:
    """A board's plan with other tools for its cuts."""
    words: Mapping[LetterKey, int] = {
        (letter.placed.line, letter.placed.index): letter.word for line in work.setting.lines for letter in line.letters
    }
    ways = {way: working_order(found, way, words, plan.within) for way in WAYS}
    cuts, pace = ways[plan.order], plan.pace.likely
    reckoned = letter_minutes(cuts)
    each = tuple(pace * cut_minutes(cut) for cut in cuts)
    counts = Counter(cut.tool for cut in cuts if cut.tool is not None)
    return replace(
        plan,
        cuts=cuts,
        pick_ups={way: pick_ups(ordered) for way, ordered in ways.items()},
        minutes=estimate(reckoned.values(), plan.pace),
        letter_minutes={key: pace * minutes for key, minutes in reckoned.items()},
        cut_minutes=each,
        tools=tuple(ToolUse(tool, count) for tool, count in counts.items()),
        covered=covered(work.pattern, cuts),
        without=sum(cut.tool is None for cut in cuts),
        reckoned=reckoned,
        steps=steps_of(cuts, each),
        saves=None,
    )
