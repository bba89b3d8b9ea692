"""How this carver likes to cut, with a published answer for each question."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

__all__ = ["PUBLISHED_BENCH", "WHY_BENCH", "BenchSettings", "soft"]


@dataclass(frozen=True, slots=True)
class BenchSettings:
    """Where a plan may differ from bench to bench. WHY_BENCH has the reason of each published value.

    tolerance_mm is how far the ends of an edge may lie off the line that is cut; short_mm how much less deep than the
    groove a stop cut goes, but no more than short_share of the depth; overlap the share of an edge that is set in the
    last cut's mark; pass_mm how deep one pass goes. end_cuts come before or after the main walls; serifs are straight
    or hollow. soft_wood says whether hand pressure will do along the grain. acute_deg is the angle of the wood inside
    an apex below which it is cut with care.
    """

    tolerance_mm: float = 0.15
    short_mm: float = 0.3
    short_share: float = 0.2
    overlap: float = 0.2
    pass_mm: float = 4.0
    end_cuts: Literal["before", "after"] = "before"
    serifs: Literal["straight", "hollow"] = "hollow"
    soft_wood: bool = True
    acute_deg: float = 60.0


PUBLISHED_BENCH: Final = BenchSettings()

WHY_BENCH: Final = MappingProxyType(
    {
        "tolerance_mm": "our choice: half the width of a sharp pencil's line",
        "short_mm": "common practice that a stop cut ends a little short of the bottom; the figure is our choice",
        "short_share": "our choice, so that a shallow groove is stopped too",
        "overlap": "common practice that each setting begins in the last one's mark; the share is our choice",
        "pass_mm": "common practice that deep walls are taken in passes; the depth of one is our choice",
        "end_cuts": "our choice: both ways are common practice",
        "serifs": "our choice: straight or hollow are both common practice",
        "soft_wood": "our choice: lime, the default wood, is soft",
        "acute_deg": "common practice that the wedge of the tool lifts an acute inner point; the angle is our choice",
    }
)

SOFT_LBF: Final = 700.0
"""Side hardness at 12 % moisture below which hand pressure will do along the grain. [pound-force] Our choice: over lime
and the pines, under the mahoganies, walnut and oak (Wood Handbook, FPL-GTR-190, chapter 5)."""


def soft(hardness_lbf: float | None) -> bool:
    """Whether hand pressure will do along the grain of a wood this hard; not where that is not known. [pound-force]"""
    return hardness_lbf is not None and hardness_lbf < SOFT_LBF
