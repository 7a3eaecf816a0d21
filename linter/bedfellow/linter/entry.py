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
    from bedfellow.linter import remembered

    name = remembered.key(sys.argv[1:])
    if name is None:
        _run()
    elif (former := remembered.answer(name)) is not None:
        sys.stdout.write(former[1])
        sys.exit(former[0])
    else:
        _run_and_keep(name)


def _run() -> None:
    from bedfellow.linter.cli import app

    app()


def _run_and_keep(name: str) -> None:
    from bedfellow.linter.remembered import Listener, keep

    stdout, stderr = sys.stdout, sys.stderr
    out, err = Listener(stdout), Listener(stderr)
    sys.stdout, sys.stderr = out, err
    try:
        _run()
    except SystemExit as end:
        if end.code in (0, 1, None) and not err.heard:
            keep(name, int(end.code or 0), "".join(out.heard))
        raise
    finally:
        sys.stdout, sys.stderr = stdout, stderr


if __name__ == "__main__":
    main()
