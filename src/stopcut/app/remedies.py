"""What would mend a cause, as presses: each a few words and the edits that it makes, which Undo takes back."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePath

from stopcut.app.chosen_line import own_keys
from stopcut.app.gap_remedies import gap_remedies
from stopcut.app.remedy import Remedy
from stopcut.job.edit_values import At, Edit, SetKey
from stopcut.job.job import Job, Line
from stopcut.job.pasted import column_edit
from stopcut.setting.set_board import SetBoard
from stopcut.setting.verdict import DRAWING_IN
from stopcut.units import format_length
from stopcut.work import Cause
from stopcut.written.literals import Value

__all__ = ["Remedy", "remedies"]

FLOOR_PLACES = 1
"""Decimals of a millimetre in a width that is asked for. Our choice, as a rule is read."""

HAIR_MM = 0.01
"""Lengths nearer than this are one. [mm] Our choice: less than is written."""


def remedies(cause: Cause, job: Job, text: str, setting: SetBoard) -> tuple[Remedy, ...]:
    """The presses of a cause of this job, whose text this is and which is set out so; none where it takes a carver's
    own judgement."""
    return (*_remedies(cause, job, text), *gap_remedies(cause, job, setting))


def _remedies(cause: Cause, job: Job, text: str) -> Iterator[Remedy]:
    if cause.wants_mm is not None:
        wants = format_length(cause.wants_mm, job.units)
        concerned = [line for line in job.lines if line.number in cause.lines]
        if cause.code == "too-deep" and not _all_have(concerned, "flat_bottom_mm", cause.wants_mm, at_most=True):
            yield Remedy(f"Flat bottom {wants}", _everywhere(cause, job, text, "flat_bottom", "groove", wants))
        if cause.code == "thin-stroke" and concerned and not _all_have(concerned, "thinnest_mm", cause.wants_mm):
            yield Remedy(f"Thinnest stroke {wants}", _everywhere(cause, job, text, "thinnest", "lettering", wants))
        if cause.code == "thin-stroke" and cause.of == "the border":
            yield Remedy(f"Border {wants} broad", (SetKey(At("border"), "stroke", wants),))
    if cause.code in ("does-not-fit", "off-board") and _could_fit(job, text):
        yield Remedy("As large as the margins allow", (SetKey(At("lettering"), "cap_height", "fit"),))
    if cause.code == "does-not-fit" and DRAWING_IN in cause.remedy and cause.where.line:
        line = job.lines[cause.where.line - 1]
        yield Remedy(f"Draw in line {line.number}", (SetKey(At("line", line.number, line.words), "draw_in", True),))
        yield Remedy("Draw in all that are too long", (column_edit(job, "draw_in", True),))
    if cause.times is not None and cause.of.startswith("the ornament "):
        yield from _wider(cause.of.removeprefix("the ornament "), cause.times, job)


def _all_have(lines: Sequence[Line], name: str, mm: float, *, at_most: bool = False) -> bool:
    """Whether these lines ask for so much already: a press that changes nothing is none."""
    values = [getattr(line, name) for line in lines]
    near = [value is not None and (value <= mm + HAIR_MM if at_most else value >= mm - HAIR_MM) for value in values]
    return bool(near) and all(near)


def _everywhere(cause: Cause, job: Job, text: str, key: str, table: str, value: Value) -> tuple[Edit, ...]:
    """Set for every line that is concerned: where it has its own value there, else for all that have none."""
    own = [line for line in job.lines if line.number in cause.lines and key in own_keys(text, line.number)]
    edits: list[Edit] = [SetKey(At("line", line.number, line.words), key, value) for line in own]
    if len(own) < len(cause.lines) or not cause.lines:
        edits.append(SetKey(At(table), key, value))
    return tuple(edits)


def _could_fit(job: Job, text: str) -> bool:
    """Whether the lettering's height holds for every line and is not fitted already."""
    try:
        lettering = tomllib.loads(text).get("lettering", {})
    except tomllib.TOMLDecodeError:
        return False
    return lettering.get("cap_height") != "fit" and not any(
        "cap_height" in own_keys(text, one.number) for one in job.lines
    )


def _wider(name: str, times: float, job: Job) -> Iterable[Remedy]:
    """An ornament made so many times as wide, where one alone has the name and it stays on the board."""
    found = [one for one in job.ornaments if name in (one.file, PurePath(one.file).stem, PurePath(one.file).name)]
    if len(found) != 1:
        return ()
    width = format_length(round(found[0].width_mm * times, FLOOR_PLACES), job.units)
    if found[0].width_mm * times > min(job.board.width_mm, job.board.height_mm):
        return ()
    at = At("ornament", found[0].number, found[0].file)
    return (Remedy(f"Make it {times:g} times as wide: {width}", (SetKey(at, "width", width),)),)
