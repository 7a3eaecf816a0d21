"""What several reports are made of: a filled paragraph, the months of a year, why plants were left out, a finding as data."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from textwrap import fill
from typing import TYPE_CHECKING

from bedfellow.linter.report.page import WIDTH
from bedfellow.linter.report.plain import plain

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.repair.gap import Filler
    from bedfellow.linter.repair.substitute import Substitute
    from bedfellow.rules.finding import Finding

INITIALS = "JFMAMJJASOND"
SHOWN = 3  # of those that were left out for what they would bring


def filled(text: str, rest: str = "") -> str:
    """A paragraph filled to the width of a page; rest: what its further lines begin with."""
    return fill(plain(text), WIDTH, subsequent_indent=rest) + "\n"


def year(months: Collection[int]) -> str:
    """Twelve letters, a dot for each month (1 to 12) that is not among them."""
    return "".join(letter if number in months else "·" for number, letter in enumerate(INITIALS, 1))


def left_out(refused: Sequence[Filler] | Sequence[Substitute]) -> Iterator[str]:
    """For the first few plants that were left out, the first finding that each would bring."""
    for one in refused[:SHOWN]:
        first = one.outcome.new[0]
        yield f"Left out: {one.candidate.traits.name}. {first.code}: {first.message}"
    if len(refused) > SHOWN:
        yield f"{len(refused) - SHOWN} more would bring findings."


def in_order(key: str) -> list[tuple[int, str]]:
    """Keys as people sort them: P9 before P10."""
    parts = re.split(r"([0-9]+)", key.casefold())
    return [(int(part), "") if number % 2 else (-1, part) for number, part in enumerate(parts)]


def file_name(result: Result) -> str:
    """The plan's file without its folder, which says nothing to whom a page or a drawing is given."""
    return plain(result.document.name.replace("\\", "/").rsplit("/", 1)[-1])


def title_of(result: Result) -> str:
    """The plan's title, else the name of its file."""
    return (result.plan and result.plan.title) or file_name(result)


def told(finding: Finding) -> dict[str, object]:
    """A finding as data, in short."""
    return {"code": finding.code, "level": finding.level, "keys": finding.keys, "message": finding.message}
