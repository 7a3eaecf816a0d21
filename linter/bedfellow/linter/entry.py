"""Where the command starts."""

from __future__ import annotations

import os
import sys


def main() -> None:
    """Run the command line. NumPy's threads cost more to start than a border can repay.

    What is piped or redirected is UTF-8, as JSON and SARIF ask; a terminal gets what it can show, the rest escaped.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="backslashreplace")
    from bedfellow.linter.cli import app

    app()
