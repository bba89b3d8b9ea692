"""Reading the words before they are cut: the client's message beside the board's lines, and what to look at twice.

A word cut in wood stays wrong for as long as the board hangs. What is marked here is marked for a person to judge: no
spelling is corrected and no name called wrong.
"""

from __future__ import annotations

from collections.abc import Sequence

from stopcut.job.against_message import against_message
from stopcut.job.misprints import misprints
from stopcut.job.remarks import Remark

__all__ = ["Remark", "proof"]


def proof(message: str, lines: Sequence[str]) -> tuple[Remark, ...]:
    """All remarks about a board's lines of words, in reading order; message is the client's, "" where there is none.

    Kinds: differs, added, missing, order and case against the message; doubled, quotes, figures, spaces, dashes,
    scripts and brackets in the lines themselves. One place of one kind is remarked once.
    """
    found = (*against_message(message, lines), *misprints(lines))
    return tuple(sorted(found, key=lambda remark: (remark.line, remark.start, remark.end)))
