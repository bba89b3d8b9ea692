"""A section through a groove, drawn for the ledge: the face, the walls, width and depth in figures."""

from __future__ import annotations

from stopcut.groove.section import Section
from stopcut.units import Units, format_angle, format_length

__all__ = ["section_figures", "section_svg"]

WIDE, HIGH, SIDE = 320.0, 150.0, 26.0
"""The drawing's box, and how much of the face is drawn beside the groove. [drawing units] Our choice."""


def section_svg(section: Section) -> str:
    """The cut, as large as it fits, depth and width at one scale."""
    scale = min((WIDE - 2 * SIDE) / max(section.width_mm, 1e-6), (HIGH - 62) / max(section.deepest_mm, 1e-6))
    left = (WIDE - scale * section.width_mm) / 2
    face = 34.0
    points = [(left + scale * along, face + scale * depth) for along, depth in section.profile]
    walls = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    at = left + scale * section.at_mm
    right = left + scale * section.width_mm
    return (
        f'<svg viewBox="0 0 {WIDE:.0f} {HIGH:.0f}" role="img" aria-label="Section through the groove">'
        f'<polyline points="0,{face} {walls} {WIDE:.0f},{face}" fill="none" stroke="var(--ink)" stroke-width="1.6"/>'
        f'<line x1="{at:.1f}" y1="{face - 8}" x2="{at:.1f}" y2="{face + scale * section.depth_mm:.1f}" '
        'stroke="var(--red)" stroke-width="1.2"/>'
        f'<path d="M{left:.1f} 22V12M{right:.1f} 22V12M{left:.1f} 17H{right:.1f}" fill="none" '
        'stroke="var(--soft)" stroke-width="1"/>'
        "</svg>"
    )


def section_figures(section: Section, units: Units) -> dict[str, str]:
    """What the cut measures, for label and figure."""
    placed = section.groove.placed
    what = f"{placed.called} (line {placed.line}, letter {placed.index})" if placed.line else placed.char or "border"
    low, high = sorted(section.seen_deg)
    seen = format_angle(low) if high - low < 0.5 else f"{format_angle(low)} and {format_angle(high)}"
    return {
        "Through": what,
        "Width": format_length(section.width_mm, units),
        "Depth here": format_length(section.depth_mm, units),
        "Deepest in the cut": format_length(section.deepest_mm, units),
        "Wall from the face": format_angle(section.wall_deg)
        + ("" if seen == format_angle(section.wall_deg) else f", seen as {seen}"),
    }
