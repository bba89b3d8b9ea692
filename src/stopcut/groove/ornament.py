"""Ornaments: drawings placed on the board, to be carved like letters or only drawn on the pattern."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stopcut.foreign.svg import read_svg
from stopcut.job.job import Job, Ornament
from stopcut.shape.outline import Outline
from stopcut.shape.placed import Placed

__all__ = ["PlacedOrnament", "ornaments", "place_ornament"]


@dataclass(frozen=True)
class PlacedOrnament:
    """An ornament where it stands. What is not carved (a ribbon for relief) is on the pattern only."""

    ornament: Ornament
    placed: Placed

    @property
    def carved(self) -> bool:
        """Whether it becomes a groove."""
        return self.ornament.carve == "groove"


def ornaments(job: Job) -> tuple[PlacedOrnament, ...]:
    """The job's ornaments where they stand. Raises BadFile for a drawing that cannot be used."""
    folder = job.base_folder or Path()
    return tuple(
        PlacedOrnament(ornament, place_ornament(ornament, read_svg(folder / ornament.file)))
        for ornament in job.ornaments
    )


def place_ornament(ornament: Ornament, drawing: Outline) -> Placed:
    """A drawing (in any unit) as wide as the ornament asks, turned about its centre, its centre where it is asked.

    The width is the ink's before turning. Two ornaments of one drawing share its outline, whatever their places.
    """
    box = drawing.bounds
    x, y = box.centre
    return Placed(
        outline=drawing.moved(-x, -y),
        scale=ornament.width_mm / box.width,
        x_mm=ornament.x_mm,
        y_mm=ornament.y_mm,
        turn_deg=ornament.turn_deg,
        char=Path(ornament.file).stem,
    )
