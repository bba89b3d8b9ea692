"""Boards built by hand for the tests of the sheets: stems, rings and a title board, with grooves worked on paper."""

from __future__ import annotations

import datetime
import itertools
import math

import numpy as np

from stopcut.errors import Finding, Severity, Where
from stopcut.groove.surface import Groove, GrooveLine, Roof
from stopcut.job.job import Board, Job
from stopcut.setting.set_board import SetBoard, SetLetter, SetLine
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Contour, Outline, polygon
from stopcut.shape.placed import Placed
from stopcut.work import Work

ISSUED = datetime.date(2026, 11, 25)
TEXT = 'format = 1\ntitle = "Marrow Lane gate board"\n'
WALL_DEG = 60.0
CIRCLE = 4 / 3 * (math.sqrt(2) - 1)  # handles of a quarter circle's cubic


def stem(width=0.16, height=1.0):
    """An upright stroke, in em."""
    return polygon([(0, 0), (width, 0), (width, height), (0, height)])


def ring(outer=0.5, inner=0.34):
    """A round letter: an outer circle of cubics and a hole of quadratics, in em."""
    return Outline((_circle(0.5, 0.5, outer), _octagon_of_quadratics(0.5, 0.5, inner)))


def board(lines=None, findings=None, avoid=(), **changed):
    """A work: a board with two lines of stems and rings. Anything of its job or board may be changed by name."""
    facts = {"width_mm": 900.0, "height_mm": 260.0, "thickness_mm": 28.0, "margin_mm": 40.0}
    facts |= {"wood": "lime", "grain": "width"}
    facts |= {name: changed.pop(name) for name in facts if name in changed}
    named = {"name": "job.toml", "title": "Marrow Lane gate board", "units": "mm", "text": TEXT, **changed}
    job = Job(**named, wanted_by=datetime.date(2027, 3, 4), board=Board(**facts), lines=(), avoid=tuple(avoid))
    work = Work(job)
    if lines is None:
        width = facts["width_mm"]
        lines = (words("IOIO OIOI", 1, 60.0, 140.0, width), words("OIOIOI", 2, 34.0, 60.0, width))
    # Worked on paper rather than by the rooms above: what the sheets draw is known to the last digit.
    work.__dict__["setting"] = SetBoard(tuple(lines))
    work.__dict__["grooves"] = tuple(groove(letter.placed) for line in lines for letter in line.letters)
    work.__dict__["_said"] = FINDINGS if findings is None else tuple(findings)
    return work


def small_board(**changed):
    """A board that one home sheet holds: a stem and a ring."""
    facts = {"width_mm": 120.0, "height_mm": 80.0, "margin_mm": 10.0, "findings": (), **changed}
    facts.setdefault("lines", (words("IO", 1, 40.0, 20.0, facts["width_mm"]),))
    return board(**facts)


def words(letters_and_spaces, number, cap, baseline, board_width):
    """A line of stems (I) and rings (O) centred on the board, with even gaps. [mm]"""
    gap = 0.35 * cap
    widths = {"I": 0.16 * cap, "O": 1.0 * cap, " ": 0.3 * cap}
    x = (board_width - sum(widths[char] + gap for char in letters_and_spaces) + gap) / 2
    letters, index, word = [], 0, 0
    for char in letters_and_spaces:
        if char == " ":
            word += 1
        else:
            index += 1
            outline = stem() if char == "I" else ring()
            placed = Placed(outline, cap, x, baseline, line=number, index=index, char=char)
            letters.append(SetLetter(placed, x, x + widths[char], word, gap))
        x += widths[char] + gap
    left, right = letters[0].left_mm, letters[-1].right_mm
    return SetLine(number, letters_and_spaces, "Stems and rings", cap, 1.0, baseline, left, right, cap, tuple(letters))


def groove(placed):
    """The groove of a stem or ring: its centre line with a run of parallel walls, and a stem's four corner lines."""
    mapped = placed.on_board
    flat = flatten(placed.outline, 0.001)
    lines = _stem_lines(mapped.bounds) if placed.char == "I" else _ring_lines(mapped.bounds)
    nodes = np.concatenate(flat.rings) * placed.scale + [placed.x_mm, placed.y_mm]
    roof = Roof(flat, nodes, np.zeros(len(nodes)), (), np.empty((0, 2), np.int64), np.empty((0, 2), np.int64))
    depth = max(float(line.depth_mm.max()) for line in lines)
    return Groove(placed, roof, WALL_DEG, None, nodes, np.zeros(len(nodes)), lines, depth, 1.0, mapped.area, 1.0)


def _stem_lines(box):
    half = box.width / 2
    x, bottom, top = box.centre[0], box.bottom + half, box.top - half
    lines = [_groove_line("centre", [(x, bottom), (x, top)], [half, half], ((3.0, top - bottom - 3.0),))]
    for y, corner_y in ((bottom, box.bottom), (top, box.top)):
        lines += [_groove_line("corner", [(x, y), (side, corner_y)], [half, 0]) for side in (box.left, box.right)]
    return tuple(lines)


def _ring_lines(box):
    x, y = box.centre
    radius, half = box.width * 0.42, box.width * 0.08
    around = np.linspace(0, 2 * math.pi, 121)
    points = np.column_stack([x + radius * np.cos(around), y + radius * np.sin(around)])
    length = float(np.hypot(*np.diff(points, axis=0).T).sum())
    ridge = _groove_line("arris", [(x, box.top - half), (x, box.top - 2 * half)], [half, half])
    return _groove_line("centre", points, [half] * len(points), ((0.0, length),)), ridge


def _groove_line(kind, points, halves, parallel=()):
    half = np.array(halves, dtype=float)
    return GrooveLine(kind, np.array(points, dtype=float), half, half * math.tan(math.radians(WALL_DEG)), parallel)


def _circle(x, y, r):
    k = CIRCLE * r
    return Contour(
        (
            ((x + r, y), (x + r, y + k), (x + k, y + r), (x, y + r)),
            ((x, y + r), (x - k, y + r), (x - r, y + k), (x - r, y)),
            ((x - r, y), (x - r, y - k), (x - k, y - r), (x, y - r)),
            ((x, y - r), (x + k, y - r), (x + r, y - k), (x + r, y)),
        )
    )


def _octagon_of_quadratics(x, y, r):
    """A hole, clockwise, of eight quadratics."""
    at = [2 * math.pi * -i / 8 for i in range(9)]
    reach = r / math.cos(math.pi / 8)
    segments = []
    for a, b in itertools.pairwise(at):
        middle = (a + b) / 2
        segments.append(
            (
                (x + r * math.cos(a), y + r * math.sin(a)),
                (x + reach * math.cos(middle), y + reach * math.sin(middle)),
                (x + r * math.cos(b), y + r * math.sin(b)),
            )
        )
    segments[-1] = (*segments[-1][:2], segments[0][0])
    return Contour(tuple(segments))


FINDINGS = (
    Finding(
        "too-deep",
        Severity.STOP,
        "The groove is 15.2 mm deep, more than half of the board's 28 mm.",
        "A flat bottom at 12 mm, a smaller letter or a thicker board would do.",
        Where(1, 2, 200.0, 150.0),
    ),
    Finding(
        "thin-stroke", Severity.LOOK, "The stroke is 1.1 mm, thin for this wood.", "A heavier weight.", Where(2, 3)
    ),
    Finding("weight-taken", Severity.NOTE, "The face has no weight 450; 400 was taken.", "Nothing need be done."),
)
