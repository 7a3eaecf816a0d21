"""The parts of the page that are read: the sum of it, findings, calendar, what was assumed, and what must be said beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.engine import wanting, wanting_in_words
from bedfellow.linter.report.browser.growth import SEASONS
from bedfellow.linter.report.browser.names import sign
from bedfellow.linter.report.browser.text import said
from bedfellow.linter.report.page import with_caution
from bedfellow.linter.report.parts import file_name
from bedfellow.linter.report.text import HEADINGS
from bedfellow.rules.finding import LEVELS
from bedfellow.rules.words import capital, listed, month

if TYPE_CHECKING:
    from bedfellow.linter.acceptances import Accepted
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.browser.findings import Entry
    from bedfellow.rules.border.border import Border


def summary(result: Result) -> str:
    """How much there is to do, in one sentence, and what it rests on."""
    border = result.border
    assert border is not None
    counts = Counter(finding.level for finding in result.findings)
    parts = [
        f"{counts['error'] or 'nothing'} to put right",
        f"{counts['warning'] or 'nothing'} to look at",
        _count(counts["note"], "note", "notes"),
    ]
    if result.accepted:
        parts.append(f"{len(result.accepted)} accepted")
    if result.unjudged:
        parts.append(f"{len({(one.code, one.key) for one in result.unjudged})} could not be judged")
    lines = _count(len(border.plantings), "line of plants", "lines of plants")
    plants = _count(sum(len(planting.points) for planting in border.plantings), "plant", "plants")
    left = f" {result.notes_left_out} more notes are not shown." if result.notes_left_out else ""
    unknown = border.unknown_names
    lost = f" Not known, and so not judged: {listed([line.name for line in unknown])}." if unknown else ""
    planted = border.plan.planted
    facts = [("Judged on", result.today), ("Plan", file_name(result))]
    if planted:
        facts.append(("Planted", f"{month(planted[1])} {planted[0]}"))
    if result.data:
        facts.append(("Plant data", result.data.told))
    rows = "".join(f"<li><span>{said(name)}</span> {said(value)}</li>" for name, value in facts)
    return f'<p class="sum">{said(capital(f"{lines}, {plants}: {listed(parts)}.{left}{lost}"))}</p><ul class="facts">{rows}</ul>'


def failures(result: Result) -> str:
    """Checks of ours that failed: said at the top, since what they would have found is missing."""
    told = "".join(
        f"<p>{said(f'The check {code} failed and judged nothing' if code else 'bedfellow itself failed on this plan')}: {said(error)}</p>"
        for code, error in result.crashed
    )
    return f'<section class="failed"><h2>What failed</h2>{told}</section>' if told else ""


def findings(entries: Sequence[Entry], border: Border) -> str:
    """The findings by level, each with a button that shows it on the plan; some notes are told further down."""
    elsewhere = sum(entry.elsewhere for entry in entries)
    notes = f'{_count(elsewhere, "note", "notes")} on what was assumed or could not be judged: <a href="#assumed">further down</a>.'
    more = f'<p class="quiet">{capital(notes)}</p>' if elsewhere else ""
    if elsewhere == len(entries):
        return f"<p>Nothing was found.</p>{more}"
    parts = []
    for level in reversed(LEVELS):
        of_level = [entry for entry in entries if entry.finding.level == level and not entry.elsewhere]
        if of_level:
            items = "".join(_finding(entry, border) for entry in of_level)
            parts.append(
                f'<h3>{HEADINGS[level]} <span class="count">{len(of_level)}</span></h3><ol class="findings">{items}</ol>'
            )
    return "".join([*parts, more])


def _finding(entry: Entry, border: Border) -> str:
    finding = entry.finding
    where = listed([border.standing[number].title for number in dict.fromkeys(entry.plants)]) or "the whole plan"
    parts = [
        f'<h4><button type="button" class="choose" data-finding="{entry.number - 1}" aria-pressed="false"><svg class="mark" viewBox="-11 -11 22 22" '
        f'aria-hidden="true">{sign(entry, 0, 0)}</svg><span>{said(entry.name)}<span class="code">{said(finding.code)}</span></span></button></h4>',
        f"<p>{said(finding.message)}</p>",
    ]
    if finding.mend:
        parts.append(f'<p class="mend"><b>To mend it:</b> {said(finding.mend)}</p>')
    if entry.tried:
        parts.append(f'<p class="mend"><b>Tried:</b> {said(entry.tried)}</p>')
    if finding.confidence == "low":
        parts.append("<p>Uncertain: it rests on inherited or doubtful traits.</p>")
    if entry.season or entry.month:
        season = f' data-season="{entry.season}"' if entry.season in SEASONS else ""
        at_month = f' data-month="{entry.month}"' if entry.month else ""
        when = " of ".join(
            part
            for part in (month(entry.month) if entry.month else "", f"season {entry.season}" if season else "")
            if part
        )
        if when:
            parts.append(f'<p><button type="button" class="when"{season}{at_month}>See {when}</button></p>')
    code = f"<code>{said(entry.line)}</code>" if entry.line else ""
    parts.append(f'<p class="place"><span>{said(entry.place)}</span>{code}</p>')
    figures = "".join(f"<dt>{said(name)}</dt><dd>{said(value)}</dd>" for name, value in entry.figures)
    beside = "".join(f"<li>{said(text)}</li>" for text in entry.beside)
    if figures or beside:
        more = f'<ul class="beside">{beside}</ul>' if beside else ""
        parts.append(
            f"<details><summary>Figures behind it<span class='hidden'> ({said(entry.number)}, {said(where)})</span></summary>"
            f'<dl class="figures">{figures}</dl>{more}</details>'
        )
    return f'<li class="finding {finding.level}" id="finding-{entry.number}">{"".join(parts)}</li>'


def assumptions(result: Result) -> str:
    told = [finding for finding in result.findings if finding.code == "PLAN-04"]
    items = "".join(f"<li>{said(finding.message)} {said(finding.mend)}</li>" for finding in told)
    return f"<ul>{items}</ul>" if items else "<p>Nothing was assumed that the plan could have said.</p>"


def unjudged(result: Result) -> str:
    assert result.border is not None
    lacking = wanting(result.unjudged, result.border)
    items = "".join(f"<li>{said(wanting_in_words(name, words))}</li>" for name, words in lacking.items())
    if not items:
        return "<p>Everything could be judged.</p>"
    return f"<p>For want of these facts some checks say nothing about these plants, neither good nor bad.</p><ul>{items}</ul>"


def acceptances(accepted: Sequence[Accepted]) -> str:
    if not accepted:
        return "<p>No finding has been accepted.</p>"
    return f"<ul>{''.join(_accepted(accepted))}</ul>"


def _accepted(accepted: Sequence[Accepted]) -> Iterator[str]:
    for entry in accepted:
        where = listed(entry.finding.keys) or "the whole plan"
        until = f", until {entry.acceptance.until}" if entry.acceptance.until else ""
        yield (
            f"<li><b>{said(entry.finding.code)}</b> of {said(where)}{said(until)}: {said(entry.acceptance.reason)}"
            f'<br><span class="quiet">{said(entry.finding.message)}</span></li>'
        )


def cautions(result: Result) -> str:
    return f"<ul>{''.join(f'<li>{said(text)}</li>' for text in with_caution(result.cautions))}</ul>"


def _count(number: int, one: str, many: str) -> str:
    return f"{number or 'no'} {one if number == 1 else many}"
