"""Honours boards for tests: names and years in columns."""

from __future__ import annotations

__all__ = ["BOARD", "NAMES", "dated", "listed"]

BOARD = 'format = 1\ntitle = "Honours"\n[board]\nwidth = 700\nheight = 900\nthickness = 20\nmargin = 50\n'
NAMES = ("Ada Fenn", "Olive Quill", "Wyn Avery", "Jot Yarrow", "Vi Otter", "Tess Ives", "Nan Appleby")


def listed(columns: str, *lines: str, lettering: str = "cap_height = 15") -> str:
    words = "".join(f'[[line]]\nwords = "{one}"\n' for one in lines)
    return f"{BOARD}[columns]\n{columns}\n[lettering]\n{lettering}\n{words}"


def dated(before: bool = False) -> list[str]:
    return [f"{1998 + n}\\t{name}" if before else f"{name}\\t{1998 + n}" for n, name in enumerate(NAMES)]
