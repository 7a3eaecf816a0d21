"""From a file to what is to be said of it: read, grow, judge, accept.

document ─→ plan ─→ (traits) ─→ border ─→ findings ─→ Result
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from bedfellow.linter.acceptances import Accepted, judge_acceptances
from bedfellow.rules.declaration import declarations
from bedfellow.rules.finding import LEVELS, Finding, Unjudged
from bedfellow.rules.words import listed
from bedfellow.schema.place import Fault, Span
from bedfellow.schema.plan import Plan, plan_from
from bedfellow.schema.reader import Document, read_file
from bedfellow.schema.validity import faults as schema_faults

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.traits_db.snapshot import Store

MOST_NOTES = 15
DEFAULTS = "shrubs as bought reach a fifth of their height; where no transmittance is known crowns pass 20 % of the sun in leaf and 50 % bare"


@dataclass(frozen=True, slots=True)
class Options:
    """What the person asked for. today: the date on which acceptances are judged."""

    only: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    today: datetime.date = field(default_factory=datetime.date.today)


@dataclass(frozen=True, slots=True)
class Result:
    """All that is known of one plan. crashed: codes whose check failed, with the error; border None without a plan."""

    document: Document
    plan: Plan | None
    border: Border | None
    findings: tuple[Finding, ...]
    accepted: tuple[Accepted, ...] = ()
    spans: Mapping[int, Span] = field(default_factory=dict)
    crashed: tuple[tuple[str, str], ...] = ()
    nothing_to_judge: bool = False
    notes_left_out: int = 0
    today: str = ""

    def span(self, finding: Finding) -> Span:
        """Where a finding stands in the file."""
        return self.spans.get(id(finding)) or self.document.span(finding.at)


def lint(path: Path, store: Store, options: Options) -> Result:
    """Everything there is to say of a plan file. Bad input is a finding, never an exception."""
    document = read_file(path)
    wrong = schema_faults(document)
    # A fault of a single value leaves out the item that it stands in; "plants is missing" leaves out nothing.
    plan, misplaced = plan_from(document, frozenset(fault.path for fault in wrong))
    findings, spans = _told([*document.faults, *wrong, *misplaced])
    border: Border | None = None
    crashed: list[tuple[str, str]] = []
    accepted: tuple[Accepted, ...] = ()
    if plan is not None:
        from bedfellow.rules.border.border import Border

        border = Border(plan, store)
        said, crashed = _judge(border, options)
        found, unjudged = _sorted_out(said)
        kept, accepted, at_fault = judge_acceptances(plan, found, options.today)
        findings += [*kept, *at_fault, *_assumptions(plan), *_could_not(unjudged, border)]
    findings = [f for f in findings if _wanted(f.code, options)]
    ordered = sorted(
        findings,
        key=lambda f: (-LEVELS.index(f.level), spans.get(id(f)) or document.span(f.at), f.code, f.keys, f.apart),
    )
    notes = [f for f in ordered if f.level == "note"]
    left_out = {id(f) for f in notes[MOST_NOTES:]}
    return Result(
        document, plan, border, tuple(f for f in ordered if id(f) not in left_out), accepted, spans, tuple(crashed),
        border is None or not border.plantings, len(left_out), options.today.isoformat(),
    )  # fmt: skip


def exit_status(results: Iterable[Result], fail_at: str = "error") -> int:
    """0 clean; 1 findings at the failing level, or nothing to judge; 2 cannot be read or is not a plan; 3 a check crashed."""
    status = 0
    for result in results:
        if result.crashed:
            status = max(status, 3)
        if any(f.code in ("PLAN-01", "PLAN-02") for f in result.findings):
            status = max(status, 2)
        if result.nothing_to_judge or any(LEVELS.index(f.level) >= LEVELS.index(fail_at) for f in result.findings):
            status = max(status, 1)
    return status


def _wanted(code: str, options: Options) -> bool:
    # The file itself is always judged: without it nothing else means anything.
    if code in ("PLAN-01", "PLAN-02"):
        return True
    return (not options.only or code in options.only) and code not in options.without


def _judge(border: Border, options: Options) -> tuple[list[Finding | Unjudged], list[tuple[str, str]]]:
    said: list[Finding | Unjudged] = []
    crashed = []
    for declaration in declarations().values():
        if not declaration.judge or not _wanted(declaration.code, options):
            continue
        if declaration.whole_plan and not border.complete:
            said.append(
                Unjudged(
                    declaration.code, "", ("the whole plan: some lines could not be read or recognised",), ("plants",)
                )
            )
            continue
        if declaration.whole_plan and not (border.plan.borders and border.plantings):
            continue
        try:
            said += list(declaration.function()(border, declaration.limits()))
        except Exception as error:  # a crash is told and fails the run; the other checks still speak
            crashed.append((declaration.code, f"{type(error).__name__}: {error}"))
    return said, crashed


def _sorted_out(said: Iterable[Finding | Unjudged]) -> tuple[list[Finding], list[Unjudged]]:
    findings = [entry for entry in said if isinstance(entry, Finding)]
    known = declarations()
    taken = {(f.code, f.keys) for f in findings}
    kept = [f for f in findings if not any((code, f.keys) in taken for code in known[f.code].gives_way_to)]
    return kept, [entry for entry in said if isinstance(entry, Unjudged)]


def _told(faults: Sequence[Fault]) -> tuple[list[Finding], dict[int, Span]]:
    findings, spans = [], {}
    for fault in faults:
        related = tuple((fault.path, f"{text} (line {span.start_line})") for span, text in fault.related)
        sentence = fault.message[:1].upper() + fault.message[1:]
        finding = Finding(
            fault.code,
            "error",
            (),
            sentence.rstrip(".") + ".",
            fault.path,
            related,
            confidence="high",
            apart=(str(fault.path),),
        )
        if fault.span is not None:
            spans[id(finding)] = fault.span
        findings.append(finding)
    return findings, spans


def _assumptions(plan: Plan) -> list[Finding]:
    site = plan.site
    missing = [
        ("ph", site.ph is None, "the soil's pH", "nothing is said about lime"),
        ("faces", site.faces is None and site.north is None, "which way the border faces", "it is taken to face south"),
        ("latitude", site.latitude is None, "the latitude", "nothing is said about light"),
    ]
    found = [
        Finding(
            "PLAN-04",
            "warning",
            (),
            f"The plan does not say {what}; {so}.",
            ("site",),
            apart=(name,),
            confidence="high",
            mend=f"Add {name} to site.",
        )
        for name, absent, what, so in missing
        if absent
    ]
    found.append(
        Finding("PLAN-04", "note", (), f"Assumed: {DEFAULTS}.", ("site",), apart=("defaults",), confidence="high")
    )
    return found


def _could_not(unjudged: Iterable[Unjudged], border: Border) -> list[Finding]:
    by_key: dict[str, dict[str, set[str]]] = {}
    for entry in unjudged:
        wanting = by_key.setdefault(entry.key, {})
        for word in entry.wanting:
            wanting.setdefault(word, set()).add(entry.code)
    if not by_key:
        return []
    parts = []
    for key in sorted(by_key):
        name = border.by_key[key].title if key in border.by_key else "the plan"
        parts.append(
            f"{name}: "
            + "; ".join(f"{listed(sorted(codes))} for want of {word}" for word, codes in sorted(by_key[key].items()))
        )
    return [
        Finding("PLAN-05", "note", (), "Could not be judged: " + ". ".join(parts) + ".", ("plants",),
                evidence={key: {word: sorted(codes) for word, codes in value.items()} for key, value in sorted(by_key.items())}, confidence="high")
    ]  # fmt: skip


def known_codes(codes: Iterable[str]) -> tuple[list[str], list[str]]:
    """(codes that exist, codes that do not)."""
    known = declarations()
    codes = list(codes)
    return [code for code in codes if code in known], [code for code in codes if code not in known]
