"""What the page says of each finding, and which plants and structures it is about."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from bedfellow.linter.report.parts import file_name
from bedfellow.linter.report.plain import plain
from bedfellow.rules.words import capital, listed, months
from bedfellow.schema.values import MONTHS

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.linter.offer import Offer
    from bedfellow.rules.finding import Finding

APART = ("PLAN-04", "PLAN-05")  # notes that have sections of their own
MOST_PLACES, LONGEST = 5, 240


class Entry(NamedTuple):
    """A finding as the page tells it.

    number: its sign on the drawing; name: of its check; plants, structures: their numbers among those of the page;
    place: file:line:column; line: the text there, empty for a finding about the whole plan; season: of the growing seasons one
    that it is judged in, 0 where it says none; figures: of its evidence, in words.
    """

    number: int
    finding: Finding
    name: str
    plants: tuple[int, ...]
    structures: tuple[int, ...]
    place: str
    line: str
    beside: tuple[str, ...]
    season: int
    month: int
    figures: tuple[tuple[str, str], ...]
    offer: Offer | None

    @property
    def tried(self) -> str:
        """The repair that is known to mend it, in a sentence; empty where none is."""
        if self.offer is None:
            return ""
        change = "" if self.offer.keeps_design else ", which changes the design"
        return f"{self.offer.words}{change}; nothing else comes of it."

    @property
    def elsewhere(self) -> bool:
        """A note that has a section of its own."""
        return self.finding.level == "note" and self.finding.code in APART


def entries(result: Result) -> list[Entry]:
    """All findings of a plan, numbered from 1 in the order of the result, as in its other drawings."""
    border = result.border
    assert border is not None
    plants: dict[str, list[int]] = {}
    for number, planting in enumerate(border.standing):
        plants.setdefault(planting.key, []).append(number)
    structures = {one.key: number for number, one in enumerate(border.plan.structures) if one.key}
    return [
        _entry(
            result, number, finding,
            tuple(found for key in finding.keys for found in plants.get(key, ())),
            tuple(structures[key] for key in finding.keys if key in structures),
        )
        for number, finding in enumerate(result.findings, 1)
    ]  # fmt: skip


def _entry(
    result: Result, number: int, finding: Finding, plants: tuple[int, ...], structures: tuple[int, ...]
) -> Entry:
    span, name = result.span(finding), file_name(result)
    whole = finding.at == ("plants",) or finding.code == "PLAN-04"
    line = "" if whole else plain(result.document.line(span.start_line).strip())
    related = result.related(finding)
    beside = [f"{name}:{at.start_line}:{at.start_column} {plain(words)}" for at, words in related[:MOST_PLACES]]
    if len(related) > MOST_PLACES:
        beside.append(f"and {len(related) - MOST_PLACES} more places")
    season, month = finding.evidence.get("season"), finding.evidence.get("month")
    return Entry(
        number, finding, capital(result.checks[finding.code].name), plants, structures,
        f"{name}:{span.start_line}:{span.start_column}", line if len(line) <= LONGEST else line[: LONGEST - 1] + "…",
        tuple(beside), season if isinstance(season, int) else 0, month if isinstance(month, int) else 0,
        tuple(_figures(finding)), result.repairs.get(id(finding)),
    )  # fmt: skip


def _figures(finding: Finding) -> Iterator[tuple[str, str]]:
    for name, value in finding.evidence.items():
        if value is not None and value != "" and value != []:
            yield plain(name).replace("_", " "), plain(_in_words(name, value))


def _in_words(name: str, value: object) -> str:
    match value:
        case bool():
            return "yes" if value else "no"
        case int() if name == "month" and 1 <= value <= len(MONTHS):
            return MONTHS[value - 1]
        case list() | tuple() if name == "months" and all(isinstance(one, int) and 1 <= one <= 12 for one in value):
            return months(list(value))
        case float():
            return f"{value:g}"
        case list() | tuple():
            return "; ".join(_in_words("", one) for one in value)
        case dict():
            return listed([f"{key}: {_in_words(str(key), one)}" for key, one in value.items()])
        case _:
            return str(value)
