"""How times are said on paper."""

from __future__ import annotations

__all__ = ["in_hours"]


def in_hours(minutes: float) -> str:
    """A time as it is said: minutes, or quarters of hours where it is long."""
    if minutes < 90:
        return f"{minutes:.0f} min"
    whole = round(minutes / 15) * 15
    return f"{whole // 60} h {whole % 60} min" if whole % 60 else f"{whole // 60} h"
