"""Findings on a drawing: a sign for each, and the list of what they say, with the cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.report.drawings.columns import Row, heading, paragraph
from bedfellow.linter.report.drawings.sheet import INK, MEDIUM, PAPER, SMALL, TEXT, THIN, Pen, circle, rect, shape, text
from bedfellow.linter.report.drawings.typeface import Span
from bedfellow.linter.report.text import HEADINGS

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.rules.finding import Finding, Level

# Square, circle and triangle are told apart without colour; error and warning by black and white too.
PAINT: dict[Level, str] = {"error": "#a3261b", "warning": "#ffffff", "note": "#ffffff"}
HALF = 2.2  # mm


def sign(level: Level, number: int, x: float = 0.0, y: float = 0.0, told: str = "") -> str:
    """A numbered sign about a place: a filled square for an error, a circle for a warning, a lozenge for a note."""
    pen = Pen(MEDIUM, INK, fill=PAINT[level])
    if level == "error":
        drawn = rect(x - HALF, y - HALF, 2 * HALF, 2 * HALF, pen, told, class_="finding")
    elif level == "warning":
        drawn = circle(x, y, HALF, pen, told, class_="finding")
    else:
        wide = HALF * 1.35
        drawn = shape(
            [(x - wide, y), (x, y - HALF), (x + wide, y), (x, y + HALF)],
            pen._replace(weight=THIN),
            told=told,
            class_="finding",
        )
    size = SMALL if number < 100 else SMALL * 0.8
    return drawn + text(
        x,
        y + size * 0.36,
        str(number),
        size,
        "middle",
        bold=level == "error",
        colour=PAPER if level == "error" else INK,
    )


def numbered(findings: Sequence[Finding]) -> list[tuple[int, Finding]]:
    """Findings with their numbers, in the order of the report."""
    return list(enumerate(findings, 1))


def listed(result: Result) -> Iterator[Row]:
    """The findings in words, by level, and the cautions that belong to them."""
    last = ""
    for number, finding in numbered(result.findings):
        if finding.level != last:
            yield heading(HEADINGS[finding.level])
            last = finding.level
        words = (Span(f"{finding.code}  ", "bold"), Span(finding.message))
        yield from paragraph(words, indent=8.0, sign=sign(finding.level, number))
    if result.notes_left_out:
        yield from paragraph(f"{result.notes_left_out} more notes are in the report.", indent=8.0)
    yield from cautions(result)


def cautions(result: Result) -> Iterator[Row]:
    """What must be said beside these findings."""
    if result.cautions:
        yield heading("Cautions")
    for words in result.cautions:
        yield from paragraph((Span(words, "italic"),), TEXT)
