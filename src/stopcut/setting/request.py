"""What is asked of the setting: the board, its lines and the carver's own corrections, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from stopcut.job.job import Align, Arc, Shift
from stopcut.lettering.letters import Lettered
from stopcut.units import Units

__all__ = ["HeightFrom", "LineSetting", "SettingRequest"]

HeightFrom = Literal["caps", "figures"]


@dataclass(frozen=True, slots=True)
class LineSetting:
    """One line and how it is to be set.

    cap_height_mm None asks for the largest that fits, size then being relative to the other such lines. openness 0 to
    4 (1 as the model sets it); tuck how far open sides close up (1 as fitted); word_space scales the spaces between
    words. line_gap scales the even light above this line, and line_gap_mm instead sets the wood between the baseline of
    the line above and this line's cap height. drop_mm moves this line alone down. height_from says whether
    cap_height_mm is that of the face's capitals or of its figures.
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

    @property
    def height_em(self) -> float:
        """The height in em that cap_height_mm speaks of."""
        face = self.lettered.face
        return face.figure_height or face.cap_height if self.height_from == "figures" else face.cap_height


@dataclass(frozen=True, slots=True)
class SettingRequest:
    """A board and its lines, from the top.

    least_wood_mm is the least distance between two letters' grooves, units what findings speak in.
    """

    width_mm: float
    height_mm: float
    margin_mm: float
    lines: tuple[LineSetting, ...]
    least_wood_mm: float = 1.0
    units: Units = "mm"
