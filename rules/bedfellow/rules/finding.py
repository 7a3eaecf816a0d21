"""What a check says: a finding, or that it could not judge.

A check gives the facts; the words come from its file (``declaration.Declaration.judged``), which fills in code, message
and what would mend it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from bedfellow.rules.words import listed
from bedfellow.schema.place import Path

if TYPE_CHECKING:
    from bedfellow.rules.border.planting import Planting

Level = Literal["error", "warning", "note"]
LEVELS: tuple[Level, ...] = ("note", "warning", "error")


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault, told in a message that a client could read.

    keys: the smallest judged pair or subject, empty for the plan as a whole; at: where in the plan; evidence: the plants,
    numbers found, limits and sources by name, which the message is made of; related: other places with a word on each;
    apart: what else tells two findings of a code on the same subject apart (a side, a month); case: which of the
    check's messages tells it, where it has several.
    """

    level: Level
    keys: tuple[str, ...]
    at: Path
    evidence: Mapping[str, object] = field(default_factory=dict)
    related: tuple[tuple[Path, str], ...] = ()
    apart: tuple[str, ...] = ()
    confidence: Literal["high", "medium", "low"] = "medium"
    case: str = ""
    code: str = ""
    message: str = ""
    mend: str = ""


@dataclass(frozen=True, slots=True)
class Unjudged:
    """A check could not judge a subject for want of the named traits or words of the plan; an empty key is the plan."""

    key: str
    wanting: tuple[str, ...]
    at: Path
    code: str = ""


UNRECOGNISED = Unjudged("", ("the name of every plant",), ("plants",))
"""What a check says where a plant that is not known may turn what it says of the whole border."""


def together(
    level: Level,
    plantings: Sequence[Planting],
    at: Path,
    evidence: Mapping[str, object] | None = None,
    said: Sequence[str] = (),
    beside: tuple[tuple[Path, str], ...] = (),
    case: str = "",
    apart: str = "",
) -> Finding:
    """One finding for plantings that have one cause.

    ``plants`` in the evidence names them, each with what is said of it, if anything is; beside: other places that matter.
    """
    titles = [planting.title for planting in plantings]
    elsewhere = [planting for planting in plantings if at[: len(planting.path)] != planting.path]
    return Finding(
        level,
        tuple(sorted(planting.key for planting in plantings)),
        at,
        {
            "plants": listed([f"{a}{b}" for a, b in zip(titles, said or [""] * len(titles), strict=True)]),
            **(evidence or {}),
        },
        (*beside, *(((*planting.path, "name"), planting.key) for planting in elsewhere)),
        (apart or case,),
        case=case,
    )
