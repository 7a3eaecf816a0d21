"""Pages on what is dangerous, and on what the plan stands on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import cautions, parts, standing
from bedfellow.linter.report.handover.parts import Part, Row
from bedfellow.linter.report.text import HEADINGS
from bedfellow.rules.finding import LEVELS
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.pack import Pack

HARM = (
    "Minor: short-lived upset or rash. Marked: medical advice is wanted, perhaps a hospital. Severe: it can kill or injure for "
    "life. In doubt ask a poison centre, a doctor or a vet at once."
)


def dangers(pack: Pack) -> Iterator[Part]:
    """Cautions, what is on the site, and plants that harm; each with who is to be asked."""
    for words in cautions.said(pack.result):
        yield parts.caution(words)
    site = list(cautions.on_site(pack.border))
    if site:
        yield parts.heading("On this site")
        yield parts.table(("what", "who is to be asked"), site, (3, 2), 8.5)
    yield parts.heading("Plants that are known to harm")
    if pack.harmful:
        found: list[Row] = [
            [parts.name_of(row.name), parts.few(row.keys), row.whom, row.how, row.severity, row.source] for row in pack.harmful
        ]  # fmt: skip
        yield parts.table(("plant", "keys", "whom", "how", "harm", "from"), found, (2.4, 1, 2, 2, 0, 2), 8)
    else:
        yield parts.text("None of those of which something is known.")
    yield parts.text(HARM)
    unlisted = cautions.unlisted(pack.border)
    if unlisted:
        yield parts.text(f"Nothing is recorded, which does not mean safe, of {listed(unlisted)}.")


def grounds(pack: Pack) -> Iterator[Part]:
    """Assumptions, what could not be judged, findings accepted and open, revisions."""
    result = pack.result
    yield parts.heading("Assumed")
    assumed = standing.assumptions(result)
    yield parts.listing(assumed) if assumed else parts.text("Nothing beyond what the plan states.")
    yield parts.heading("Could not be judged")
    unjudged = standing.unjudged(result)
    head: tuple[str, ...] = ("plant", "for want of", "checks")
    yield parts.table(head, unjudged, (2, 2, 3), 8) if unjudged else parts.text("All was judged.")
    yield parts.heading("Accepted, with reasons")
    accepted = standing.accepted(result)
    head = ("check", "what was found", "why it is accepted", "until")
    yield parts.table(head, accepted, (0, 3, 2, 0), 8) if accepted else parts.text("Nothing.")
    yield from _open(pack)
    yield parts.heading("Revisions")
    yield parts.table(("date", "by", "what"), [(r.date, r.by, r.what) for r in pack.revisions], (0, 1, 4), 8)


def _open(pack: Pack) -> Iterator[Part]:
    found = standing.still_open(pack.result)
    for level in reversed(LEVELS):
        same: list[Row] = [[f.code, f.message, f.mend] for f in found if f.level == level]
        if same:
            yield parts.heading(f"Still open: {HEADINGS[level].lower()}")
            yield parts.table(("check", "what was found", "what would mend it"), same, (0, 3, 2), 8)
    if not found:
        yield parts.heading("Still open")
        yield parts.text("Nothing.")
    if pack.result.notes_left_out:
        yield parts.text(f"{pack.result.notes_left_out} more notes are left out.")
