"""How far long work has come: one line on standard error, only where a person looks at it."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

EVERY = 0.1  # seconds between two pictures of the bar
WIDTH = 24


@contextmanager
def progress(what: str, whole: int | None = None) -> Iterator[Callable[[int], None]]:
    """A function to be told how much is done; the line is gone when the work ends.

    whole: how much there is, where that is known. Nothing is shown unless standard error is a terminal.
    """
    if not sys.stderr.isatty():
        yield lambda done: None
        return
    shown = 0.0

    def tell(done: int) -> None:
        nonlocal shown
        now = time.monotonic()
        if now - shown >= EVERY:
            shown = now
            sys.stderr.write(f"\r\033[K{line(what, done, whole)}")
            sys.stderr.flush()

    try:
        yield tell
    finally:
        sys.stderr.write("\r\033[K")
        sys.stderr.flush()


def line(what: str, done: int, whole: int | None) -> str:
    """The line itself: a bar where the whole is known, else a count."""
    if not whole:
        return f"{what}: {done:,}" if done else f"{what} …"
    full = min(WIDTH, WIDTH * done // whole)
    return f"{what}: {'■' * full}{'·' * (WIDTH - full)} {min(done / whole, 1):.0%}"
