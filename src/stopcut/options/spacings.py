"""The job's words as other rules would space them, to lay beside the setting by eye.

Evenly, ink to ink, is `setting.compare.equal_gaps`; here is the face's own spacing, which needs the face once more.
"""

from __future__ import annotations

from itertools import pairwise

from stopcut.job.job import Line
from stopcut.lettering.letters import Lettered
from stopcut.lettering.line_letters import LineRequest
from stopcut.lettering.own_spacing import own_pens
from stopcut.setting.compare import Anchor, respaced
from stopcut.setting.set_board import SetBoard, SetLine
from stopcut.work import Work

__all__ = ["face_spacing"]

KEEPS: dict[str, Anchor] = {"left": "left", "right": "right", "centre": "middle", "spread": "middle"}
"""What of a line's ink stays in place, by how the job aligns it; a line that is no longer spread keeps its middle."""


def face_spacing(work: Work) -> SetBoard:
    """The board with its letters where the face's advance widths and kerning would put them, at the same heights.

    Lines keep their baselines, and their left edge, middle or right edge as the job aligns them (on an arc the middle);
    a line may come out wider than the board. Findings are left out. Raises WrongJob where the job cannot be set.
    """
    lines = {line.number: line for line in work.job.lines}
    lettered = {line.number: one for line, one in zip(work.job.lines, work.lettered, strict=True)}
    return SetBoard(tuple(_by_face(work, one, lines[one.number], lettered[one.number]) for one in work.setting.lines))


def _by_face(work: Work, set_line: SetLine, line: Line, lettered: Lettered) -> SetLine:
    # The weight drawn names the same file and place on its axis as the weight or stem that was asked for.
    request = LineRequest(
        words=line.words,
        face=line.face,
        base_folder=work.job.base_folder,
        weight=lettered.face.weight,
        features=line.features,
        line=line.number,
    )
    pens = zip(lettered.letters, own_pens(request), strict=True)
    reach = [
        (pen + letter.outline.bounds.left, pen + letter.outline.bounds.right) for letter, pen in pens if letter.outline
    ]
    gaps = [(after[0] - before[1]) * set_line.scale for before, after in pairwise(reach)]
    return respaced(set_line, gaps, KEEPS[line.align])
