"""A repair: a concrete change of the plan, in words and as edits of its text."""

from __future__ import annotations

from typing import Any, NamedTuple

from bedfellow.linter.repair.edit import END, Edit
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.finding import Finding
from bedfellow.schema.place import Path

SEASON = 10


class Repair(NamedTuple):
    """A change in words, its edits, whether it leaves the design as it is, and the lines that it touches.

    costs: what it costs or changes besides, in words. far: m by which plants move, all in all.
    """

    words: str
    edits: tuple[Edit, ...]
    keeps_design: bool
    keys: tuple[str, ...]
    costs: tuple[str, ...] = ()
    far: float = 0.0


def stated(border: Border, path: Path) -> Any:
    """What the file says at a path; None where it says nothing."""
    data = border.plan.document.data
    for step in path:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def added(border: Border, to: str, item: dict[str, Any]) -> Edit:
    """An item more in a list at the top of the plan, which begins with it where there is none."""
    return Edit((to, END), item) if stated(border, (to,)) else Edit((to,), [item])


def subject(finding: Finding, border: Border) -> Planting | None:
    """The planting that a finding names first."""
    return border.by_key.get(finding.keys[0]) if finding.keys else None
