"""Where settings lie: of the person or practice, and of the repository that a plan is in."""

from __future__ import annotations

import os
from pathlib import Path

REPOSITORY = "bedfellow.yaml"


def files_for(plan: Path) -> list[tuple[str, Path]]:
    """(layer, file) of the settings files that bear on a plan, the farthest first."""
    found = [("practice", file)] if (file := practice_file()) is not None else []
    folder = plan.absolute().parent
    for above in (folder, *folder.parents):
        if (above / REPOSITORY).is_file():
            return [*found, ("repository", above / REPOSITORY)]
        if (above / ".git").exists():
            break
    return found


def practice_file() -> Path | None:
    """The settings of the person or the practice, where there are any."""
    named = os.environ.get("BEDFELLOW_SETTINGS")
    if named:
        return Path(named)
    home = os.environ.get("XDG_CONFIG_HOME")
    file = (Path(home) if home else Path.home() / ".config") / "bedfellow" / "settings.yaml"
    return file if file.is_file() else None
