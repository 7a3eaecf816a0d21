"""A plan mended: the smallest set of repairs that clears what it can, made only if the text judged again is better for it.

findings ─→ repairs tried one by one ─→ the smallest set ─→ all made, judged by all checks ─→ kept
              ↑                            ↑                       │ something new
              │ what is left               └── not these together ─┘
              └───────────────────────────────────────────────────────────────────────────────
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import islice
from typing import NamedTuple

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Options, Result, lint_document
from bedfellow.linter.offer import Offer
from bedfellow.linter.repair.changes.moves import FARTHEST
from bedfellow.linter.repair.changes.table import CHANGES, MOVED, known, locked
from bedfellow.linter.repair.edit import CannotEdit, changed, replacements
from bedfellow.linter.repair.together import MOST_TRIED, Done, mended_in
from bedfellow.linter.repair.trying import TOLD, Bench
from bedfellow.rules.finding import LEVELS, Finding, Level
from bedfellow.schema.reader import Document
from bedfellow.traits_db.library import Library
from bedfellow.traits_db.snapshot import Store

ROUNDS = 6  # a repair may bring to light what another can mend


class Left(NamedTuple):
    """A finding that nothing mends, and what stands against it, in words."""

    finding: Finding
    against: tuple[str, ...]


class Mended(NamedTuple):
    """The text as mended, what was done, in order, and the findings at the level asked for that are left.

    came: notes that came with the repairs; numbers: of the repairs in the list that they were chosen from.
    """

    document: Document
    done: tuple[Done, ...]
    left: tuple[Left, ...]
    came: tuple[Finding, ...] = ()
    numbers: tuple[int, ...] = ()


class CannotTake(ValueError):
    """Why some of the repairs cannot be made without the others."""


def mend(
    document: Document, source: Library | Store, options: Options, level: Level = "error", design: bool = False,
    codes: Sequence[str] = (), tell: Callable[[int], None] = lambda done: None,
) -> Mended:  # fmt: skip
    """The plan with all findings mended that can be. design: repairs that change the design too; codes: only of these.

    tell: is told how many texts have been judged.
    """
    first = result = lint_document(document, source, options)
    done: list[Done] = []
    against: dict[str, tuple[str, ...]] = {}
    judged = 0
    for _ in range(ROUNDS):
        bench = Bench(result, source, options, lambda number, before=judged: tell(before + number))  # type: ignore[misc]
        made, after, against = mended_in(bench, _at(result, level, codes), design)
        judged += bench.judged
        if not made:
            break
        done += made
        result = after
    left = tuple(Left(f, against.get(fingerprint(f)) or _nothing(result, f, design)) for f in _at(result, level, codes))
    return Mended(result.document, tuple(done), left, _came(first, result))


def some(document: Document, found: Mended, chosen: Sequence[int], source: Library | Store, options: Options) -> Mended:
    """Of the repairs that were found for a document only some, by their place in the list.

    Raises CannotTake, in words, where these do not mend their findings, or bring others, without the rest.
    """
    bench = Bench(lint_document(document, source, options), source, options)
    made, now = [found.done[n] for n in chosen], document
    for one in made:
        try:
            now = changed(now, one.repair.edits)
        except CannotEdit as error:
            raise CannotTake(f"'{one.repair.words}' cannot be made without the others: {error}") from None
    there = {fingerprint(f) for f in bench.result.findings}
    after = bench.judge(now)
    trouble = bench.against(after, [one.finding for one in made if fingerprint(one.finding) in there])
    if trouble:
        raise CannotTake(f"these cannot be made without the others: {trouble[0]}")
    kept = tuple(Left(one.finding, ("left as you chose",)) for one in found.done if one not in made)
    return Mended(now, tuple(made), (*kept, *found.left), _came(bench.result, after), tuple(n + 1 for n in chosen))


def offers(
    result: Result, source: Library | Store, options: Options, tell: Callable[[int], None] = lambda done: None
) -> dict[int, Offer]:
    """For each finding, by its id, the first repair that mends it; findings that nothing mends are left out.

    tell: is told how many texts have been judged.
    """
    bench = Bench(result, source, options, tell)
    found = {}
    for finding in result.findings:
        for one in islice(bench.tries(finding, design=True), MOST_TRIED):
            if not one.against and not bench.in_full(one).against:
                changes = replacements(result.document, one.repair.edits)
                found[id(finding)] = Offer(one.repair.words, one.repair.keeps_design, changes)
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


def _came(before: Result, after: Result) -> tuple[Finding, ...]:
    """What is found now and was not before; what a judgement stands on is left out."""
    were = {fingerprint(f) for f in before.findings}
    return tuple(f for f in after.findings if fingerprint(f) not in were and f.code not in TOLD)


def _nothing(result: Result, finding: Finding, design: bool) -> tuple[str, ...]:
    """Why no repair could be tried."""
    border = result.border
    held = locked(finding.keys, border) if border else []
    if held:
        return (f"{' and '.join(held)} {'is' if len(held) == 1 else 'are'} locked",)
    if not known(finding.code):
        return ("no repair of this is known; it is for you to decide",)
    if design and finding.code in MOVED:
        return (f"no place within {FARTHEST:g} m has room for it, and no other plant that was tried does",)
    if not design and finding.code in (*CHANGES, *MOVED):
        return ("what could mend it changes the design: '--design' tries that",)
    return ("nothing that is known to mend such a finding does here",)
