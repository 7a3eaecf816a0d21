"""A plan mended: each repair is kept only if judging the text again shows its finding gone and nothing new.

document ─→ findings ─→ the likeliest repair ─→ text ─→ findings again ─→ kept, or the next
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Options, Result, lint_document
from bedfellow.linter.offer import Offer
from bedfellow.linter.repair.edit import CannotEdit, edited, replacements
from bedfellow.linter.repair.repairs import Repair, repairs
from bedfellow.linter.repair.trial import compared
from bedfellow.rules.finding import LEVELS, Finding, Level
from bedfellow.schema.reader import Document, read_text
from bedfellow.traits_db.library import Library
from bedfellow.traits_db.snapshot import Store

MOST = 200  # repairs of one plan
TOLD = ("PLAN-04", "PLAN-05")  # what a judgement stands on, and what it could not be made of


class Done(NamedTuple):
    """A finding and the repair that mended it."""

    finding: Finding
    repair: Repair


class Mended(NamedTuple):
    """The text as mended, what was done, in order, and the findings at the level asked for that are left."""

    document: Document
    done: tuple[Done, ...]
    left: tuple[Finding, ...]


def mend(
    document: Document, source: Library | Store, options: Options, level: Level = "error", design: bool = False,
    codes: Sequence[str] = (), tell: Callable[[int], None] = lambda done: None,
) -> Mended:  # fmt: skip
    """The plan with all findings mended that can be. design: repairs that change the design too; codes: only of these.

    tell: is told how many texts have been judged.
    """
    result = lint_document(document, source, options)
    done: list[Done] = []
    judged = 0
    mended = True
    while mended and len(done) < MOST:
        mended = False
        for finding in _at(result, level, codes):
            for repair, text in _tries(result, finding, options, design):
                after = lint_document(read_text(text, document.name), source, options)
                judged += 1
                tell(judged)
                if _better(result, after, finding):
                    done.append(Done(finding, repair))
                    result, mended = after, True
                    break
            if mended:
                break
    return Mended(result.document, tuple(done), tuple(_at(result, level, codes)))


def offers(
    result: Result, source: Library | Store, options: Options, tell: Callable[[int], None] = lambda done: None
) -> dict[int, Offer]:
    """For each finding, by its id, the first repair that mends it; findings that nothing mends are left out.

    tell: is told how many texts have been judged.
    """
    found = {}
    judged = 0
    for finding in result.findings:
        for repair, text in _tries(result, finding, options, design=True):
            after = lint_document(read_text(text, result.document.name), source, options)
            judged += 1
            tell(judged)
            if _better(result, after, finding):
                found[id(finding)] = Offer(
                    repair.words, repair.keeps_design, replacements(result.document, repair.edits)
                )
                break
    return found


def _at(result: Result, level: Level, codes: Sequence[str]) -> list[Finding]:
    """The findings at a level or above, of the codes that are asked for or of all, the gravest first."""
    least = LEVELS.index(level)
    found = [
        finding
        for finding in result.findings
        if LEVELS.index(finding.level) >= least and (not codes or finding.code in codes)
    ]
    return sorted(found, key=lambda finding: -LEVELS.index(finding.level))


def _tries(result: Result, finding: Finding, options: Options, design: bool) -> Iterator[tuple[Repair, str]]:
    if result.border is None:
        return
    for repair in repairs(finding, result.border, options, design):
        if not (repair.keeps_design or design):
            continue
        try:
            yield repair, edited(result.document, repair.edits)
        except CannotEdit:
            continue


def _better(before: Result, after: Result, finding: Finding) -> bool:
    """The finding is gone, no error or warning is new or graver (nor a note, where it is one), no check failed, and nothing
    that was judged is judged no more.

    A name that is found brings to light what nobody could judge before, of its plant and of the whole: that is not new.
    """
    were, are = ([f for f in result.findings if f.code not in TOLD] for result in (before, after))
    named = finding.code == "STOCK-03"
    for now in compared(were, are).new:
        lesser = now.level == "note" and finding.level != "note"
        if not lesser and not (named and (not now.keys or set(now.keys) & set(finding.keys))):
            return False
    unjudged = {(entry.code, entry.key) for entry in after.unjudged} - {
        (entry.code, entry.key) for entry in before.unjudged
    }
    lost = [key for _, key in unjudged if not (named and key in ("", *finding.keys))]
    return fingerprint(finding) not in map(fingerprint, are) and not after.crashed and not lost
