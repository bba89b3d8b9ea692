"""Coroutines in tests that share a worker with a browser, whose session keeps a loop on the main thread."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def run(made: Coroutine[Any, Any, Any]) -> Any:
    """What comes of a coroutine, on a thread and a loop of its own."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, made).result()
