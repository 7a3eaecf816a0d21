"""Hatchling's build hook: the store and the plan's validator are built with the wheel and opened read-only ever after.

An editable install and a checkout build the same files into the user's cache on first use instead.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class BuiltFiles(BuildHookInterface):  # type: ignore[type-arg]
    """Adds ``_built/`` to the two packages that read it."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build into a folder of its own, so that nothing is left in the source tree."""
        if version == "editable":
            return
        sys.path[:0] = [str(Path(self.root) / folder) for folder in ("schema", "traits_db")]
        from bedfellow.schema.validity import write_validator
        from bedfellow.traits_db.compile import build_store

        folder = Path(tempfile.mkdtemp(prefix="bedfellow-build-"))
        write_validator(folder / "plan_validator.py")
        build_store(folder / "store.sqlite")
        build_data["force_include"][str(folder / "plan_validator.py")] = "bedfellow/schema/_built/plan_validator.py"
        build_data["force_include"][str(folder / "store.sqlite")] = "bedfellow/traits_db/_built/store.sqlite"
