"""What every command says and writes: a refusal in words, and files that are complete or absent."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn, TextIO

import typer


def refuse(message: str) -> NoReturn:
    """Say why not, and end with exit status 2."""
    typer.echo(f"bedfellow: {message}", err=True)
    raise typer.Exit(2)


def write(text: str, output: Path | None) -> None:
    """To standard output, or to a file that is complete or absent."""
    if output is None:
        sys.stdout.write(text)
        return
    with whole_file(output) as file:
        file.write(text)


@contextlib.contextmanager
def whole_file(output: Path) -> Iterator[TextIO]:
    """A text file that is moved into place when all of it is written; a pipe or a device is written as it stands."""
    import tempfile

    aside = None
    try:
        if output.exists() and not output.is_file() and not output.is_dir():
            with output.open("w", encoding="utf-8", newline="\n") as file:  # it has nothing to lose
                yield file
            return
        handle, aside = tempfile.mkstemp(prefix=".", dir=output.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            yield file
        Path(aside).chmod(0o644)
        Path(aside).replace(output)
        aside = None
    except OSError as error:
        refuse(f"{output} cannot be written: {error.strerror}")
    finally:
        if aside:
            Path(aside).unlink(missing_ok=True)
