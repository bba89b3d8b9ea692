"""The job of a practice sheet: chosen letters alone, as the job they are from cuts them."""

from __future__ import annotations

from typing import Final

import regex

from stopcut.errors import CarverError
from stopcut.job.edits import At, RemoveTable, SetKey, SetWords, apply
from stopcut.work import Work

__all__ = ["ALPHABET", "practice_text"]

ALPHABET: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
MOST_LETTERS: Final = 60
"""Letters to practise at once. Our choice: more is no practice but a board."""
_PLAIN: Final = ("arc", "drop", "size", "shifts", "align", "line_gap")


def practice_text(work: Work, letters: str) -> str:
    """The text of a job that has only these letters, each once, as the job's first line cuts them and at its size.

    Raises CarverError where there is no letter, or too many.
    """
    chosen = list(dict.fromkeys(cluster for cluster in regex.findall(r"\X", letters) if not cluster.isspace()))
    if not chosen:
        raise CarverError("There is no letter to practise: name some, as in --letters ER.")
    if len(chosen) > MOST_LETTERS:
        raise CarverError(f"{len(chosen)} letters are too many to practise at once: {MOST_LETTERS} at most.")
    job, text = work.job, work.job.text
    cap = work.setting.lines[0].cap_height_mm
    left_out = [At("ornament", one.number, one.file) for one in reversed(job.ornaments)]
    left_out += [At("avoid", number, one.what) for number, one in reversed([*enumerate(job.avoid, 1)])]
    left_out += [At("border")] * (job.border is not None) + [At("match")] * (job.match is not None)
    left_out += [At("line", line.number, line.words) for line in reversed(job.lines[1:])]
    for at in left_out:
        text = apply(RemoveTable(at), text).text
    first = At("line", 1, job.lines[0].words)
    for key in _PLAIN:
        text = apply(SetKey(first, key, None), text).text
    # A board that surely holds them: a letter is hardly ever wider than 1.6 of its height.
    margin = 0.2 * cap
    sizes = {"width": 1.8 * cap * len(chosen) + 2 * margin, "height": 2.4 * cap + 2 * margin, "margin": margin}
    for key, size in sizes.items():
        text = apply(SetKey(At("board"), key, f"{size:.1f} mm"), text).text
    text = apply(SetKey(first, "cap_height", f"{cap:.3f} mm"), text).text
    text = apply(SetWords(first, " ".join(chosen)), text).text
    return apply(SetKey(At(), "title", f"{job.title}: practice"), text).text
