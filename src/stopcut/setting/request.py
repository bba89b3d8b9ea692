"""What is asked of the setting: the board, its lines and the carver's own corrections, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from stopcut.lettering.letters import Lettered
from stopcut.units import Units

__all__ = ["Align", "Arc", "HeightFrom", "LineSetting", "SettingRequest", "Shift"]

Align = Literal["left", "centre", "right", "spread"]
HeightFrom = Literal["caps", "figures"]


@dataclass(frozen=True, slots=True)
class Shift:
    """A correction by hand of one gap: added to the model's.

    pair is the two letters as they stand ("RO"), nth which such pair of the line, from 1; exactly one of by_mm and
    by_pct (per cent of the line's cap height, so that it grows with the letters) is given.
    """

    pair: str
    nth: int = 1
    by_mm: float | None = None
    by_pct: float | None = None

    def mm(self, cap_height_mm: float) -> float:
        """The correction at a cap height. [mm]"""
        return self.by_mm if self.by_mm is not None else (self.by_pct or 0.0) / 100 * cap_height_mm


@dataclass(frozen=True, slots=True)
class Arc:
    """A line bent to a circle: radius_mm that of the arc its letters stand on, > 0; "up" has its middle highest.

    On an arc bent up the letters' heads point away from the circle's centre, on one bent down towards it.
    """

    radius_mm: float
    bend: Literal["up", "down"] = "up"


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
