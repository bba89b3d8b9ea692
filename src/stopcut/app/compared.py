"""The same words set otherwise, to look at beside the setting: by equal gaps, or as the face's designer spaced them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from stopcut.app.board_view import known_grooves, setting_view
from stopcut.errors import CarverError
from stopcut.options.spacings import face_spacing
from stopcut.setting.compare import equal_gaps
from stopcut.setting.set_board import SetBoard
from stopcut.work import Work

__all__ = ["otherwise"]


def otherwise(work: Work, how: str, view_now: dict[str, Any]) -> dict[str, Any] | None:
    """A still board's view of the words by "equal" gaps or the "face"'s own; None for anything else.

    view_now is the view of the work as it is set: letters are lit by the same grooves.
    """
    try:
        board = _set(work, how)
    except CarverError:
        return None
    if board is None:
        return None
    other = replace(work)
    other.__dict__["setting"] = board  # the work's other stages are not asked for
    view = setting_view(other)
    view["wood"] = view_now.get("wood")
    view["grooves"] = known_grooves(view_now.get("grooves", []), view)
    view["grooves_state"] = "ready"
    return view


def _set(work: Work, how: str) -> SetBoard | None:
    if how == "equal":
        return equal_gaps(work.setting)
    if how == "face":
        return face_spacing(work)
    return None
