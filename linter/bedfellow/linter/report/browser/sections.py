"""The parts of the page that are read: the sum of it, findings, calendar, what was assumed, and what must be said beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bedfellow.linter.engine import wanting, wanting_in_words
from bedfellow.linter.report.browser.findings import file_name
from bedfellow.linter.report.browser.growth import SEASONS, interest, paint
from bedfellow.linter.report.browser.plan import sign
from bedfellow.linter.report.browser.text import said
from bedfellow.linter.report.page import CAUTION
from bedfellow.rules.finding import LEVELS, Level
from bedfellow.rules.words import listed, month
from bedfellow.schema.values import MONTHS

if TYPE_CHECKING:
    from bedfellow.linter.acceptances import Accepted
    from bedfellow.linter.engine import Result
    from bedfellow.linter.report.browser.findings import Entry
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

HEADINGS: dict[Level, str] = {"error": "To put right", "warning": "To look at", "note": "To know"}
ORGANS = {
    "flower": ("F", "flower"), "foliage_interest": ("L", "leaves worth looking at"), "autumn_colour": ("A", "autumn colour"),
    "fruit": ("R", "fruit"), "bark": ("B", "bark or stems"), "seedhead": ("S", "seedheads"), "winter_outline": ("W", "outline in winter"),
}  # fmt: skip
EVERGREEN = "E"


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
    return f'<p class="sum">{said(_first(f"{lines}, {plants}: {listed(parts)}.{left}{lost}"))}</p><ul class="facts">{rows}</ul>'


def failures(result: Result) -> str:
    """Checks of ours that failed: said at the top, since what they would have found is missing."""
    told = "".join(
        f"<p>{said(f'The check {code} failed and judged nothing' if code else 'bedfellow itself failed on this plan')}: {said(error)}</p>"
        for code, error in result.crashed
    )
    return f'<section class="failed"><h2>What failed</h2>{told}</section>' if told else ""


def findings(entries: Sequence[Entry], border: Border) -> str:
    """The findings by level, each with a button that shows it on the plan."""
    if not entries:
        return "<p>Nothing was found.</p>"
    parts = []
    for level in reversed(LEVELS):
        of_level = [entry for entry in entries if entry.finding.level == level]
        if of_level:
            items = "".join(_finding(entry, border) for entry in of_level)
            parts.append(
                f'<h3>{HEADINGS[level]} <span class="count">{len(of_level)}</span></h3><ol class="findings">{items}</ol>'
            )
    return "".join(parts)


def _finding(entry: Entry, border: Border) -> str:
    finding, offer = entry.finding, entry.offer
    where = listed([border.standing[number].title for number in dict.fromkeys(entry.plants)]) or "the whole plan"
    parts = [
        f'<h4><button type="button" class="choose" data-finding="{entry.number - 1}" aria-pressed="false"><svg class="mark" viewBox="-11 -11 22 22" '
        f'aria-hidden="true">{sign(entry, 0, 0)}</svg><span>{said(entry.name)}<span class="code">{said(finding.code)}</span></span></button></h4>',
        f"<p>{said(finding.message)}</p>",
    ]
    if finding.mend:
        parts.append(f'<p class="mend"><b>To mend it:</b> {said(finding.mend)}</p>')
    if offer:
        change = "" if offer.keeps_design else ", which changes the design"
        parts.append(f'<p class="mend"><b>Tried:</b> {said(offer.words)}{change}; nothing else comes of it.</p>')
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


def calendar(border: Border) -> str:
    """A row for each plant with the months in which there is something to look at; signs are letters on the colour."""
    rows = [row for planting in border.of_the_bed if (row := _year(border, planting))]
    months = "".join(f'<th scope="col"><abbr title="{name}">{name[0]}</abbr></th>' for name in MONTHS)
    used = [(letter, words) for letter, words in (*ORGANS.values(), (EVERGREEN, "evergreen leaves only"))]
    key = "".join(f"<li><b>{letter}</b> {words}</li>" for letter, words in used)
    return (
        f'<ul class="key">{key}</ul><div class="wide" role="region" aria-label="Calendar" tabindex="0"><table class="calendar"><caption class="hidden">What there is to look '
        f'at, by plant and month</caption><thead><tr><th scope="col">Plant</th>{months}</tr></thead><tbody>{"".join(rows)}</tbody></table></div>'
        if rows
        else "<p>No dates are known of these plants.</p>"
    )


def _year(border: Border, planting: Planting) -> str:
    looked_at = interest(border, planting)
    cells = []
    for number in range(1, 13):
        here = [(organ, found) for organ, found in looked_at.items() if number in found["months"]]
        if here:
            letters = "".join(ORGANS[organ][0] for organ, _ in here)
            words = listed(
                [
                    ORGANS[organ][1] + (f" ({', '.join(found['colours'])})" if found["colours"] else "")
                    for organ, found in here
                ]
            )
            colour = next((value for _, found in here if (value := paint(found["colours"]))), "")
            swatch = (
                f'<svg viewBox="0 0 10 10" preserveAspectRatio="none" aria-hidden="true"><rect width="10" height="10" fill="{colour}"/></svg>'
                if colour
                else ""
            )
            ink = "light" if colour and _dark(colour) else "dark"
            cells.append(f'<td class="{ink}" title="{said(words)}">{swatch}<b>{letters}</b></td>')
        elif planting.evergreen:
            cells.append(f'<td class="leafy" title="evergreen"><b>{EVERGREEN}</b></td>')
        else:
            cells.append("<td></td>")
    return f'<tr><th scope="row">{said(planting.traits.name)}<span class="code">{said(planting.key)}</span></th>{"".join(cells)}</tr>'


def _dark(colour: str) -> bool:
    """White letters read better on it than black ones (WCAG 2.2, relative luminance)."""
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return 1.05 / (light + 0.05) > (light + 0.05) / 0.05


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
    told = dict.fromkeys([*result.cautions, CAUTION])
    return f"<ul>{''.join(f'<li>{said(text)}</li>' for text in told)}</ul>"


def _first(text: str) -> str:
    return text[:1].upper() + text[1:]


def _count(number: int, one: str, many: str) -> str:
    return f"{number or 'no'} {one if number == 1 else many}"
