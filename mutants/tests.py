"""Which test files try a module: its own, then those that reach it by the fewest imports."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

__all__ = ["tests_near"]

ROOT = Path(__file__).resolve().parent.parent
JUDGES = ("groove", "setting", "bench", "job", "store", "work", "options")
"""Whose tests try mutants: the rooms', and those of the two that stand on all of them without drawing."""


def tests_near(room: str, module: str) -> list[str]:
    """Test files that reach a module, its own first, then by the imports between, its room's before others."""
    own = f"test_{room}_{module}"
    steps = {
        path.stem: _steps(path.stem, f"stopcut.{room}.{module}")
        for judge in JUDGES
        for path in (ROOT / "tests").glob(f"test_{judge}*.py")
    }
    reached = [name for name, far in steps.items() if far is not None]
    reached.sort(key=lambda name: (name != own, steps[name], not name.startswith(f"test_{room}"), name))
    return [f"tests/{name}.py" for name in reached]


@cache
def _steps(start: str, wanted: str) -> int | None:
    """The fewest imports from one module to another; None where there is no way."""
    seen, ring, far = {start}, [start], 0
    while ring:
        if wanted in ring:
            return far
        ring = [name for one in ring for name in _imported(one) if not (name in seen or seen.add(name))]  # type: ignore
        far += 1
    return None


@cache
def _imported(name: str) -> tuple[str, ...]:
    """Modules of the package and of the tests that a module imports, wherever it does."""
    path = _file(name)
    if path is None:
        return ()
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found += [node.module, *(f"{node.module}.{one.name}" for one in node.names)]
        elif isinstance(node, ast.Import):
            found += [one.name for one in node.names]
    return tuple(one for one in found if _file(one) is not None)


def _file(name: str) -> Path | None:
    parts = name.split(".")
    place = (ROOT / "src" if parts[0] == "stopcut" else ROOT / "tests").joinpath(*parts)
    return next((one for one in (place.with_suffix(".py"), place / "__init__.py") if one.is_file()), None)
