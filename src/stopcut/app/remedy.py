"""A remedy: one press beside a finding."""

from __future__ import annotations

from dataclasses import dataclass

from stopcut.job.edit_values import Edit

__all__ = ["Remedy"]


@dataclass(frozen=True, slots=True)
class Remedy:
    """One press: what it says, and the edits that it makes."""

    label: str
    edits: tuple[Edit, ...]
