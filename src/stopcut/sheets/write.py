"""All files of a job together: pattern, board for other programs, the picture of it carved, and the job itself."""

from __future__ import annotations

import datetime
from pathlib import Path

from stopcut.files import write_together
from stopcut.sheets.board_svg import board_svg
from stopcut.sheets.carved_picture import carved_png
from stopcut.sheets.pattern import ONE_SHEET, pattern_pdf
from stopcut.work import Work

__all__ = ["sheet_files", "write_sheets"]


def sheet_files(
    work: Work, *, paper: str | None = None, issued: datetime.date | None = None, whole: bool = False
) -> dict[str, bytes]:
    """What is written for a job, by file name.

    paper and issued as pattern_pdf takes them. whole adds pattern_whole.pdf, the whole board on one large sheet for a
    print shop. Raises UnknownPaper or PaperTooSmall.
    """
    work.progress("Pattern", 0.0)
    files = {"pattern.pdf": pattern_pdf(work, paper, issued=issued)}
    if whole:
        files["pattern_whole.pdf"] = pattern_pdf(work, ONE_SHEET, issued=issued)
    files["board.svg"] = board_svg(work)
    work.progress("Picture", 0.5)
    files["carved.png"] = carved_png(work)
    files["job.toml"] = work.job.text.encode()
    return files


def write_sheets(
    work: Work,
    folder: Path,
    *,
    paper: str | None = None,
    issued: datetime.date | None = None,
    whole: bool = False,
) -> tuple[Path, ...]:
    """Write a job's files into a folder (made if need be) and return their paths: all of them, or none.

    Raises BadFile if they cannot be written, and whatever sheet_files raises before anything is touched.
    """
    return write_together(folder, sheet_files(work, paper=paper, issued=issued, whole=whole))
