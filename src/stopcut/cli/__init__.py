"""The commands: what a carver types, and what comes back in plain words.

`main` is the entry point. Exit status: 0; 1 with a finding that says stop; 2 for a wrong job (a lacking character or a
bad font included); 130 once Ctrl-C was pressed; 3 for anything else.
"""

from stopcut.cli.main import main

__all__ = ["main"]
