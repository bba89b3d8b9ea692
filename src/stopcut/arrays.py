"""The kinds of array that rooms hand to one another: what stands in them, and how exactly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["Array", "Flags", "Indices", "Single"]

Array = NDArray[np.float64]
"""Lengths, places, angles: what is measured and reckoned with."""

Indices = NDArray[np.int64]
"""Whole numbers: which edge, which face, how many."""

Flags = NDArray[np.bool_]
"""Yes or no."""

Single = NDArray[np.float32]
"""What is only looked at: the parts of a picture."""
