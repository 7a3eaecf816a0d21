"""What a check says: a finding, or that it could not judge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from bedfellow.schema.place import Path

Level = Literal["error", "warning", "note"]
LEVELS: tuple[Level, ...] = ("note", "warning", "error")


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault, told in a message that a client could read.

    keys: the smallest judged pair or subject, empty for the plan as a whole; apart: what else tells two findings of a
    code on the same subject apart (a side, a month); at: where in the plan; related: other places with a word on each;
    evidence: number found, limit, where trait values come from; mend: what would put it right.
    """

    code: str
    level: Level
    keys: tuple[str, ...]
    message: str
    at: Path
    related: tuple[tuple[Path, str], ...] = ()
    evidence: Mapping[str, object] = field(default_factory=dict)
    apart: tuple[str, ...] = ()
    confidence: Literal["high", "medium", "low"] = "medium"
    mend: str = ""


@dataclass(frozen=True, slots=True)
class Unjudged:
    """A check could not judge a subject for want of the named traits or words of the plan."""

    code: str
    key: str
    wanting: tuple[str, ...]
    at: Path
