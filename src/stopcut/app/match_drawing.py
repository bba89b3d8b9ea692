"""The small drawing of what to measure of lettering that is already on a board: cap height, stem, gaps edge to edge.

Two letters of our own making, drawn for this alone: an H, whose height is flat and whose stem is upright, and an O, to
which a gap is measured at its outermost. What is measured in the field in use is red (the page's style sees to that).
"""

from __future__ import annotations

from typing import Final

__all__ = ["MEASURES", "match_svg"]

MEASURES: Final = ("cap", "stem", "gap")
"""What is measured, in the order of the drawing's figures: each is a group of the drawing, and a field beside it."""

_TOP, _FOOT = 66, 166
"""Where capitals begin and end, from the drawing's upper edge. [drawing units, as all below] Our choice."""
_STEM = (92, 110)
_SECOND = (162, 180)
_SERIF, _THICK = 12, 4
_O_LEFT, _O_RIGHT = 214, 316
_O_OVER = 2

_LABEL: Final = "What to measure: 1 the height of a capital, 2 an upright stroke, 3 a gap, from edge to edge"


def match_svg() -> str:
    """The drawing, with its figures 1 to 3."""
    (left, right), (first, last) = _STEM, (_STEM[0] - _SERIF, _SECOND[1] + _SERIF)
    return (
        f'<svg viewBox="0 0 360 226" class="match-drawing" role="img" aria-label="{_LABEL}">'
        '<rect class="wood" x="16" y="20" width="328" height="192"/>'
        f'<path class="letters" fill-rule="evenodd" d="{_h()}{_o()}"/>'
        + _measure("cap", f"M{first - 4} {_TOP}H46M{first - 4} {_FOOT}H46", f"M52 {_TOP}V{_FOOT}", (38, 122))
        + _measure("stem", f"M{left} {_TOP - 5}V38M{right} {_TOP - 5}V38", f"M{left} 44H{right}", (left + 9, 33))
        + _measure("gap", f"M{last} {_FOOT + 5}V194M{_O_LEFT} 124V194", f"M{last} 188H{_O_LEFT}", (last + 11, 208))
        + "</svg>"
    )


def _measure(name: str, bounds: str, between: str, at: tuple[int, int]) -> str:
    """A dimension: two lines away from the letter, one between them with a stroke at each end, and its figure."""
    return (
        f'<g class="measure of-{name}"><path class="away" d="{bounds}"/><path class="between" d="{between}"/>'
        f'<text x="{at[0]}" y="{at[1]}" text-anchor="middle">{MEASURES.index(name) + 1}</text></g>'
    )


def _h() -> str:
    """Two stems with serifs, and the bar between them."""
    bar = (_TOP + _FOOT) // 2 - 5
    middle = f"M{_STEM[1]} {bar}H{_SECOND[0]}v7H{_STEM[1]}Z"
    return _upright(*_STEM) + _upright(*_SECOND) + middle


def _upright(left: int, right: int) -> str:
    foot, top = _FOOT - _THICK, _TOP + _THICK
    wide = right - left + 2 * _SERIF
    return (
        f"M{left - _SERIF} {_TOP}h{wide}v{_THICK}Q{right} {top} {right} {top + 9}V{foot - 9}"
        f"Q{right} {foot} {right + _SERIF} {foot}v{_THICK}h-{wide}v-{_THICK}Q{left} {foot} {left} {foot - 9}"
        f"V{top + 9}Q{left} {top} {left - _SERIF} {top}Z"
    )


def _o() -> str:
    """An O, a little higher than flat letters; its inside leans on its broad sides."""
    middle = (_TOP + _FOOT) / 2
    high = (_FOOT - _TOP) / 2 + _O_OVER
    wide = (_O_RIGHT - _O_LEFT) / 2
    return _ring(_O_LEFT, middle, wide, high) + _ring(_O_LEFT + 19, middle, wide - 19, high - 7)


def _ring(left: float, middle: float, wide: float, high: float) -> str:
    return f"M{left} {middle}a{wide} {high} 0 1 0 {2 * wide} 0a{wide} {high} 0 1 0 -{2 * wide} 0Z"
