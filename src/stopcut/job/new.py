"""Jobs to begin with: the demo's, and a starter with its settings explained."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import resources
from typing import Final

from stopcut.units import Units
from stopcut.written.literals import literal

__all__ = ["demo_job_text", "new_job_text"]

_TOP: Final = """\
# A job for stopcut: one board with incised (V-cut) lettering, to be carved by hand.
# Raised lettering and relief are out of its scope: a ribbon or a wreath to be carved in relief can be drawn on the
# pattern (an ornament with carve = "none"), and the lettering keeps clear of it.
#
# Change what you like and keep what you like: a line that begins with # is a note, or a setting at rest.
# Then: stopcut measure {name}     and: stopcut sheets {name} --out sheets

format = 1
title = {title}
units = "{units}"                  # bare numbers below are in this; "mm" or "in"
# wanted_by = 2027-03-04      # the day it is wanted

[board]
width = {width:<22}# a length is a number, or "55 mm", "2 1/4 in", "1 ft 3 in", "0.5 m"
height = {height}
thickness = {thickness}
wood = "lime"
grain = "width"               # the fibres run along the board's "width" or "height"
margin = {margin}

[lettering]
face = "Cinzel"               # a family name (stopcut faces lists them), or the path of a font file
weight = 500                  # 1 to 1000, 400 is regular; or stem = {stem}, the width of an upright stroke; not both
cap_height = "fit"            # as large as the margins allow; or a height
openness = 1.0                # 1 = as the model sets it; larger is more open
align = "centre"              # "left", "centre", "right" or "spread"

[groove]
wall = 60                     # degrees from the board's face: 60 is usual
# flat_bottom = {flat_bottom:<14}# the groove goes no deeper than this
"""
_LINE: Final = """
[[line]]
words = {words}
"""
_NOTES: Final = """\
# anything of [lettering] or [groove] may be set again here for this line alone
# size = 0.6                  # this line's share of the cap height
# shifts = [{{ pair = {pair}, nth = 1, by = {by} }}]   # open or close one gap by hand
"""


def demo_job_text() -> str:
    """The job of the demo: the gate board of the Marrow Lane Allotment Society."""
    return resources.files("stopcut.job").joinpath("demo.toml").read_text(encoding="utf-8")


def new_job_text(
    title: str = "Marrow Lane plot board",
    words: Sequence[str] = ("MARROW LANE", "Plot 12"),
    units: Units = "mm",
    name: str = "job.toml",
) -> str:
    """A starter job with its settings explained, for a board of ordinary size in the units asked for.

    words are its lines; name is the file it will be kept in, for the commands that it mentions.
    """
    sizes = (
        {"width": "450", "height": "180", "thickness": "22", "margin": "25", "stem": '"6 mm"', "flat_bottom": "8"}
        if units == "mm"
        else {
            "width": "18",
            "height": "7",
            "thickness": '"7/8"',
            "margin": "1",
            "stem": '"1/4 in"',
            "flat_bottom": '"5/16"',
        }
    )
    by = '"0.4 mm"' if units == "mm" else '"1/64 in"'
    plain_name = name if name.isprintable() and " " not in name else literal(name)
    text = _TOP.format(title=literal(title), units=units, name=plain_name, **sizes)
    for number, line in enumerate(words):
        text += _LINE.format(words=literal(line))
        if number == 0:
            text += _NOTES.format(pair=literal("RO"), by=by)
    return text
