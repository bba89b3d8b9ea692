"""Why something was refused, as it is said beside the field that it was written in."""

from __future__ import annotations

from stopcut.errors import Fault, WrongJob
from stopcut.job.edit_values import Refused

__all__ = ["plainly"]


def plainly(problem: Exception) -> str:
    """The reason without the file's keys and lines, which the field beside it stands for."""
    faults: tuple[Fault, ...] = problem.faults if isinstance(problem, Refused | WrongJob) else ()
    if not faults:
        return str(problem)
    return " ".join(f"{_sentence(fault.found)}; {fault.remedy.rstrip('.')}." for fault in faults)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
