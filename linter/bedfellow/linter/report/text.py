"""The report that a designer reads: by level, then by code, then in the order of the file."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from textwrap import wrap

from bedfellow.linter.acceptances import Accepted
from bedfellow.linter.engine import Result, wanting, wanting_in_words
from bedfellow.linter.former import Former
from bedfellow.linter.report.plain import plain
from bedfellow.rules.finding import LEVELS, Finding, Level
from bedfellow.rules.words import capital, listed

WIDTH = 100
MOST_PLACES = 5
MOST_READINGS = 6
HEADINGS: dict[Level, str] = {"error": "To put right", "warning": "To look at", "note": "To know"}
PAINT: dict[str, str] = {"error": "31;1", "warning": "33;1", "note": "36", "quiet": "2"}
Paint = Callable[[str, str], str]


def report(results: Sequence[Result], colour: bool = False) -> str:
    """All plans, one after another."""

    def paint(text: str, name: str) -> str:
        return f"\x1b[{PAINT[name]}m{text}\x1b[0m" if colour else text

    return "\n\n".join("\n".join(_plan(result, paint)) for result in results) + "\n"


def _plan(result: Result, paint: Paint) -> Iterator[str]:
    title = result.plan.title if result.plan else ""
    yield f"{plain(title)} — {plain(result.document.name)}" if title else plain(result.document.name)
    for level in reversed(LEVELS):
        findings = sorted((f for f in result.findings if f.level == level), key=lambda f: f.code)
        if findings:
            yield from ("", paint(HEADINGS[level], level))
        for code, group in groupby(findings, key=lambda f: f.code):
            yield from ("", paint(f"{code}  {result.checks[code].name}", level))
            yield from _group(result, list(group), paint)
    for code, error in result.crashed:
        what = f"The check {code} failed and judged nothing" if code else "bedfellow itself failed on this plan"
        yield from ("", paint(f"{what}: {plain(error)}", "error"))
    yield ""
    yield from _closing(result)


def _group(result: Result, findings: list[Finding], paint: Paint) -> Iterator[str]:
    """Findings of one code; a mend that serves several in a row is said once, after the last."""
    for number, finding in enumerate(findings):
        if number:
            yield ""
        yield from _finding(result, finding, paint)
        last = number + 1 == len(findings)
        if finding.mend and (last or findings[number + 1].mend != finding.mend):
            yield from _wrapped(finding.mend, "  → ", "    ")


def _finding(result: Result, finding: Finding, paint: Paint) -> Iterator[str]:
    if finding.code == "PLAN-05" and finding.evidence and result.border:
        yield "  Could not be judged:"
        for plant, lacking in wanting(result.unjudged, result.border).items():
            yield from _wrapped(wanting_in_words(plant, lacking), "    ", "      ")
        return
    yield from _wrapped(f"New: {finding.message}" if result.new(finding) else finding.message, "  ", "  ")
    span = result.span(finding)
    source = plain(result.document.line(span.start_line).strip())
    # A finding about the whole plan has no one line to show.
    if source and finding.at != ("plants",) and finding.code != "PLAN-04":
        yield paint(f"      {source if len(source) <= WIDTH else source[: WIDTH - 1] + '…'}", "quiet")
    name = plain(result.document.name)
    yield paint(f"    {name}:{span.start_line}:{span.start_column}", "quiet")
    related = result.related(finding)
    for place, words in related[:MOST_PLACES]:
        yield paint(f"    {name}:{place.start_line}:{place.start_column} {plain(words)}", "quiet")
    if len(related) > MOST_PLACES:
        yield paint(f"    and {len(related) - MOST_PLACES} more places", "quiet")
    if offer := result.repairs.get(id(finding)):
        change = "" if offer.keeps_design else ", which changes the design"
        yield from _wrapped(f"{offer.words}{change}: tried, and nothing else comes of it.", "  → ", "    ")
    if finding.confidence == "low":
        yield "    (uncertain: rests on inherited or doubtful traits)"


def _closing(result: Result) -> Iterator[str]:
    if result.border is None:
        if not result.crashed:
            yield "This could not be read as a plan, so nothing else was judged."
        return
    counts = Counter(finding.level for finding in result.findings)
    parts = [
        _count(counts["error"], "fault to put right", "faults to put right"),
        _count(counts["warning"], "thing to look at", "things to look at"),
        _count(counts["note"], "note", "notes"),
    ]
    if result.accepted:
        parts.append(f"{len(result.accepted)} accepted")
    if result.unjudged:
        parts.append(f"{len({(u.code, u.key) for u in result.unjudged})} could not be judged")
    plants = _count(len(result.border.plantings), "line", "lines")
    yield from _wrapped(f"{capital(plants)} of plants judged on {result.today}: {', '.join(parts)}.")
    if result.former is not None:
        yield from _wrapped(_since(result, result.former))
        for told in result.former.gone:
            yield from _wrapped(f"Gone: {told.code} {told.message}", "  ", "    ")
    yield from _wrapped(_readings(result), "", "  ")
    if result.notes_left_out:
        yield f"{result.notes_left_out} more notes are not shown."
    for entry in result.accepted:
        yield from _wrapped(_acceptance(entry), "", "  ")
    for caution in result.cautions:
        yield from _wrapped("Caution: " + caution)
    if result.data:
        yield from _wrapped(f"Plant data: {result.data.told}.", "", "  ")
    codes = sorted({finding.code for finding in result.findings if finding.level != "note"})
    if codes:
        yield f"Why a finding is made and when it is wrong: bedfellow about {codes[0]}"


def _since(result: Result, former: Former) -> str:
    new = sum(result.new(finding) for finding in result.findings)
    return f"Since the former result: {new or 'none'} new, {len(result.findings) - new} unchanged, {len(former.gone) or 'none'} gone."


def _readings(result: Result) -> str:
    """What feet and inches were read as, each once; empty where the plan has none."""
    lines: dict[tuple[str, str], list[int]] = {}
    for reading in result.plan.readings if result.plan else ():
        if reading.text.endswith(("ft", "in")):
            length = f"{reading.metres:.2f} m" if abs(reading.metres) >= 0.1 else f"{reading.metres * 100:.1f} cm"
            said = (reading.text, length)
            lines.setdefault(said, []).append(result.document.span(reading.path).start_line)
    told = [
        f"{text} as {length} (line{'s' if len(set(at)) > 1 else ''} {listed([str(n) for n in sorted(set(at))])})"
        for (text, length), at in lines.items()
    ]
    if len(told) > MOST_READINGS:
        told[MOST_READINGS:] = [f"{len(told) - MOST_READINGS} more"]
    return f"Read {listed(told)}." if told else ""


def _acceptance(entry: Accepted) -> str:
    where = listed(entry.finding.keys) or "the whole plan"
    until = f" (until {entry.acceptance.until})" if entry.acceptance.until else ""
    return f"Accepted {entry.finding.code} of {where}{until}: {entry.acceptance.reason}"


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return wrap(plain(text), WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def _count(number: int, one: str, many: str) -> str:
    return f"{number or 'no'} {one if number == 1 else many}"
