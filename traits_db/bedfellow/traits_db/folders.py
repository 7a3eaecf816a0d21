"""Folders of records: the shipped one, the sources that belong to each, and one digest of all that a store is made from."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

import bedfellow.schema.traits

SHIPPED = Path(__file__).parent / "records"


def sources_of(folder: Path) -> Path | None:
    """The file of sources that belongs to a folder of records: in it, or beside it."""
    return next((file for file in (folder / "sources.yaml", folder.parent / "sources.yaml") if file.is_file()), None)


def content_of(folders: Sequence[Path]) -> bytes:
    """Digest of everything that a store is made from: records, sources, the table of traits and the code that reads them."""
    schema = Path(bedfellow.schema.traits.__file__).parent
    files = [schema / "traits.yaml", *sorted(schema.glob("*.py")), *sorted(Path(__file__).parent.glob("*.py"))]
    for folder in folders:
        sources = sources_of(folder)
        files += [*sorted(folder.glob("*.yaml")), *([sources] if sources else [])]
    digest = hashlib.sha256()
    for file in files:
        digest.update(file.name.encode() + b"\0" + hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest().encode()
