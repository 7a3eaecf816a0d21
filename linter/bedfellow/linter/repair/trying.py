"""A repair tried on the text: what it clears, and what stands against it.

    its own check ─→ the quick checks ─→ all of them            each only if the one before has nothing against it

Most repairs fail at once and cost little; only a text that is to be kept is judged by all checks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Options, Result, lint_document
from bedfellow.linter.repair.changes.repair import Repair
from bedfellow.linter.repair.changes.table import repairs
from bedfellow.linter.repair.edit import CannotEdit, changed
from bedfellow.linter.repair.trial import compared, quick
from bedfellow.rules.finding import Finding
from bedfellow.schema.reader import Document
from bedfellow.traits_db.library import Library
from bedfellow.traits_db.snapshot import Store

STAYS = " stays"
TOLD = ("PLAN-04", "PLAN-05")  # what a judgement stands on, and what it could not be made of


class Try(NamedTuple):
    """A repair, the finding that it is meant for, and what came of it.

    clears: fingerprints of findings that are gone, as far as was judged; against: what forbids it, empty where nothing does.
    """

    repair: Repair
    finding: Finding
    clears: frozenset[str]
    against: tuple[str, ...] = ()


class Bench:
    """A document with what was found in it, and the tries that are made on it. tell: is told how many texts were judged."""

    def __init__(
        self, result: Result, source: Library | Store, options: Options, tell: Callable[[int], None] = lambda done: None
    ) -> None:
        self.result, self.source, self.options, self._tell = result, source, options, tell
        self.judged = 0

    def judge(self, document: Document, codes: Sequence[str] = ()) -> Result:
        """What some checks, or all, say of a text."""
        options = replace(self.options, only=tuple(codes)) if codes else self.options
        self.judged += 1
        self._tell(self.judged)
        return lint_document(document, self.source, options)

    def tries(self, finding: Finding, design: bool) -> Iterator[Try]:
        """Each repair of a finding, the likeliest first, judged by its own check and by the quick ones."""
        if self.result.border is None:
            return
        for repair in repairs(finding, self.result.border, self.options, design):
            try:
                document = changed(self.result.document, repair.edits)
            except CannotEdit as error:
                yield Try(repair, finding, frozenset(), (str(error),))
                continue
            yield self._tried(repair, finding, document)

    def _tried(self, repair: Repair, finding: Finding, document: Document) -> Try:
        clears: frozenset[str] = frozenset()
        for codes in ((finding.code,), quick(self.options).only):
            after = self.judge(document, codes)
            against = self.against(after, (finding,), codes)
            if against:
                return Try(repair, finding, clears, against)
            clears |= self._cleared(after, codes)
        return Try(repair, finding, clears)

    def in_full(self, tried: Try) -> Try:
        """The same try judged by all checks."""
        after = self.judge(changed(self.result.document, tried.repair.edits))
        return tried._replace(clears=self._cleared(after), against=self.against(after, (tried.finding,)))

    def _cleared(self, after: Result, codes: Sequence[str] = ()) -> frozenset[str]:
        """Fingerprints of the findings that are gone from a text. codes: of the checks that judged it, all where none are named."""
        were = frozenset(fingerprint(f) for f in self.result.findings if not codes or f.code in codes)
        return were - {fingerprint(f) for f in after.findings}

    def against(self, after: Result, mended: Sequence[Finding], codes: Sequence[str] = ()) -> tuple[str, ...]:
        """What forbids a text in which some findings are to be gone: one that is not; an error or warning that is new or
        graver (a note too where only notes are mended); a check that fails; a plant that is judged no more.

        A name that is found brings to light what nobody could judge before, of its plant and of the whole, and a place that
        can be one what could not be judged of the whole: that is not new.
        codes: of the checks that judged it, all where none are named.
        """
        return tuple(told for told, _ in self.troubles(after, mended, codes))

    def troubles(
        self, after: Result, mended: Sequence[Finding], codes: Sequence[str] = ()
    ) -> Iterator[tuple[str, tuple[str, ...]]]:
        """The same, each with the keys that it is about."""
        before = [f for f in self.result.findings if f.code not in TOLD and (not codes or f.code in codes)]
        are = [f for f in after.findings if f.code not in TOLD]
        found = {key for f in mended if f.code == "STOCK-03" for key in f.keys}
        found |= {""} if any(f.code == "PLAN-03" for f in mended) else set()
        notes = all(f.level == "note" for f in mended)
        still = set(map(fingerprint, are)) & set(map(fingerprint, mended))
        for f in mended:
            if fingerprint(f) in still and (not codes or f.code in codes):
                yield f"{f.code}{STAYS}", f.keys
        for f in compared(before, are).new:
            to_light = found and (not f.keys or set(f.keys) & found)
            if (f.level != "note" or notes) and not to_light and fingerprint(f) not in still:
                yield f"{f.code}: {f.message}", f.keys
        for code, error in after.crashed:
            yield f"{code} failed: {error}", ()
        lost = {(u.code, u.key) for u in after.unjudged} - {(u.code, u.key) for u in self.result.unjudged}
        known = self.result.border.by_key if self.result.border else {}
        for code, key in sorted(lost):
            if (not key or key in known) and (not found or key not in ("", *found)):
                yield f"{code} could no more be judged", (key,) if key else ()
