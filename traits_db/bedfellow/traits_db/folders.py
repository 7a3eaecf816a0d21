"""Folders of records: the shipped one, those kept with plans, what is in them, and one digest of all that a store is made from.

Imports little: a lint that is answered from what was said before looks here too.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from pathlib import Path

import bedfellow.schema

SHIPPED = Path(__file__).parent / "records"
KEPT = "plant-records"  # a folder of this name, beside a plan or at the top of its repository, holds records for it


def record_files(folder: Path) -> list[Path]:
    """The files of records in a folder, in order; plans may lie among them."""
    return sorted(
        file for file in folder.glob("*.yaml") if file.name != "sources.yaml" and ".plan" not in file.suffixes
    )


def sources_of(folder: Path) -> Path | None:
    """The file of sources that belongs to a folder of records: in it, or beside it."""
    return next((file for file in (folder / "sources.yaml", folder.parent / "sources.yaml") if file.is_file()), None)


def snapshots_in(folder: Path) -> list[Path]:
    """The snapshots in a folder, by their names."""
    return sorted(folder.glob("plants-*.sqlite"))


def kept_with(plan: Path) -> tuple[list[Path], list[Path]]:
    """Folders of records kept with a plan, the nearest last, and those of the name that a link leads out of its repository.

    Without a repository only what lies beside the plan counts.
    """
    beside = plan.parent
    here = Path(os.path.abspath(beside))  # noqa: PTH100  (a link to a plan keeps its own place)
    top = next((place for place in (here, *here.parents) if (place / ".git").exists()), here)
    places = [beside] if top == here else [top if plan.is_absolute() else Path(os.path.relpath(top)), beside]
    folders = [folder for place in places if (folder := place / KEPT).is_dir()]
    inside = [folder for folder in folders if folder.resolve().is_relative_to(top.resolve())]
    return inside, [folder for folder in folders if folder not in inside]


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
