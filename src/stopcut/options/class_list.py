"""A class: one job, and for each learner a board of the same blank with words of their own.

The learner's words take the place of the job's first lines; lines beyond stay as they are, common to all. Where the job
fits its letters to the board, all are cut at one cap height, the largest that fits every learner's words: what is
taught at the bench then holds at every bench, with the same tools. Each learner's own largest is a choice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

from stopcut.bench.planned import Plan
from stopcut.errors import Fault, Severity, WrongJob
from stopcut.job.edits import At, Refused, SetKey, SetWords, apply
from stopcut.job.job import Job
from stopcut.job.read import parse_job
from stopcut.options.learners import ClassList
from stopcut.shop.shop_file import Shop
from stopcut.shop.tools import Roll, Tool
from stopcut.teaching.in_class import Class, Learner, Member, ToolNeed
from stopcut.units import format_length
from stopcut.work import Progress, Work

__all__ = ["class_of", "needs", "tools_there", "unknown_tools"]

LEAST_CAP_MM: Final = 12.0
"""Letters of a class are not cut smaller. [mm] Our choice: below it strokes of common faces are finer than an edge of
3 mm can be set for."""
STEP_MM: Final = 0.1
"""The common cap height is a whole number of these, rounded down. [mm] Our choice: a tenth shows on a rule."""


def class_of(
    job: Job,
    listed: ClassList,
    shop: Shop | None = None,
    progress: Progress | None = None,
    *,
    own_sizes: bool = False,
) -> Class:
    """Every learner's board. own_sizes lets each have the largest letters that fit its words.

    Raises WrongJob with every fault of every learner: words that the face lacks letters for, more lines than the job
    has, words too long for the blank.
    """
    shop = shop or Shop()
    tell = progress or (lambda doing, done: None)
    _ = Work(job, shop).lettered  # what is wrong with the job itself is said once, not for each learner
    faults: list[Fault] = []
    texts = {}
    for learner in listed.learners:
        try:
            texts[learner.name] = _text(job, learner)
        except WrongJob as wrong:
            faults += wrong.faults
    members = [_member(job, one, texts[one.name], shop) for one in listed.learners if one.name in texts]
    caps: dict[str, float] = {}
    for number, member in enumerate(members):
        tell("Learners", number / len(members))
        try:
            faults += _too_long(member)
            caps |= {member.name: cap} if (cap := _fitted(member.work)) is not None else {}
        except WrongJob as wrong:
            faults += [_of_learner(member.learner, fault) for fault in wrong.faults]
    if faults:
        raise WrongJob(tuple(sorted(faults, key=lambda fault: fault.line or 0)))
    if own_sizes or not caps:
        return Class(tuple(members))
    longest = min(caps, key=lambda name: caps[name])
    common = math.floor(caps[longest] / STEP_MM + 1e-6) * STEP_MM
    others = [cap for name, cap in caps.items() if name != longest]
    sized = [_member(job, one.learner, _at_height(one.work.job, common), shop) for one in members]
    return Class(tuple(sized), common, longest, min(others) if others else None)


def needs(
    members: Sequence[Member], plans: Sequence[Plan], roll: Roll, counted: Mapping[str, int]
) -> tuple[ToolNeed, ...]:
    """The tools that a class needs at once against those there are, the shortest first.

    counted says how many there are, by name. Of other tools of the carver's own there are as many as the roll says; a
    published one is not there at all where the class counts its tools or the carver has any.
    """
    somebody_counted = bool(counted) or any(tool.measured for tool in roll.tools)
    lefts = any(member.hand == "left" for member in members)
    out = []
    for tool in {use.tool: None for plan in plans for use in plan.tools}:
        users = sum(any(use.tool == tool for use in plan.tools) for plan in plans)
        there_are = counted.get(tool.name, tool.count if tool.measured else 0) if somebody_counted else None
        handed = lefts and (tool.kind == "skew" or tool.bevel == "single")
        out.append(ToolNeed(tool, users, _at_once(tool, plans), there_are, handed))
    return tuple(sorted(out, key=lambda need: (-need.short, -need.at_once, need.name)))


def tools_there(roll: Roll, counted: Mapping[str, int]) -> tuple[str, ...] | None:
    """The names of the tools that a class works with: those it counts, else the carver's own; None where neither is
    known, and the published ones are a guess as good as any."""
    names = tuple(counted) or tuple(tool.name for tool in roll.tools if tool.measured)
    return names or None


def unknown_tools(listed: ClassList, roll: Roll, name: str) -> tuple[Fault, ...]:
    """A fault for every tool counted that the roll does not have."""
    known = {tool.name for tool in roll.tools}
    return tuple(
        Fault(f"{name} tools", None, f'no tool of the roll is called "{tool}"', "name it as the roll does")
        for tool in listed.tools
        if tool not in known
    )


def _text(job: Job, learner: Learner) -> str:
    """A learner's job, its letters as large as the job asks."""
    if len(learner.words) > len(job.lines):
        lines = f"{len(job.lines)} line{'s' * (len(job.lines) != 1)}"
        found = f"{learner.name} has {len(learner.words)} lines of words, and the job has {lines}"
        raise WrongJob((_fault(learner, found, "write fewer lines, or add a [[line]] to the job"),))
    text = job.text
    try:
        for line, words in zip(job.lines, learner.words, strict=False):
            at = At("line", line.number, line.words)
            # Shifts by hand are for the letters that stood there.
            text = apply(SetKey(at, "shifts", None), text).text if line.shifts else text
            text = apply(SetWords(at, words), text).text
        return apply(SetKey(At(), "title", f"{job.title}: {learner.name}"), text).text
    except Refused as problem:
        found = "; ".join(fault.found for fault in problem.faults) or str(problem)
        raise WrongJob((_fault(learner, f"{learner.name}: {found}", "write other words"),)) from None


def _at_height(job: Job, cap_height_mm: float) -> str:
    """A learner's job with its fitted lines at one cap height."""
    text = job.text
    for line in job.lines:
        if line.cap_height_mm is None:
            at = At("line", line.number, line.words)
            text = apply(SetKey(at, "cap_height", f"{cap_height_mm:.1f} mm"), text).text
    return text


def _member(job: Job, learner: Learner, text: str, shop: Shop) -> Member:
    return Member(learner, text, Work(parse_job(text, job.name, base_folder=job.base_folder), shop))


def _fitted(work: Work) -> float | None:
    """The cap height that a board's fitted lines came out at, before their size; None where the job sets all."""
    heights = {line.number: line.cap_height_mm for line in work.setting.lines}
    fitted = [heights[line.number] / line.size for line in work.job.lines if line.cap_height_mm is None]
    return min(fitted) if fitted and work.job.match is None else None


def _too_long(member: Member) -> list[Fault]:
    """Faults where a learner's words do not fit the blank, or only in letters too small to cut."""
    work, learner = member.work, member.learner
    over = [one for one in work.setting.findings if one.severity == Severity.STOP]
    if over:
        return [
            _fault(learner, f"{learner.name}, “{member.words}”: {one.says.rstrip('.')}", one.remedy) for one in over
        ]
    cap = _fitted(work)
    if cap is None or cap >= LEAST_CAP_MM:
        return []
    units = work.job.units
    small, least = format_length(cap, units), format_length(LEAST_CAP_MM, units)
    found = f"{learner.name}, “{member.words}”: the blank has room for letters of {small} only, below {least}"
    return [_fault(learner, found, "choose a shorter word, or a longer blank")]


def _of_learner(learner: Learner, fault: Fault) -> Fault:
    """A fault of a learner's job, told of the list."""
    remedy = fault.remedy.replace("set face for this line", "set that face in the job, or choose other words")
    return _fault(learner, f"{learner.name}, “{' / '.join(learner.words)}”: {fault.found}", remedy)


def _fault(learner: Learner, found: str, remedy: str) -> Fault:
    return Fault(learner.key, learner.line, found, remedy.rstrip("."))


def _at_once(tool: Tool, plans: Sequence[Plan]) -> int:
    """How many learners hold a tool at one time at most, if all begin together and go on at their likely pace."""
    events: list[tuple[float, int]] = []
    for plan in plans:
        whole = sum(plan.cut_minutes)
        pace = plan.minutes.likely / whole if whole else 0.0
        now = 0.0
        for cut, minutes in zip(plan.cuts, plan.cut_minutes, strict=True):
            start, now = now, now + pace * minutes
            if cut.tool == tool:
                events += [(start, 1), (now, -1)]
    held = most = 0
    for _, change in sorted(events):
        held += change
        most = max(most, held)
    return most
