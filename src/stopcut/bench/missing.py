"""What a roll cannot do, and which one tool to buy or borrow would help most.

A cut is badly served where nothing in the roll fits, or where only the point of an edge follows it. The tools that are
tried are of usual widths and shapes (common practice), not a maker's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from stopcut.bench.choose import Outfit, options
from stopcut.bench.plan import Cut
from stopcut.bench.settings import PUBLISHED_BENCH, BenchSettings
from stopcut.shop.rates import PUBLISHED_RATES
from stopcut.shop.tools import Roll, Tool

__all__ = ["USUAL", "Advice", "advice", "badly_served"]

WIDTHS_MM: Final = (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 20, 25)
"""Usual widths of edges. [mm] Common practice."""
SHAPES: Final = (0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0)
"""Radius over width of usual sweeps, from half a circle to nearly flat. Our choice of steps: makers differ."""
POINT_SHARE: Final = 0.5
"""A cut of which more is drawn with the corner of an edge is not served. Our choice."""
USUAL: Final[tuple[Tool, ...]] = (
    *(Tool(f"chisel {width}", "chisel", width, measured=False) for width in WIDTHS_MM),
    *(
        Tool(f"gouge {width}, radius {shape * width:g}", "gouge", width, shape * width, measured=False)
        for width in WIDTHS_MM
        for shape in SHAPES
    ),
)
"""The tools that are tried."""


@dataclass(frozen=True, slots=True)
class Advice:
    """tool would serve helps of the badly served cuts (their ids in cuts); the best of the usual tools."""

    tool: Tool
    helps: int
    cuts: tuple[str, ...]


def badly_served(cuts: Sequence[Cut]) -> tuple[Cut, ...]:
    """The cuts that no edge of the roll fits; points are cleaned with a corner anyhow, and dots begin with one."""
    return tuple(
        cut
        for cut in cuts
        if cut.kind not in ("corner", "floor") and cut.length_mm > 0 and (cut.tool is None or cut.use == "point")
    )


def advice(cuts: Sequence[Cut], settings: BenchSettings = PUBLISHED_BENCH) -> Advice | None:
    """The one tool that would help most; None where all is well served or no usual tool helps."""
    wanting = badly_served(cuts)
    if not wanting:
        return None
    shop = Outfit(Roll(USUAL), settings, PUBLISHED_RATES, PUBLISHED_RATES.hardness_lbf)
    helped: list[list[str]] = [[] for _ in USUAL]
    for cut in wanting:
        found = options(cut, shop)
        run = max(found.run_mm, 1e-9)
        for n in np.flatnonzero(np.isfinite(found.seconds) & (found.missed_mm <= POINT_SHARE * run)).tolist():
            helped[n].append(cut.id)
    best = max(range(len(USUAL)), key=lambda n: (len(helped[n]), -n))
    return Advice(USUAL[best], len(helped[best]), tuple(helped[best])) if helped[best] else None
