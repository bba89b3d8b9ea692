"""What is asked of the setting: the board, its lines and the carver's own corrections, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from stopcut.job.job import Align, Arc, Shift
from stopcut.lettering.letters import Lettered
from stopcut.shape.outline import Outline
from stopcut.units import Units

__all__ = ["HeightFrom", "LineSetting", "ListPlace", "SettingRequest"]

HeightFrom = Literal["caps", "figures"]


@dataclass(frozen=True, slots=True)
class ListPlace:
    """A line's place in a list: which list of the board, its row and column there (all from 0), of how many columns.

    tab is how many words stand before the tab, None for a line without one; stop says that what follows it stands level
    with that of the list's other lines, else it stands at the column's far edge.
    """

    block: int
    row: int
    column: int
    columns: int
    tab: int | None = None
    stop: bool = False


@dataclass(frozen=True, slots=True)
class LineSetting:
    """One line and how it is to be set.

    cap_height_mm None asks for the largest that fits, size then being relative to the other such lines. openness 0 to
    4 (1 as the model sets it); tuck how far open sides close up (1 as fitted); word_space scales the spaces between
    words. line_gap scales the even light above this line, and line_gap_mm instead sets the wood between the baseline of
    the line above and this line's cap height. drop_mm moves this line alone down. height_from says whether
    cap_height_mm is that of the face's capitals or of its figures. entry is its place in a list, None for a line that
    has the board's width to itself; leader is what is carved again and again between what its tab parts, from the
    baseline up [em], None for nothing; draw_in that its letters may stand tighter where they are too long for its
    column.
    """

    lettered: Lettered
    cap_height_mm: float | None
    size: float = 1.0
    openness: float = 1.0
    tuck: float = 1.0
    align: Align = "centre"
    shifts: tuple[Shift, ...] = ()
    line_gap: float = 1.0
    line_gap_mm: float | None = None
    drop_mm: float = 0.0
    word_space: float = 1.0
    arc: Arc | None = None
    height_from: HeightFrom = "caps"
    entry: ListPlace | None = None
    leader: Outline | None = None
    draw_in: bool = False

    @property
    def height_em(self) -> float:
        """The height in em that cap_height_mm speaks of."""
        face = self.lettered.face
        return face.figure_height or face.cap_height if self.height_from == "figures" else face.cap_height


@dataclass(frozen=True, slots=True)
class SettingRequest:
    """A board and its lines, from the top.

    least_wood_mm is the least distance between two letters' grooves, between_mm the wood between two columns of a list,
    units what findings speak in.
    """

    width_mm: float
    height_mm: float
    margin_mm: float
    lines: tuple[LineSetting, ...]
    least_wood_mm: float = 1.0
    units: Units = "mm"
    between_mm: float = 0.0

    def room(self, line: LineSetting) -> tuple[float, float]:
        """Where a line may begin and must end, from the board's left edge: its column, or all between the margins."""
        left, right = self.margin_mm, self.width_mm - self.margin_mm
        if line.entry is None:
            return left, right
        wide = (right - left - (line.entry.columns - 1) * self.between_mm) / line.entry.columns
        left += line.entry.column * (wide + self.between_mm)
        return left, left + wide

    def room_mm(self, line: LineSetting) -> float:
        """How wide a line may be."""
        left, right = self.room(line)
        return right - left
