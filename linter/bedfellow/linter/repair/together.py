"""Repairs made together: the smallest set of those that do is made, and what does not go together is found out."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import islice
from typing import NamedTuple

from bedfellow.linter.acceptances import fingerprint
from bedfellow.linter.engine import Result
from bedfellow.linter.repair.changes.repair import Repair
from bedfellow.linter.repair.choice import smallest
from bedfellow.linter.repair.edit import CannotEdit, changed
from bedfellow.linter.repair.trying import STAYS, Bench, Try
from bedfellow.rules.finding import Finding

CHOICES = 2  # repairs that would do, for each finding
MOST_TRIED = 24  # repairs of one finding
CUTS = 20  # sets that turn out not to go together
REASONS = 3  # that are told of a finding that is left


class Done(NamedTuple):
    """A repair that was made, and the findings that went with it: the one that it was made for first."""

    repair: Repair
    findings: tuple[Finding, ...]

    @property
    def finding(self) -> Finding:
        return self.findings[0]


def mended_in(
    bench: Bench, wanted: Sequence[Finding], design: bool
) -> tuple[list[Done], Result, dict[str, tuple[str, ...]]]:
    """(repairs made, what is then found, by fingerprint what stands against mending what is left)."""
    tries, against = _all_tries(bench, wanted, design)
    prints = {fingerprint(f): f.level for f in wanted}
    together: list[list[int]] = []
    full: set[int] = set()
    for _ in range(CUTS):
        chosen = smallest(tries, prints, together)
        if not chosen:
            break
        made = [tries[n] for n in chosen]
        mended = [f for f in wanted if any(fingerprint(f) in one.clears for one in made)]
        edits = [edit for one in made for edit in one.repair.edits]
        try:
            document = changed(bench.result.document, edits)
        except CannotEdit as error:  # each can be written alone
            together.append(chosen)
            for one in made:
                _note(against, one._replace(against=(f"{error} (together with another repair)",)))
            continue
        after = bench.judge(document)
        troubles = list(bench.troubles(after, mended))
        if not troubles:
            return _told(bench, made, after), after, against
        for trouble in troubles:
            cut = _blamed(bench, tries, chosen, trouble, full, against)
            if cut:
                together.append(cut)
        for n, one in enumerate(tries):
            if one.against:
                tries[n] = one._replace(clears=frozenset())
    return [], bench.result, against


def _blamed(
    bench: Bench, tries: list[Try], chosen: Sequence[int], trouble: tuple[str, tuple[str, ...]], full: set[int],
    against: dict[str, tuple[str, ...]],
) -> list[int]:  # fmt: skip
    """Which of the chosen tries must not be made together for what came of them; none where one of them is bad by itself.

    Those that touch what the trouble is about are judged in full, and put in their places, if they have not been (full).
    """
    words, keys = trouble
    blamed = [n for n in chosen if set(keys) & set(tries[n].repair.keys)] or list(chosen)
    for n in blamed:
        if n not in full:
            full.add(n)
            tries[n] = bench.in_full(tries[n])
    bad = [n for n in blamed if tries[n].against]
    for n in bad:
        _note(against, tries[n])
    if bad:
        return []
    if len(blamed) == 1:  # alone it does no harm: with plants that are added, or with any other
        blamed = [n for n in chosen if n in blamed or not tries[n].repair.keys]
    if len(blamed) == 1:
        blamed = list(chosen)
    for n in blamed:
        _note(against, tries[n]._replace(against=(f"{words} (together with another repair)",)))
    return blamed


def _all_tries(bench: Bench, wanted: Sequence[Finding], design: bool) -> tuple[list[Try], dict[str, tuple[str, ...]]]:
    """(repairs that have nothing against them so far, by fingerprint of a finding what stands against the others)."""
    tries: list[Try] = []
    against: dict[str, tuple[str, ...]] = {}
    for finding in wanted:
        good = 0
        for one in islice(bench.tries(finding, design), MOST_TRIED):
            if one.against:
                _note(against, one)
                continue
            tries.append(one)
            good += 1
            if good == CHOICES:
                break
    return tries, against


def _note(against: dict[str, tuple[str, ...]], tried: Try) -> None:
    if tried.against[0].endswith(STAYS):
        return  # that it mends nothing stands against nothing
    print_ = fingerprint(tried.finding)
    said = f"{tried.repair.words}: {tried.against[0]}"
    told = against.get(print_, ())
    if len(told) < REASONS and said not in told:
        against[print_] = (*told, said)


def _told(bench: Bench, made: Collection[Try], after: Result) -> list[Done]:
    """Each repair with the findings that went with it, each finding with the first that clears it."""
    are = {fingerprint(f) for f in after.findings}
    gone = {fingerprint(f): f for f in bench.result.findings if fingerprint(f) not in are and f.level != "note"}
    done = []
    for one in made:
        own = fingerprint(one.finding)
        also = [f for print_, f in gone.items() if print_ in one.clears and print_ != own]
        for f in also:
            gone.pop(fingerprint(f))
        gone.pop(own, None)
        done.append(Done(one.repair, (one.finding, *also)))
    return done
