"""The house's own rules, read off the code: what rooms import, which names they give, which names stand twice.

    python -m checks.house      names that are imported though their module does not give them in its __all__

`make check` runs it; the tests hold ARCHITECTURE.md's table against the imports and the import contract.
"""

from __future__ import annotations

import ast
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

__all__ = ["EVERYWHERE", "hidden_imports", "names_twice", "room_imports", "stems_twice"]

SOURCE = Path(__file__).parent.parent / "src"

EVERYWHERE = frozenset({"units", "errors", "arrays", "home", "files", "keep", "interrupted"})
"""What stands outside the rooms: every room may import it."""


def modules() -> dict[str, ast.Module]:
    """Every module of the package by its dotted name, migrations apart (the database's past has names of its own)."""
    found = {}
    for path in sorted(SOURCE.rglob("*.py")):
        name = ".".join(path.with_suffix("").relative_to(SOURCE).parts).removesuffix(".__init__")
        if ".migrations." not in name:
            found[name] = ast.parse(path.read_text(encoding="utf-8"))
    return found


def _imports(tree: ast.Module) -> Iterator[tuple[str, str, int]]:
    """What a module imports from the package: module, name in it, line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.partition(".")[0] == "stopcut":
            yield from ((node.module, one.name, node.lineno) for one in node.names)


def _given(tree: ast.Module) -> set[str] | None:
    """What __all__ lists; None where there is none."""
    for node in tree.body:
        if isinstance(node, ast.Assign) and any(isinstance(t, ast.Name) and t.id == "__all__" for t in node.targets):
            return set(ast.literal_eval(node.value))
    return None


def hidden_imports() -> list[str]:
    """Imports of what its module does not give, a sentence each; modules that are not there too."""
    all_modules = modules()
    found = []
    for name, tree in all_modules.items():
        for module, wanted, line in _imports(tree):
            if f"{module}.{wanted}" in all_modules:
                continue
            if module not in all_modules:
                found.append(f"{name}, line {line}: there is no {module}.")
                continue
            given = _given(all_modules[module])
            if given is None or wanted not in given:
                found.append(f"{name}, line {line}: {module} does not give {wanted} in its __all__.")
    return found


def room_imports() -> dict[str, set[str]]:
    """Which rooms each room imports, those that stand everywhere apart."""
    found: dict[str, set[str]] = defaultdict(set)
    for name, tree in modules().items():
        room = name.split(".")[1] if "." in name else ""
        for module, wanted, _ in _imports(tree):
            parts = [*module.split("."), wanted]
            if room and parts[1] not in {room, *EVERYWHERE, "__version__"}:
                found[room].add(parts[1])
    return dict(found)


def stems_twice() -> set[str]:
    """Names of modules that two rooms have."""
    stems = [
        path.stem for path in SOURCE.rglob("*.py") if not path.stem.startswith("_") and "migrations" not in path.parts
    ]
    return {stem for stem in stems if stems.count(stem) > 1}


def names_twice() -> set[str]:
    """Names of classes and of kinds (aliases) that two modules make."""
    made: dict[str, set[str]] = defaultdict(set)
    for module, tree in modules().items():
        for node in tree.body:
            if isinstance(node, ast.ClassDef):
                made[node.name].add(module)
            elif isinstance(node, ast.Assign | ast.AnnAssign):
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                for target in targets:
                    if isinstance(target, ast.Name) and target.id[:1].isupper() and not target.id.isupper():
                        made[target.id].add(module)
    return {name for name, places in made.items() if len(places) > 1}


if __name__ == "__main__":
    faults = hidden_imports()
    print("\n".join(faults) or "Every name that is imported is given by its module.")
    sys.exit(bool(faults))
