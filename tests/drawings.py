"""Drawings that tests bring in."""

from __future__ import annotations

LEAF = b"""<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10">
<path d="M0 5 C5 -2 15 -2 20 5 C15 12 5 12 0 5 Z"/></svg>"""
