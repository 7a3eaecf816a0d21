"""Files built once and kept in the user's cache directory, named by what they were built from."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

LAYOUT = "1"  # raised when what is kept changes its form


def cached(name: str, content: bytes, build: Callable[[Path], None], most: int | None = None) -> Path:
    """The file that `build` makes from `content`, built now unless it is there already.

    name: the file's name, such as ``plan_validator.py``. build: writes the file at the path it is given. most: how many
    files of this name are kept; those that were not asked for the longest go.
    Complete or absent: it is written aside and moved into place, so several processes may build it at once.
    Where the cache cannot be written, the file lives in a private directory that ends with the process.
    """
    import contextlib
    import hashlib
    import tempfile

    digest = hashlib.sha256(b"\0".join((LAYOUT.encode(), name.encode(), sys.version.encode(), content))).hexdigest()
    folder = directory() / digest[:32]
    target = folder / name
    if target.is_file():
        if most is not None:
            with contextlib.suppress(OSError):
                os.utime(target)
        return target
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, aside = tempfile.mkstemp(prefix=".", suffix=Path(name).suffix, dir=folder)
    except OSError:
        return _private(name, build)
    os.close(handle)
    made = Path(aside)
    try:
        build(made)
        made.replace(target)
        if most is not None:
            _keep_only(most, name)
    finally:
        with contextlib.suppress(OSError):
            made.unlink()
    return target


def _keep_only(most: int, name: str) -> None:
    import contextlib

    with contextlib.suppress(OSError):  # another process may be at the same
        for file in sorted(directory().glob(f"*/{name}"), key=lambda file: file.stat().st_mtime)[:-most]:
            file.unlink(missing_ok=True)
            file.parent.rmdir()


def directory() -> Path:
    """Where cached files live; follows XDG_CACHE_HOME."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    if sys.platform == "linux":  # what platformdirs answers, without its import
        return Path(home if home.strip() else os.path.expanduser("~/.cache")) / "bedfellow"  # noqa: PTH111
    from platformdirs import user_cache_path

    return user_cache_path("bedfellow", appauthor=False)


def _private(name: str, build: Callable[[Path], None]) -> Path:
    import atexit
    import shutil
    import tempfile

    folder = Path(tempfile.mkdtemp(prefix="bedfellow-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    build(folder / name)
    return folder / name
