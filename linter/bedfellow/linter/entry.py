"""Where the command starts."""

from __future__ import annotations

import os


def main() -> None:
    """Run the command line. NumPy's threads cost more to start than a border can repay."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from bedfellow.linter.cli import app

    app()
