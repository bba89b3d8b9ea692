"""The job as the rooms work from it: every default filled in, every inheritance resolved, all lengths in mm."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Final, Literal

from stopcut.units import Units

__all__ = [
    "DEFAULTS",
    "Align",
    "Arc",
    "Avoid",
    "Board",
    "Border",
    "Columns",
    "Default",
    "Grain",
    "Job",
    "Leaders",
    "Line",
    "Match",
    "NamedStroke",
    "Ornament",
    "Shift",
    "StrokeKind",
    "WidenedLetter",
]

StrokeKind = Literal["stem", "bar", "diagonal", "leg", "tail", "bowl", "arc", "hairline", "serif"]
"""What a stroke may be called (common practice)."""
Align = Literal["left", "centre", "right", "spread"]
Leaders = Literal["none", "points", "dots"]
"""What is carved between a name and its year."""
Grain = Literal["width", "height"]
"""Which side of the board the fibres run along."""


@dataclass(frozen=True, slots=True)
class Default:
    """What a key is where the job does not set it, and why."""

    value: str | float | int
    because: str


# The one table of defaults, by dotted key. "board.margin" is a share of the board's shorter side,
# "columns.between" of its width.
DEFAULTS: Final = MappingProxyType(
    {
        "units": Default("mm", "our choice"),
        "board.wood": Default("lime", "common practice: the wood most people learn to carve letters in"),
        "board.grain": Default("width", "common practice: name boards are cut along the grain"),
        "board.margin": Default(0.1, "our choice, because a tenth of the shorter side leaves room on any board"),
        "lettering.face": Default("Cinzel", "our choice, because an inscriptional Roman was made to be cut"),
        "lettering.weight": Default(400, "our choice, because nearly every face has its regular weight"),
        "lettering.cap_height": Default("fit", "our choice: as large as the margins allow"),
        "lettering.openness": Default(1.0, "as the spacing model sets it"),
        "lettering.tuck": Default(1.0, "as the spacing model was fitted"),
        "lettering.align": Default("centre", "common practice"),
        "lettering.word_space": Default(1.0, "as the spacing model sets it"),
        "lettering.line_gap": Default(1.0, "the even light between lines"),
        "groove.wall": Default(60.0, "common practice: walls about 60° from the face"),
        "groove.face_off": Default(0.0, "nothing is planed or sanded off after carving"),
        "groove.planed": Default(0.0, "the face is as it was when the letters were drawn on it"),
        "line.size": Default(1.0, "the whole cap height"),
        "line.drop": Default(0.0, "where the even light puts the line"),
        "arc.bend": Default("up", "our choice: the middle of the line stands highest"),
        "columns.number": Default(1, "our choice: the lines of a list stand one under another"),
        "columns.between": Default(0.05, "our choice, because a twentieth of the board's width parts columns clearly"),
        "columns.after_tab": Default("edge", "common practice: names at the left edge, years at the right one"),
        "columns.leaders": Default("none", "our choice, because every leader is one cut more"),
        "ornament.turn": Default(0.0, "as drawn"),
        "ornament.carve": Default("groove", "our choice"),
        "border.lines": Default(1, "our choice"),
        "border.corners": Default("square", "our choice"),
    }
)


@dataclass(frozen=True, slots=True)
class Board:
    """The blank: its size, the wood as the job names it, and along which side the fibres run."""

    width_mm: float
    height_mm: float
    thickness_mm: float
    margin_mm: float
    wood: str
    grain: Grain


@dataclass(frozen=True, slots=True)
class Shift:
    """A correction by hand to one gap: the nth such pair of the line's letters, in reading order (see pairs.py).

    Either by_mm or by_share (a fraction of the line's cap height) is set; positive opens the gap.
    """

    pair: str
    nth: int = 1
    by_mm: float | None = None
    by_share: float | None = None

    def mm(self, cap_height_mm: float) -> float:
        """How much the gap opens at this cap height. [mm]"""
        return self.by_mm if self.by_mm is not None else (self.by_share or 0.0) * cap_height_mm


@dataclass(frozen=True, slots=True)
class NamedStroke:
    """What the carver calls a stroke instead: of the line's nth such letter, the stroke-th as the plan numbers them."""

    letter: str
    nth: int
    stroke: int
    kind: StrokeKind


@dataclass(frozen=True, slots=True)
class WidenedLetter:
    """A letter all of whose strokes are by_mm wider than the face has them: the line's nth such letter."""

    letter: str
    nth: int
    by_mm: float


@dataclass(frozen=True, slots=True)
class Arc:
    """The arc that a line's baseline follows; bend "up" has its middle highest, "down" lowest.

    On an arc bent up the letters' heads point away from the circle's centre, on one bent down towards it.
    """

    radius_mm: float
    bend: Literal["up", "down"] = "up"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of words with all that applies to it.

    Exactly one of weight (1 to 1000) and stem_mm is set. cap_height_mm is the full flat height of H before size is
    applied, None for "fit"; height_mm has size in it. line_gap scales the even light above this line unless line_gap_mm
    sets the distance; drop_mm lowers the line. One tab in words may part a name from its year (see Columns); in_columns
    says that the line is one of a list, draw_in that it may be set tighter where it is too long for its column.
    flat_bottom_mm and thinnest_mm are None where there is none.
    """

    number: int
    words: str
    face: str
    weight: float | None
    stem_mm: float | None
    cap_height_mm: float | None
    size: float
    openness: float
    tuck: float
    align: Align
    word_space: float
    line_gap: float
    line_gap_mm: float | None
    drop_mm: float
    arc: Arc | None
    features: tuple[str, ...]
    thinnest_mm: float | None
    wall_deg: float
    flat_bottom_mm: float | None
    shifts: tuple[Shift, ...]
    strokes: tuple[NamedStroke, ...] = ()
    widen: tuple[WidenedLetter, ...] = ()
    in_columns: bool = False
    draw_in: bool = False

    @property
    def height_mm(self) -> float | None:
        """The cap height that this line is carved at; None for "fit". [mm]"""
        return None if self.cap_height_mm is None else self.cap_height_mm * self.size


@dataclass(frozen=True, slots=True)
class Ornament:
    """A drawing on the board: its centre, its width, how far it is turned anticlockwise, and whether it is carved."""

    number: int
    file: str
    x_mm: float
    y_mm: float
    width_mm: float
    turn_deg: float
    carve: Literal["groove", "none"]


@dataclass(frozen=True, slots=True)
class Border:
    """A border ruled round the board: how far in it stands, how broad its strokes are, how many, and its corners."""

    inset_mm: float
    stroke_mm: float
    lines: Literal[1, 2]
    corners: Literal["square", "cut", "hollow"]


@dataclass(frozen=True, slots=True)
class Columns:
    """How the lines of a list stand: filled from the top, column by column, between_mm apart.

    after_tab says where a year (what follows the tab in a line's words) stands: at the column's far edge, or all of
    them level at one stop beyond the longest of what comes before. leaders says what is carved in between: nothing,
    small points, or the face's own full stops. draw_in says that names too long for their column may be set tighter.
    """

    number: int = 1
    between_mm: float = 0.0
    after_tab: Literal["edge", "stop"] = "edge"
    leaders: Leaders = "none"
    draw_in: bool = False


@dataclass(frozen=True, slots=True)
class Avoid:
    """Something on the board to keep clear of, by its centre: a round (radius_mm) or a rectangle (width and height)."""

    what: str
    x_mm: float
    y_mm: float
    radius_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Match:
    """Measurements of lettering that is already on the board. gaps are (pair, gap in mm)."""

    cap_height_mm: float | None
    stem_mm: float | None
    gaps: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Job:
    """A right job. text is the document it was read from and its truth; base_folder is where relative paths begin.

    name is what people call its file ("job.toml"); wall_deg and flat_bottom_mm are [groove]'s own, for ornaments and
    the border (lines have theirs); face_off_mm is what is sanded or planed away after carving, planed_mm what was
    planed off the face while the letters were being cut: they are as much shallower, and narrower at the face.
    """

    name: str
    title: str
    units: Units
    wanted_by: datetime.date | None
    board: Board
    lines: tuple[Line, ...]
    ornaments: tuple[Ornament, ...] = ()
    border: Border | None = None
    avoid: tuple[Avoid, ...] = ()
    match: Match | None = None
    wall_deg: float = 60.0
    flat_bottom_mm: float | None = None
    face_off_mm: float = 0.0
    planed_mm: float = 0.0
    columns: Columns = Columns()
    text: str = field(default="", repr=False)
    base_folder: Path | None = None
