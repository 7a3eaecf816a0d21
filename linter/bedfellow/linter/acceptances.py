"""Findings that the designer accepts, each with a reason, some for a time; and what is wrong with an acceptance."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from bedfellow.rules.finding import Finding
from bedfellow.schema import units
from bedfellow.schema.plan import Acceptance, Plan

FINGERPRINT = "1"
NEVER = ("PLAN-01", "PLAN-02", "PLAN-03", "PLAN-06")


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding and the acceptance that covers it."""

    finding: Finding
    acceptance: Acceptance


def fingerprint(finding: Finding) -> str:
    """What stays the same when numbers, words, level or lines change: code, keys, and what tells two apart."""
    text = "\0".join((FINGERPRINT, finding.code, *sorted(finding.keys), "", *finding.apart))
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def judge_acceptances(
    plan: Plan,
    findings: Sequence[Finding],
    today: date,
    codes: Collection[str],
    silent: Collection[tuple[str, str]] = (),
) -> tuple[list[Finding], tuple[Accepted, ...], list[Finding]]:
    """(findings that stand, findings accepted, PLAN-06 findings about acceptances).

    codes: of the checks that there are. silent: (code, key) on which nothing was said although there may be something, an empty key for a whole code. An
    acceptance of such a subject is not called unused; nor is any in a plan of which a part could not be read.
    """
    known_keys = {line.key for line in plan.lines} | {plant.key for plant in plan.retained}
    known_keys.update(key for finding in findings for key in finding.keys)
    covered: dict[int, Acceptance] = {}
    at_fault = []
    for acceptance in plan.accepted:
        problem = _problem(acceptance, known_keys if plan.complete else None, today, codes)
        matching = [f for f in findings if _covers(acceptance, f)] if problem is None else []
        unheard = not plan.complete or any((acceptance.code, key) in silent for key in ("", *acceptance.keys))
        if problem is None and not matching and not unheard:
            problem = "matches no finding; take it out"
        if problem:
            at_fault.append(
                Finding("warning", tuple(sorted(acceptance.keys)), acceptance.path, apart=(acceptance.code,),
                        confidence="high", code="PLAN-06", message=f"The acceptance of {acceptance.code} {problem}.")
            )  # fmt: skip
        covered.update((id(f), acceptance) for f in matching)
    standing = [f for f in findings if id(f) not in covered]
    return standing, tuple(Accepted(f, covered[id(f)]) for f in findings if id(f) in covered), at_fault


def _covers(acceptance: Acceptance, finding: Finding) -> bool:
    if acceptance.code != finding.code or finding.code in NEVER:
        return False
    return not finding.keys if acceptance.whole else tuple(sorted(acceptance.keys)) == finding.keys


def _problem(acceptance: Acceptance, known_keys: set[str] | None, today: date, codes: Collection[str]) -> str | None:
    if acceptance.code not in codes:
        return "names no known code"
    if acceptance.code in NEVER:
        return "has no effect: this can only be put right"
    if not acceptance.reason.strip():
        return "gives no reason"
    if not acceptance.whole and not acceptance.keys:
        return "names no keys; write keys, or whole: true for a finding about the plan as a whole"
    unknown = sorted(set(acceptance.keys) - known_keys) if known_keys is not None else []
    if unknown:
        return f"names {', '.join(unknown)}, which no line has"
    if acceptance.until:
        try:
            last = units.last_day(acceptance.until)
        except ValueError as error:
            return f"has no date: {error}"
        if last < today:
            return f"ended in {acceptance.until}"
    return None
