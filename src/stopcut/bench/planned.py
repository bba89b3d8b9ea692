"""The whole plan as one value: every cut in working order, pick-ups, minutes, what is covered."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from stopcut.bench.cuts import keys_of, worked
from stopcut.bench.minutes import (
    PUBLISHED_RATES,
    Logged,
    Minutes,
    Pace,
    Rates,
    Skill,
    believed,
    cut_minutes,
    estimate,
    letter_minutes,
    logged_pace,
)
from stopcut.bench.order import WAYS, Way, Within, Words, pick_ups, working_order
from stopcut.bench.plan import Cut, LetterKey, Stroke
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.bench.steps import Step, steps_of
from stopcut.bench.strokes import Overrule
from stopcut.bench.totals import Covered, covered
from stopcut.bench.turns import Turn
from stopcut.errors import Finding, Severity, Where
from stopcut.groove.surface import Groove
from stopcut.job.job import Grain
from stopcut.shop.roll import published_roll
from stopcut.shop.tools import Roll, Tool

__all__ = ["Plan", "ToolUse", "planned"]


@dataclass(frozen=True, slots=True)
class ToolUse:
    """A tool and how many cuts want it."""

    tool: Tool
    cuts: int


@dataclass(frozen=True, slots=True)
class Plan:
    """What to do at the bench.

    cuts are in working order, the way of which is order; pick_ups has every way's. minutes are the board's,
    letter_minutes each letter's and cut_minutes each cut's, in the cuts' order: likely ones at the carver's pace, a
    cut's without what goes to pick-ups and letters. tools come in the order they are first picked up; without counts
    the cuts that the roll has no tool for.

    pace is what is believed of the carver's pace, timed letters taken in; untimed are the board's minutes without them
    (None where none were timed); reckoned are each letter's minutes at pace 1, what a timed letter is held against.
    steps are the cuts' in the same order. strokes are the letters' with their numbers and names, turns the spots where
    the way to slice changes; findings say which names of strokes in the job name none, and which fixed tools are not in
    the roll. saves is the one tool more that would save most, and how many minutes at the carver's pace; None where
    none would. within says whether strokes are cut whole.
    """

    order: Way
    cuts: tuple[Cut, ...]
    pick_ups: dict[Way, int]
    minutes: Minutes
    letter_minutes: dict[LetterKey, float]
    cut_minutes: tuple[float, ...]
    tools: tuple[ToolUse, ...]
    covered: Covered
    without: int
    pace: Pace = field(default_factory=lambda: believed("practised"))
    untimed: Minutes | None = None
    reckoned: dict[LetterKey, float] = field(default_factory=dict)
    strokes: tuple[Stroke, ...] = ()
    turns: tuple[Turn, ...] = ()
    findings: tuple[Finding, ...] = ()
    steps: tuple[Step, ...] = ()
    saves: tuple[Tool, float] | None = None
    within: Within = "strokes"

    @property
    def letters(self) -> tuple[LetterKey, ...]:
        """Every letter once, in the order that its first cut comes."""
        return tuple(dict.fromkeys(cut.key for cut in self.cuts))


def planned(
    grooves: Sequence[Groove],
    roll: Roll | None = None,
    grain: Grain = "width",
    settings: BenchSettings = PUBLISHED_BENCH,
    *,
    order: Way = "middle",
    within: Within = "strokes",
    words: Words | None = None,
    only: Sequence[str] | None = None,
    overrule: Overrule | None = None,
    hardness_lbf: float | None = None,
    skill: Skill = "practised",
    rates: Rates = PUBLISHED_RATES,
    logged: Iterable[Logged] = (),
    progress: Callable[[str, float], None] = lambda doing, done: None,
) -> Plan:
    """The plan of a board's grooves with a roll (the published one if none is given).

    words says which word of its line each letter is in, where the middle way is to go word by word. only are the names
    of tools that the carver has fixed upon, None to have the smallest set found that does the board well. hardness_lbf
    is the wood's side hardness at 12 % moisture, None where it is not known; logged letters correct the minutes.
    progress is told how much is done, 0 to 1.
    """
    tools = roll if roll is not None else published_roll()
    hardness = rates.unknown_lbf if hardness_lbf is None else hardness_lbf
    bench = worked(
        grooves, tools, grain, settings, overrule, rates=rates, hardness_lbf=hardness, only=only, progress=progress
    )
    progress("Working order", 0.0)
    ways = {way: working_order(bench.cuts, way, words, within) for way in WAYS}
    cuts = ways[order]
    before = believed(skill, rates)
    pace = logged_pace(before, logged, rates)
    reckoned = letter_minutes(cuts, rates)
    each = tuple(pace.likely * cut_minutes(cut, rates) for cut in cuts)
    saves = None if bench.saves is None else (bench.saves[0], pace.likely * bench.saves[1] / 60.0 * (1 + rates.rest))
    return Plan(
        order=order,
        cuts=cuts,
        pick_ups={way: pick_ups(ordered) for way, ordered in ways.items()},
        minutes=estimate(reckoned.values(), pace, rates),
        letter_minutes={key: pace.likely * minutes for key, minutes in reckoned.items()},
        cut_minutes=each,
        tools=_tools(cuts),
        covered=covered(grooves, bench.cuts),
        without=sum(cut.tool is None for cut in cuts),
        pace=pace,
        untimed=estimate(reckoned.values(), before, rates) if pace.letters else None,
        reckoned=reckoned,
        strokes=bench.strokes,
        turns=bench.turns,
        findings=(*_nameless(overrule or {}, grooves, bench.strokes), *_not_there(only or (), tools)),
        steps=steps_of(cuts, each),
        saves=saves,
        within=within,
    )


def _not_there(only: Sequence[str], roll: Roll) -> tuple[Finding, ...]:
    """What to say of tools that were fixed upon and are not in the roll."""
    known = {tool.name.casefold() for tool in roll.tools}
    names = ", ".join(tool.name for tool in roll.tools)
    return tuple(
        Finding("no-such-tool", Severity.LOOK, f"There is no '{name}' in the roll.", f"The roll has: {names}.", Where())
        for name in only
        if name.casefold() not in known
    )


def _nameless(overrule: Overrule, grooves: Sequence[Groove], strokes: Sequence[Stroke]) -> tuple[Finding, ...]:
    """What to say of names that no stroke has."""
    known = {(stroke.line, stroke.index, stroke.number) for stroke in strokes}
    chars = {key: groove.placed.char for key, groove in zip(keys_of(grooves), grooves, strict=True)}
    return tuple(
        Finding(
            "no-such-stroke",
            Severity.LOOK,
            f"'{chars[line, letter]}' (line {line}, letter {letter}) has no stroke {number}, so its name is not used."
            if (line, letter) in chars
            else f"Letter {letter} of line {line} is cut as one with another, so its stroke {number} is not known.",
            "stopcut plan JOB --strokes lists the strokes and their numbers.",
            Where(line=line, index=letter),
            "Look at its strokes in Bench, and give the name to another.",
        )
        for line, letter, number in sorted(overrule)
        if (line, letter, number) not in known
    )


def _tools(cuts: Sequence[Cut]) -> tuple[ToolUse, ...]:
    counts: dict[Tool, int] = {}
    for cut in cuts:
        if cut.tool is not None:
            counts[cut.tool] = counts.get(cut.tool, 0) + 1
    return tuple(ToolUse(tool, count) for tool, count in counts.items())
