"""The answer to a lint that was made before, given again without loading anything else.

It is found by all that it can depend on: the arguments, the bytes of every plan, the plant data beside it, the settings, the
day, the folder, the installed package, Python, and what the terminal shows. Only what is surely the same is answered so:
nothing with --output or --records, nothing by house rules, nothing from a checkout, whose code may change under it, and no
run that failed or wrote to standard error.
"""

from __future__ import annotations

import hashlib
import io
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from bedfellow.linter.places import files_for
from bedfellow.traits_db.folders import kept_with, record_files, snapshots_in, sources_of

FORM = "1"
MOST_BYTES = 4_000_000
MOST_KEPT = 256
NEVER = ("--output", "--records", "--rules", "--former", "--help")
PACKAGES = Path(__file__).parent.parent
BUILT = (PACKAGES / "traits_db" / "_built" / "store.sqlite", PACKAGES / "rules" / "_built" / "checks.json")


def key(arguments: Sequence[str]) -> str | None:
    """What a lint with these arguments is kept under; None where its answer is not to be kept."""
    if arguments[:1] != ["lint"] or any(argument.partition("=")[0] in NEVER for argument in arguments):
        return None
    digest = hashlib.sha256()

    def take(*values: object) -> None:
        for value in values:
            digest.update(repr(value).encode("utf-8", "surrogateescape") + b"\0")

    try:
        for built in (*BUILT, Path(__file__)):
            made = built.stat()
            take(str(built), made.st_size, made.st_mtime_ns)
        width = os.get_terminal_size(sys.stdout.fileno()).columns if sys.stdout.isatty() else 0
        take(FORM, sys.version, list(arguments), str(Path.cwd()), width, sys.stdout.encoding)
        take(*(os.environ.get(name) for name in ("NO_COLOR", "TERM", "COLUMNS", "SOURCE_DATE_EPOCH")), _today())
        for argument in arguments[1:]:
            path = Path(argument)
            if path.is_file():
                if path.stat().st_size > MOST_BYTES:
                    return None
                take(argument, hashlib.sha256(path.read_bytes()).hexdigest(), *_beside(path))
                for _, settings in files_for(path):
                    text = settings.read_bytes()
                    if b"rules" in text:  # whose files are many, and may be code
                        return None
                    take(str(settings), hashlib.sha256(text).hexdigest())
    except (OSError, ValueError):  # what cannot be read is for the lint itself to tell
        return None
    return digest.hexdigest()[:40]


def _beside(plan: Path) -> Iterator[object]:
    """The plant data that lies with a plan: which folders and files there are, and what is in them."""
    folders, strays = kept_with(plan)
    yield folders, strays
    for snapshot in (file for place in (plan.parent, *folders) for file in snapshots_in(place)):
        made = snapshot.stat()
        yield str(snapshot), made.st_size, made.st_mtime_ns
    for folder in folders:
        for file in (*record_files(folder), sources_of(folder)):
            if file is not None:
                yield str(file), hashlib.sha256(file.read_bytes()).hexdigest()


def answer(name: str) -> tuple[int, str] | None:
    """(exit status, what was written) of a lint that was kept."""
    try:
        status, _, text = (_folder() / name).read_text("utf-8").partition("\n")
        return int(status), text
    except (OSError, ValueError):
        return None


class Listener(io.TextIOBase):
    """Standard output that also keeps what passes through it."""

    def __init__(self, stream: Any) -> None:
        self.stream, self.heard = stream, list[str]()

    def write(self, text: str) -> int:
        self.heard.append(text)
        return int(self.stream.write(text))

    def flush(self) -> None:
        self.stream.flush()

    def isatty(self) -> bool:
        return bool(self.stream.isatty())

    def fileno(self) -> int:
        return int(self.stream.fileno())

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return str(self.stream.encoding or "utf-8")


def keep(name: str, status: int, text: str) -> None:
    """Keep an answer, complete or not at all; where the cache cannot be written nothing is kept."""
    import contextlib
    import tempfile

    folder = _folder()
    with contextlib.suppress(OSError, UnicodeError):
        folder.mkdir(parents=True, exist_ok=True)
        former = sorted(folder.glob("[0-9a-f]*"), key=lambda file: file.stat().st_mtime)
        for file in former[: max(0, len(former) - MOST_KEPT + 1)]:
            file.unlink(missing_ok=True)
        handle, aside = tempfile.mkstemp(prefix=".", dir=folder)
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file_aside:
            file_aside.write(f"{status}\n{text}")
        Path(aside).replace(folder / name)


def _folder() -> Path:
    from bedfellow.schema.cache import directory

    return directory() / "answers"


def _today() -> str:
    import time

    return time.strftime("%Y-%m-%d")
