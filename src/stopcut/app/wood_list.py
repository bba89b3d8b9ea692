"""The woods as a list shows them, the same wherever one is chosen."""

from __future__ import annotations

from collections.abc import Collection

__all__ = ["USUAL_WOODS", "listed_woods"]

USUAL_WOODS = (
    "European lime", "basswood", "white oak", "mahogany, true", "black walnut", "black cherry", "teak",
)  # fmt: skip
"""Woods that letters are mostly carved in, which stand first (common practice)."""


def listed_woods(names: Collection[str]) -> list[str]:
    """The usual carvers' woods, then all others by the alphabet."""
    first = [name for name in USUAL_WOODS if name in names]
    return [*first, *sorted(set(names) - set(first))]
