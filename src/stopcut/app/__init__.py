"""The workshop in the browser: one process that serves this machine alone, or its own network when asked to.

`serve` runs it behind `door`, which turns away whoever is not meant to come in; `pages` puts the pages on it. Nothing
here is imported by the other commands, so that they start without a server's libraries.
"""
