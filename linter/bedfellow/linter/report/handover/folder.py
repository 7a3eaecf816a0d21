"""All files of a pack in a folder, or none: they are written aside and moved into place, and moved back if one cannot be."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

FORMER = ".former"


def in_the_way(folder: Path, names: Iterable[str]) -> list[str]:
    """Names of files of a pack that a folder has already."""
    return [name for name in names if os.path.lexists(folder / name)]


def put(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder, which is made if it is not there; those of the same name are replaced, others left alone.

    Raises OSError, and then the folder is as it was.
    """
    there = folder.is_dir()
    aside = Path(tempfile.mkdtemp(prefix=".", dir=folder if there else folder.absolute().parent))
    try:
        for name, data in files.items():
            (aside / name).write_bytes(data)
            (aside / name).chmod(0o644)
        if there:
            _move(aside, folder, files)
        else:
            aside.chmod(0o755)
            aside.rename(folder)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _move(aside: Path, folder: Path, names: Iterable[str]) -> None:
    """Each file into place, what it replaces aside; all back if one fails."""
    done: list[str] = []
    try:
        for name in names:
            done.append(name)
            if os.path.lexists(folder / name):
                (folder / name).rename(aside / f"{name}{FORMER}")
            (aside / name).rename(folder / name)
    except BaseException:
        for name in done:
            if not (aside / name).exists():
                (folder / name).unlink(missing_ok=True)
            if os.path.lexists(aside / f"{name}{FORMER}"):
                (aside / f"{name}{FORMER}").rename(folder / name)
        raise
