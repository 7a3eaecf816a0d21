"""What every command says and writes: a refusal in words, and files that are complete or absent."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, NoReturn, TextIO

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


def free(output: Path, replace: bool, *sources: Path) -> None:
    """Refuse, before any work, to write over what is read, over a folder, or over what is there unless that is asked for."""
    if any(output.resolve() == source.resolve() for source in sources):
        refuse(f"{output} is what is to be read; write to another file")
    if output.is_dir():
        refuse(f"{output} is a folder; write to a file")
    if output.is_file() and not replace:
        refuse(f"{output} is there already; --replace writes it anew")
    if not output.parent.is_dir():
        refuse(f"there is no folder {output.parent}")


def deliver(data: bytes, output: Path) -> None:
    """To a file that is complete or absent."""
    with _whole(output) as file:
        file.write(data)


@contextlib.contextmanager
def whole_file(output: Path) -> Iterator[TextIO]:
    """A text file that is complete or absent."""
    with _whole(output) as raw, io.TextIOWrapper(raw, encoding="utf-8", newline="\n") as file:
        yield file


@contextlib.contextmanager
def _whole(output: Path) -> Iterator[BinaryIO]:
    """A file that is moved into place when all of it is written; a pipe or a device is written as it stands.

    A link stays one, and what it leads to is written.
    """
    try:
        target = output.resolve()
        if target.exists() and not target.is_file() and not target.is_dir():
            with target.open("wb") as file:  # it has nothing to lose
                yield file
            return
        with _in_place_of(target) as (handle, aside):
            with os.fdopen(handle, "wb") as file:
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
