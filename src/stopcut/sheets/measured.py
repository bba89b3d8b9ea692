"""The figures of a job as JSON-ready values: what `stopcut measure --json` prints.

Stable and versioned: `format` rises when a key changes its meaning or goes away; new keys may come without. All lengths
in mm from the board's lower left corner, all figures the finished letter's; lines and letters count from 1 in reading
order, spaces not counted.
"""

from __future__ import annotations

from typing import Any

from stopcut.errors import Fault, Finding, Severity
from stopcut.groove.surface import Groove
from stopcut.setting.set_board import SetLetter, SetLine
from stopcut.work import Work

__all__ = ["FORMAT", "faults_measured", "finding_measured", "measured", "must_stop", "rounded_mm"]

FORMAT = 1
"""Version of the figures' layout."""


def measured(work: Work) -> dict[str, Any]:
    """Every figure of a worked-out job, as dicts, lists, strings and numbers."""
    board = work.job.board
    every = work.grooves
    return {
        "format": FORMAT,
        "board": {
            "width_mm": rounded_mm(board.width_mm),
            "height_mm": rounded_mm(board.height_mm),
            "thickness_mm": rounded_mm(board.thickness_mm),
        },
        "lines": [_line(line, work.letter_grooves) for line in work.setting.lines],
        "findings": [finding_measured(finding) for finding in work.findings],
        "totals": {
            "letters": sum(len(line.letters) for line in work.setting.lines),
            "max_depth_mm": rounded_mm(max((g.max_depth_mm for g in every), default=0.0)),
            "volume_mm3": rounded_mm(sum(g.volume_mm3 for g in every)),
            "wall_area_mm2": rounded_mm(sum(g.wall_area_mm2 for g in every)),
            "stop_cut_mm": rounded_mm(sum(g.stop_cut_mm for g in every)),
        },
    }


def faults_measured(faults: tuple[Fault, ...]) -> dict[str, Any]:
    """A wrong job's faults in the same dress."""
    return {
        "format": FORMAT,
        "faults": [
            {"key": fault.key, "line": fault.line, "found": fault.found, "remedy": fault.remedy} for fault in faults
        ],
    }


def finding_measured(finding: Finding) -> dict[str, Any]:
    """One finding: code, severity, where, says, remedy."""
    where = finding.where
    return {
        "code": finding.code,
        "severity": str(finding.severity),
        "where": {"line": where.line, "index": where.index, "x_mm": _maybe(where.x_mm), "y_mm": _maybe(where.y_mm)},
        "says": finding.says,
        "remedy": finding.remedy,
    }


def must_stop(findings: tuple[Finding, ...]) -> bool:
    """Whether one of the findings says: do not carve this."""
    return any(finding.severity is Severity.STOP for finding in findings)


def _line(line: SetLine, grooves: dict[tuple[int, int], Groove]) -> dict[str, Any]:
    return {
        "words": line.words,
        "face": line.family,
        "cap_height_mm": rounded_mm(line.cap_height_mm),
        "openness": rounded_mm(line.openness),
        "baseline_y_mm": rounded_mm(line.baseline_y_mm),
        "ink_left_mm": rounded_mm(line.ink_left_mm),
        "ink_right_mm": rounded_mm(line.ink_right_mm),
        "letters": [_letter(letter, grooves.get((letter.placed.line, letter.placed.index))) for letter in line.letters],
    }


def _letter(letter: SetLetter, groove: Groove | None) -> dict[str, Any]:
    """A letter's figures; those of a groove that could not be worked out (a finding says so) are null."""
    return {
        "index": letter.placed.index,
        "char": letter.placed.char,
        "left_mm": rounded_mm(letter.left_mm),
        "right_mm": rounded_mm(letter.right_mm),
        "gap_after_mm": _maybe(letter.gap_after_mm),
        "stem_mm": _maybe(letter.stem_mm),
        "max_depth_mm": rounded_mm(groove.max_depth_mm) if groove else None,
        "volume_mm3": rounded_mm(groove.volume_mm3) if groove else None,
        "plan_area_mm2": rounded_mm(groove.plan_area_mm2) if groove else None,
        "wall_area_mm2": rounded_mm(groove.wall_area_mm2) if groove else None,
        "stop_cut_mm": rounded_mm(groove.stop_cut_mm) if groove else None,
    }


def rounded_mm(value: float) -> float:
    """Rounded to a tenth of a micrometre: finer than any check, and short to read."""
    return round(float(value), 4) + 0.0


def _maybe(value: float | None) -> float | None:
    return None if value is None else rounded_mm(value)
