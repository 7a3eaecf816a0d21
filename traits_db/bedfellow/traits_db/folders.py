"""Folders of records: the shipped one, what is in each, and one digest of all that a store is made from."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

import bedfellow.schema

SHIPPED = Path(__file__).parent / "records"


def record_files(folder: Path) -> list[Path]:
    """The files of records in a folder, in order."""
    return sorted(
        file for file in folder.glob("*.yaml") if file.name != "sources.yaml" and ".plan" not in file.suffixes
    )


def sources_of(folder: Path) -> Path | None:
    """The file of sources that belongs to a folder of records: in it, or beside it."""
    return next((file for file in (folder / "sources.yaml", folder.parent / "sources.yaml") if file.is_file()), None)


def content_of(folders: Sequence[Path]) -> bytes:
    """Digest of everything that a store is made from: records, sources, the table of traits and the code that reads them."""
    schema = Path(bedfellow.schema.__file__).parent
    files = [schema / "traits.yaml", *sorted(schema.glob("*.py")), *sorted(Path(__file__).parent.glob("*.py"))]
    for folder in folders:
        sources = sources_of(folder)
        files += [*record_files(folder), *([sources] if sources else [])]
    digest = hashlib.sha256()
    for file in files:
        digest.update(file.name.encode() + b"\0" + hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest().encode()
