"""What the site has beyond the files of `docs/`: the pages at the checkout's top, and one of modules for every room.

mkdocs calls these as hooks. The README is the site's first page.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src"
TOP = {"README.md": "index.md", "ARCHITECTURE.md": "architecture.md", "CONTRIBUTING.md": "contributing.md"} | {
    "CHANGELOG.md": "changelog.md"
}
GUIDES = {"job.md": "The job", "app.md": "The workshop", "bench.md": "At the bench", "spacing.md": "Spacing"} | {
    "reliability.md": "What is promised",
    "mutants.md": "Mutants",
}


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """The order of the pages: guides first, then the house, then its rooms' modules."""
    config["nav"] = [
        {"stopcut": "index.md"},
        {"Guides": [{title: name} for name, title in GUIDES.items()]},
        {"The house": [{"Architecture": "architecture.md"}, {"Contributing": "contributing.md"}]},
        {"Modules": [{room: f"modules/{room}.md"} for room in rooms()]},
        {"Changes": "changelog.md"},
    ]
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """The pages that are not in the folder of the docs."""
    for name, there in TOP.items():
        text = (ROOT / name).read_text(encoding="utf-8").replace("](docs/", "](")
        files.append(File.generated(config, there, content=text))
    for room, modules in rooms().items():
        text = f"# {room}\n\n" + "".join(f"::: {module}\n\n" for module in modules)
        files.append(File.generated(config, f"modules/{room}.md", content=text))
    return files


def on_page_markdown(markdown: str, page: Any, config: MkDocsConfig, files: Files) -> str:
    """A list right under a line of text is a list, as it is where else the docs are read."""
    return re.sub(r"^(?![-|#\s])(.+)\n(?=- )", r"\1\n\n", markdown, flags=re.MULTILINE)


def rooms() -> dict[str, list[str]]:
    """Every room's modules by dotted name; what stands outside the rooms goes under "stopcut"."""
    found: dict[str, list[str]] = {"stopcut": []}
    for path in sorted((SOURCE / "stopcut").rglob("*.py")):
        parts = path.relative_to(SOURCE).with_suffix("").parts
        if not any((part.startswith("_") and part != "__init__") or part == "migrations" for part in parts):
            name = ".".join(part for part in parts if part != "__init__")
            room = parts[1] if len(parts) > 2 else "stopcut"
            found.setdefault(room, []).append(name)
    return found
