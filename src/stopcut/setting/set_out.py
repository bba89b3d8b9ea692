"""Setting out: from a request to every letter's place on the board, and what the carver should know of it.

Lines are shaped, given their heights (asked for, or the largest that fits), spread where that is asked, stacked with
even light, placed by their edges as the eye sees them, and looked over: what does not fit, which shift has lost its
pair, where hands have pushed two grooves too near.
"""

from __future__ import annotations

from dataclasses import replace

from stopcut.errors import Finding, Severity, Where
from stopcut.setting.columns import tab_gap, tabbed
from stopcut.setting.drawn_in import draw_in, drawn_in_notes
from stopcut.setting.fitting import HeightFit, fit, openness_for
from stopcut.setting.lay import Lain, laid
from stopcut.setting.leaders import leaders
from stopcut.setting.line import LineShape, line_shape
from stopcut.setting.request import LineSetting, SettingRequest
from stopcut.setting.set_board import SetBoard, SetLetter, SetLine
from stopcut.setting.shifts import shifts_without_pair
from stopcut.setting.stack import ink_left, stacked
from stopcut.setting.verdict import does_not_fit, fitted, spread
from stopcut.shape.placed import Placed

__all__ = ["set_out"]


def set_out(request: SettingRequest) -> SetBoard:
    """Where every letter of every line stands. Pure: the same request gives the same board.

    Lines without ink are left out. Findings: does-not-fit, fit-limit, drawn-in, spread-openness, cannot-spread,
    shift-without-pair, arc-too-small. Whether grooves come too near each other is the groove's
    to say.
    """
    numbered = [
        (number, setting, shape)
        for number, setting in enumerate(request.lines, 1)
        if (shape := line_shape(setting.lettered, setting.tuck, setting.word_space)).letters
    ]
    if not numbered:
        return SetBoard(())
    asked = replace(request, lines=tuple(setting for _, setting, _ in numbered))
    shapes = [shape for *_, shape in numbered]
    findings: list[Finding] = []
    found = fit(asked, shapes) if any(s.cap_height_mm is None for s in asked.lines) else None
    lines = []
    for number, setting, shape in numbered:
        line, said = _line(request, setting, shape, found, number)
        lines.append(line)
        findings += said
    if found is not None:
        limit = numbered[found.limit - 1][0] if found.limit else 0
        findings.append(fitted(request, found.cap_height_mm, limit, found.fits))
    drawn, _ = draw_in(lines, request)
    findings += drawn_in_notes(drawn, lines, [number for number, *_ in numbered])
    lines = tabbed(drawn, request)
    baselines = stacked(lines, request)
    set_lines = []
    for (number, _, shape), line, y_mm in zip(numbered, lines, baselines, strict=True):
        left_mm = ink_left(line, request)
        between = leaders(line, request, left_mm, y_mm)
        set_lines.append(replace(_placed(line, number, left_mm, y_mm), leaders=between))
        findings += shifts_without_pair(shape, line.setting.shifts, number)
    findings += does_not_fit(request, lines, set_lines)
    return SetBoard(tuple(set_lines), tuple(findings))


def _line(
    request: SettingRequest, setting: LineSetting, shape: LineShape, found: HeightFit | None, number: int
) -> tuple[Lain, list[Finding]]:
    """A line at its height and openness."""
    height = setting.cap_height_mm
    if height is None:
        height = (found.cap_height_mm if found else 1.0) * setting.size
    findings = []
    try:
        line = laid(request, setting, shape, height)
    except ValueError as problem:
        findings.append(
            Finding(
                "arc-too-small",
                Severity.STOP,
                f"Line {number} cannot stand on its arc: {problem}.",
                "Give the arc a larger radius or the letters a smaller cap height; the line is shown straight.",
                Where(line=number),
            )
        )
        setting = replace(setting, arc=None)
        line = laid(request, setting, shape, height)
    if setting.align == "spread" and tab_gap(line) is None:
        openness = openness_for(request, setting, shape, height, edge=True) if len(shape.letters) > 1 else None
        if openness is not None:
            line = laid(request, setting, shape, height, openness)
        findings.append(spread(request, line, openness, number))
    return line, findings


def _placed(line: Lain, number: int, left_mm: float, y_mm: float) -> SetLine:
    shape = line.shape
    letters = []
    for reading in range(len(shape.letters)):
        place = shape.places[reading]
        letter, spot = shape.letters[place], line.spots[place]
        gap = shape.gap_after(reading)
        letters.append(
            SetLetter(
                placed=Placed(
                    letter.outline,
                    line.mm_per_em,
                    left_mm + spot.x_mm,
                    y_mm + spot.y_mm,
                    spot.turn_deg,
                    number,
                    reading + 1,
                    letter.char,
                    seen if (seen := line.setting.lettered.called(letter)) != letter.char else "",
                ),
                left_mm=left_mm + spot.box.left,
                right_mm=left_mm + spot.box.right,
                word=letter.word,
                model_gap_mm=None if gap is None else float(line.gaps.model[gap]),
                shift_mm=0.0 if gap is None else float(line.shifts[gap]),
                stem_mm=None if letter.stem is None else letter.stem * line.mm_per_em,
                pair=None if gap is None else shape.pairs.get(gap),
            )
        )
    return SetLine(
        number=number,
        words=line.setting.lettered.words,
        family=line.setting.lettered.face.family,
        cap_height_mm=line.cap_height_mm,
        openness=line.openness,
        baseline_y_mm=y_mm,
        ink_left_mm=left_mm,
        ink_right_mm=left_mm + line.box.width,
        scale=line.mm_per_em,
        letters=tuple(letters),
    )
