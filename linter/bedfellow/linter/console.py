"""What every command says and writes: a refusal in words, and files that are complete or absent."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn, TextIO

import typer

from bedfellow.linter.report.plain import plain


def refuse(message: str) -> NoReturn:
    """Say why not, and end with exit status 2. What came from a file cannot steer the terminal."""
    typer.echo("\n".join(map(plain, f"bedfellow: {message}".split("\n"))), err=True)
    raise typer.Exit(2)


def write(text: str, output: Path | None) -> None:
    """To standard output, or to a file that is complete or absent."""
    if output is None:
        sys.stdout.write(text)
        return
    with whole_file(output) as file:
        file.write(text)


def deliver(data: bytes, output: Path, replace: bool) -> None:
    """To a file that is complete or absent; one that is there already is put aside only where the person says so."""
    if not replace and output.is_file():
        refuse(f"{output} is there already; --replace writes it anew")
    try:
        with _in_place_of(output) as (handle, aside):
            with os.fdopen(handle, "wb") as file:
                file.write(data)
            aside.chmod(0o644)
    except OSError as error:
        refuse(f"{output} cannot be written: {_why(output, error)}")


@contextlib.contextmanager
def whole_file(output: Path) -> Iterator[TextIO]:
    """A text file that is moved into place when all of it is written; a pipe or a device is written as it stands."""
    try:
        if output.exists() and not output.is_file() and not output.is_dir():
            with output.open("w", encoding="utf-8", newline="\n") as file:  # it has nothing to lose
                yield file
            return
        with _in_place_of(output) as (handle, aside):
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                yield file
            aside.chmod(0o644)
    except OSError as error:
        refuse(f"{output} cannot be written: {_why(output, error)}")


def rewrite(file: Path, former: str, text: str) -> None:
    """Put a text in place of the one that was read from a file: whole or not at all, in its encoding and with its rights.

    A file that has changed since, or that may not be written, is left as it is; a refusal says so.
    """
    import shutil

    from bedfellow.schema.encoding import decode, encoded

    try:
        raw = file.read_bytes()
        if decode(raw)[0] != former:
            refuse(f"{file} has changed since it was read; nothing was written")
        if not os.access(file, os.W_OK):
            refuse(f"{file} may not be written; nothing was changed")
        target = file.resolve()
        with _in_place_of(target) as (handle, aside):
            with os.fdopen(handle, "wb") as whole:
                whole.write(encoded(text, raw))
            shutil.copymode(target, aside)
    except OSError as error:
        refuse(f"{file} cannot be written: {error.strerror}")


def _why(target: Path, error: OSError) -> str | None:
    if isinstance(error, FileNotFoundError) and not target.parent.exists():
        return f"there is no folder {target.parent}"
    return error.strerror


@contextlib.contextmanager
def _in_place_of(target: Path) -> Iterator[tuple[int, Path]]:
    """A file beside another, open and by name, that takes its place at the end; after an error nothing of it stays."""
    import tempfile

    handle, name = tempfile.mkstemp(prefix=".", dir=target.parent)
    aside = Path(name)
    try:
        yield handle, aside
        aside.replace(target)
    finally:
        aside.unlink(missing_ok=True)
