"""The report that a designer reads."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from textwrap import wrap

from bedfellow.linter.engine import Result
from bedfellow.linter.report.plain import plain
from bedfellow.rules.declaration import declarations
from bedfellow.rules.finding import LEVELS, Finding, Level

WIDTH = 100
HEADINGS: dict[Level, str] = {"error": "To put right", "warning": "To look at", "note": "To know"}
PAINT: dict[str, str] = {"error": "31;1", "warning": "33;1", "note": "36", "quiet": "2"}


def report(results: Sequence[Result], colour: bool = False) -> str:
    """All plans, one after another."""
    return "\n".join("\n".join(_plan(result, colour)) for result in results) + "\n"


def _plan(result: Result, colour: bool) -> Iterator[str]:
    def paint(text: str, name: str) -> str:
        return f"\x1b[{PAINT[name]}m{text}\x1b[0m" if colour else text

    title = result.plan.title if result.plan else ""
    yield f"{plain(title)} — {plain(result.document.name)}" if title else plain(result.document.name)
    for level in reversed(LEVELS):
        findings = [finding for finding in result.findings if finding.level == level]
        if not findings:
            continue
        yield ""
        yield paint(HEADINGS[level], level)
        for finding in findings:
            yield ""
            yield from _finding(result, finding, paint)
    for code, error in result.crashed:
        yield ""
        yield paint(f"The check {code} failed and judged nothing: {plain(error)}", "error")
    yield ""
    yield from _closing(result)


def _finding(result: Result, finding: Finding, paint: Callable[[str, str], str]) -> Iterator[str]:
    name = declarations()[finding.code].name
    span = result.span(finding)
    yield paint(f"{finding.code}  {name}", finding.level)
    yield from wrap(plain(finding.message), WIDTH, initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False)
    source = result.document.line(span.start_line)
    if source and finding.code not in ("PLAN-04", "PLAN-05"):
        shown = plain(source.strip())
        yield paint(
            f"    line {span.start_line}: {shown if len(shown) <= WIDTH else shown[: WIDTH - 1] + '…'}", "quiet"
        )
    if finding.mend:
        yield from wrap(
            plain(finding.mend), WIDTH, initial_indent="  → ", subsequent_indent="    ", break_on_hyphens=False
        )
    if finding.confidence == "low":
        yield "  (uncertain: rests on inherited or doubtful traits)"


def _closing(result: Result) -> Iterator[str]:
    if result.plan is None:
        yield "This could not be read as a plan, so nothing else was judged."
        return
    if result.nothing_to_judge:
        yield "No plant in this plan was recognised, so there was nothing to judge."
    counts = Counter(finding.level for finding in result.findings)
    parts = [_count(counts["error"], "fault to put right", "faults to put right"), _count(counts["warning"], "thing to look at", "things to look at"),
             _count(counts["note"], "note", "notes")]  # fmt: skip
    if result.accepted:
        parts.append(f"{len(result.accepted)} accepted")
    plants = len(result.border.plantings) if result.border else 0
    yield f"{_count(plants, 'line', 'lines')} of plants judged on {result.today}: {', '.join(parts)}."
    if result.notes_left_out:
        yield f"{result.notes_left_out} more notes are not shown."
    for accepted in result.accepted:
        yield f"Accepted {accepted.finding.code} {', '.join(accepted.finding.keys)}: {plain(accepted.acceptance.reason)}"
    known = declarations()
    cautions = sorted({known[finding.code].caution for finding in result.findings if known[finding.code].caution})
    for caution in cautions:
        yield from wrap("Caution: " + caution.strip(), WIDTH)
    codes = sorted({finding.code for finding in result.findings if finding.level != "note"})
    if codes:
        yield f"Why a finding is made and when it is wrong: bedfellow about {codes[0]}"


def _count(number: int, one: str, many: str) -> str:
    return f"{number or 'no'} {one if number == 1 else many}"
