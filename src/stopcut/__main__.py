"""`python -m stopcut` is the same as `stopcut`."""

from stopcut.cli.main import main

main()
