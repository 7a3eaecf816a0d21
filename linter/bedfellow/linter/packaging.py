"""Hatchling's build hook: store, validator and index of checks are built with the wheel and opened read-only ever after.

An editable install and a checkout build the same files into the user's cache on first use instead.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class BuiltFiles(BuildHookInterface):  # type: ignore[type-arg]
    """Adds ``_built/`` to the packages that read it."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build into a folder of its own, so that nothing is left in the source tree."""
        if version == "editable":
            return
        sys.path[:0] = [str(Path(self.root) / folder) for folder in ("schema", "traits_db", "rules")]
        from bedfellow.rules.declaration import build_index
        from bedfellow.schema.validity import write_validator
        from bedfellow.traits_db.compile import build_store

        folder = Path(tempfile.mkdtemp(prefix="bedfellow-build-"))
        for package, name, build in (
            ("schema", "plan_validator.py", write_validator),
            ("traits_db", "store.sqlite", build_store),
            ("rules", "checks.json", build_index),
        ):
            build(folder / name)
            build_data["force_include"][str(folder / name)] = f"bedfellow/{package}/_built/{name}"
