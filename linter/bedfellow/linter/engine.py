"""From a file to what is to be said of it: read, grow, judge, accept.

document ─→ plan ─→ (traits) ─→ border ─→ findings ─→ Result
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from bedfellow.linter.acceptances import Accepted, fingerprint, judge_acceptances
from bedfellow.linter.settings import Settings, with_plan
from bedfellow.rules.declaration import Declaration, declarations
from bedfellow.rules.finding import LEVELS, Finding, Level, Unjudged
from bedfellow.rules.words import listed
from bedfellow.schema.decode import plan_from
from bedfellow.schema.place import Fault, Span
from bedfellow.schema.plan import Plan
from bedfellow.schema.reader import Document, read_file
from bedfellow.schema.validity import faults as schema_faults
from bedfellow.traits_db.library import Data, Library, NoData
from bedfellow.traits_db.snapshot import SHOWN, Store

if TYPE_CHECKING:
    from bedfellow.linter.former import Former
    from bedfellow.linter.offer import Offer
    from bedfellow.rules.border.border import Border

MOST_NOTES = 15


@dataclass(frozen=True, slots=True)
class Options:
    """What the person asked for. today: the date on which acceptances are judged; settings: the checks and limits in force."""

    only: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    today: datetime.date = field(default_factory=datetime.date.today)
    settings: Settings = field(default_factory=Settings)


@dataclass(frozen=True, slots=True)
class Result:
    """All that is known of one plan.

    plan and border are None where the file could not be read as a plan. faults: of findings about the file itself, by
    id; repairs: what is known to mend a finding, by its id, where that was asked for; checks: those that were known, by code. crashed: (code of the check that failed, error), the code empty where the failure lay outside the checks.
    """

    document: Document
    plan: Plan | None
    border: Border | None
    findings: tuple[Finding, ...]
    accepted: tuple[Accepted, ...] = ()
    checks: Mapping[str, Declaration] = field(default_factory=declarations)
    faults: Mapping[int, Fault] = field(default_factory=dict)
    unjudged: tuple[Unjudged, ...] = ()
    crashed: tuple[tuple[str, str], ...] = ()
    nothing_to_judge: bool = False
    notes_left_out: int = 0
    today: str = ""
    data: Data | None = None
    former: Former | None = None
    repairs: Mapping[int, Offer] = field(default_factory=dict)

    def new(self, finding: Finding) -> bool:
        """A former result was given, and it did not have this finding."""
        return self.former is not None and fingerprint(finding) not in self.former.prints

    def span(self, finding: Finding) -> Span:
        """Where a finding stands in the file."""
        fault = self.faults.get(id(finding))
        return fault.span if fault and fault.span else self.document.span(finding.at)

    def related(self, finding: Finding) -> tuple[tuple[Span, str], ...]:
        """The other places that matter, each with a word on it."""
        fault = self.faults.get(id(finding))
        if fault:
            return fault.related
        return tuple((self.document.span(path), text) for path, text in finding.related)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must be said beside these findings, accepted ones among them."""
        told = [*self.findings, *(entry.finding for entry in self.accepted)]
        return tuple(sorted({text for f in told if (text := self.checks[f.code].caution.strip())}))


def lint(path: Path, source: Library | Store, options: Options) -> Result:
    """Everything there is to say of a plan file. Bad input is a finding and our own failure is told, never raised.

    source: where its plant data is looked for, or the one store. Raises NoData where that cannot be used.
    """
    document = read_file(path)
    try:
        return lint_document(document, source, options)
    except NoData:
        raise
    except Exception as error:  # one plan that breaks the program must not hide the others
        crashed = (("", f"{type(error).__name__}: {error}"),)
        return Result(document, None, None, (), crashed=crashed, today=options.today.isoformat())


def lint_document(document: Document, source: Library | Store, options: Options) -> Result:
    """Everything there is to say of a document that was read. Raises whatever our own failure raises."""
    plan, wrong = _plan_of(document)
    settings, unsettled = with_plan(options.settings, document, plan.settings if plan else {})
    options = replace(options, settings=settings)
    told = [(_told(fault), fault) for fault in (*wrong, *unsettled)]
    findings = [finding for finding, _ in told]
    border: Border | None = None
    data: Data | None = None
    crashed: list[tuple[str, str]] = []
    unjudged: list[Unjudged] = []
    accepted: tuple[Accepted, ...] = ()
    if plan is not None:
        from bedfellow.rules.border.border import Border

        data = _data_of(source, document, plan)
        border = Border(plan, data.store)
        said, crashed = judge(border, options)
        unjudged = [entry for entry in said if isinstance(entry, Unjudged)]
        kept, gave_way = one_a_cause([entry for entry in said if isinstance(entry, Finding)], settings.checks)
        # A delivery is not judged here, so nobody knows whether an acceptance of a substitute is used.
        silent = {(code, "") for code in settings.checks if not _wanted(code, options) or code.startswith("SWAP-")}
        silent |= {(code, "") for code, _ in crashed} | {(entry.code, entry.key) for entry in unjudged}
        silent |= {(finding.code, key) for finding in gave_way for key in finding.keys}
        about = (*_pinned(plan, data), *_assumptions(border), *could_not(unjudged, border))
        judged = [f for f in (*kept, *about) if _wanted(f.code, options)]
        standing, accepted, at_fault = judge_acceptances(plan, judged, options.today, settings.checks, silent)
        findings += [*standing, *at_fault]
    findings = [f for f in findings if _wanted(f.code, options)] + _nothing(border)
    faults = {id(finding): fault for finding, fault in told}
    result = Result(
        document, plan, border, (), accepted, settings.checks, faults, tuple(unjudged), tuple(crashed),
        border is None or not border.plantings, 0, options.today.isoformat(), data,
    )  # fmt: skip
    findings.sort(key=lambda f: (-LEVELS.index(f.level), result.span(f), f.code, f.keys, f.apart))
    # What the judgement stands on is told before any other note.
    notes = sorted((f for f in findings if f.level == "note"), key=lambda f: not f.code.startswith("PLAN-"))
    left_out = {id(f) for f in notes[MOST_NOTES:]}
    shown = tuple(f for f in findings if id(f) not in left_out)
    return replace(result, findings=shown, notes_left_out=len(left_out))


def border_of(path: Path, source: Library | Store) -> tuple[Border | None, tuple[Fault, ...]]:
    """The border of a plan file without judging it, and what could not be read; None where the file is no plan.

    Raises NoData as `lint` does.
    """
    from bedfellow.rules.border.border import Border

    document = read_file(path)
    plan, faults = _plan_of(document)
    return Border(plan, _data_of(source, document, plan).store) if plan is not None else None, faults


def _plan_of(document: Document) -> tuple[Plan | None, tuple[Fault, ...]]:
    """The plan in a document, None where it is none, and all that is wrong with it."""
    wrong = schema_faults(document)
    # A fault of a single value leaves out the item that it stands in; "plants is missing" leaves out nothing.
    plan, misplaced = plan_from(document, frozenset(fault.path for fault in wrong))
    return plan, (*document.faults, *wrong, *misplaced)


def _data_of(source: Library | Store, document: Document, plan: Plan) -> Data:
    if isinstance(source, Library):
        return source.data_for(Path(document.name), plan.traits_version)
    return Data(source, source.version)


def unreadable(faults: Iterable[Fault]) -> str:
    """Why a file is no plan, or not all of one, in a clause for a command that can do nothing with it."""
    first = next((fault for fault in faults if fault.code in ("PLAN-01", "PLAN-02")), None)
    if first is None:
        return "'bedfellow lint' tells why"
    return f"{first.message.rstrip('.')}; 'bedfellow lint' tells more" if first.span else first.message.rstrip(".")


def exit_status(results: Iterable[Result], fail_at: str = "error", new_only: bool = False) -> int:
    """0 clean; 1 findings at the failing level, or nothing to judge; 2 cannot be read or is not a plan; 3 a check crashed.

    new_only: what a former result had too does not fail.
    """
    status = 0
    for result in results:
        if result.crashed:
            status = max(status, 3)
        if any(f.code in ("PLAN-01", "PLAN-02") for f in result.findings):
            status = max(status, 2)
        failing = (f for f in result.findings if LEVELS.index(f.level) >= LEVELS.index(fail_at))
        if result.nothing_to_judge or any(result.new(f) or not new_only for f in failing):
            status = max(status, 1)
    return status


def _wanted(code: str, options: Options) -> bool:
    # The file itself is always judged: without it nothing else means anything.
    if code in ("PLAN-01", "PLAN-02"):
        return True
    # What a command asks for stands in place of what settings ask for.
    only, without = options.only or options.settings.only, (*options.without, *options.settings.without)
    return (not only or code in only) and (code not in without or code in options.only)


def judge(border: Border, options: Options) -> tuple[list[Finding | Unjudged], list[tuple[str, str]]]:
    """(what the checks say of a border, code and error of those that crashed)."""
    said: list[Finding | Unjudged] = []
    crashed = []
    for declaration in options.settings.checks.values():
        if not declaration.judges or not _wanted(declaration.code, options):
            continue
        if declaration.whole_plan and not border.complete:
            wanting = "the whole plan: some lines have no place or could not be read"
            said.append(Unjudged("", (wanting,), ("plants",), declaration.code))
            continue
        if declaration.whole_plan and not border.plantings:
            continue
        if declaration.whole_plan and not border.plan.borders:
            said.append(Unjudged("", ("border: outline",), ("plants",), declaration.code))
            continue
        try:
            said += list(declaration.judged(border, options.settings.limits_of(declaration)))
        except Exception as error:  # a crash is told and fails the run; the other checks still speak
            crashed.append((declaration.code, f"{type(error).__name__}: {error}"))
    return said, crashed


def one_a_cause(findings: Sequence[Finding], known: Mapping[str, Declaration]) -> tuple[list[Finding], list[Finding]]:
    """(findings kept, findings that give way to another on the same plants)."""
    taken = {(f.code, f.keys) for f in findings}
    kept: list[Finding] = []
    gave_way: list[Finding] = []
    for f in findings:
        yields = any((code, f.keys) in taken for code in known[f.code].gives_way_to)
        (gave_way if yields else kept).append(f)
    return kept, gave_way


def _told(fault: Fault) -> Finding:
    sentence = fault.message[:1].upper() + fault.message[1:].rstrip(".")
    sentence += "" if sentence.endswith("?") else "."
    return Finding(
        "error", (), fault.path, apart=(str(fault.path),), confidence="high", code=fault.code, message=sentence
    )


def _pinned(plan: Plan, data: Data) -> list[Finding]:
    """What is to be said where the plan asks for other plant data than it was judged against."""
    pin = plan.traits_version
    if pin is None or data.meets(pin):
        return []
    used = f"It was judged against other plant data: {data.told}."
    if data.fitting:
        message = f"More than one version of the plant data begins with {pin}: {listed(data.fitting)}. {used}"
        mend = "Write more of the version that is meant."
    else:
        unfit = "".join(f" {text}." for text in data.unfit)
        places = " or ".join(data.sought)
        looked = f", which is not the shipped one and of which no snapshot is {places}" if places else ""
        message = f"The plan asks for version {pin[:SHOWN]} of the plant data{looked}.{unfit} {used}"
        mend = (
            f"Put plants-{pin[:SHOWN]}….sqlite beside the plan, or name its folder with --records ('bedfellow store snapshot' "
            f'writes such files); or, once you have looked at the findings, write traits_version: "{data.version[:SHOWN]}".'
        )
    evidence = {"asked": pin, "used": data.store.version, "underneath": data.version}
    level: Level = "error" if data.fitting else "warning"
    return [
        Finding(level, (), ("traits_version",), evidence, confidence="high", code="PLAN-07", message=message, mend=mend)
    ]


def _assumptions(border: Border) -> list[Finding]:
    from bedfellow.rules.border.shade import PASSES_BARE, PASSES_IN_LEAF
    from bedfellow.rules.border.supply import SHARE

    site = border.plan.site
    missing = [
        ("ph", site.ph is None, "the soil's pH", "nothing is said about lime"),
        ("faces", site.faces is None and site.north is None, "which way the border faces", "it is taken to face south"),
        ("latitude", site.latitude is None, "the latitude", "nothing is said about light"),
    ]
    found = [
        Finding("warning", (), ("site",), apart=(name,), confidence="high", code="PLAN-04",
                message=f"The plan does not say {what}; {so}.", mend=f"Add {name} to site.")
        for name, absent, what, so in missing
        if absent
    ]  # fmt: skip
    assumed = (
        f"shrubs and trees of which no size is stated have {SHARE:.0%} of their full height as bought; where it is not known what passes "
        f"a crown, {PASSES_IN_LEAF:.0%} of the sun does in leaf and {PASSES_BARE:.0%} when bare"
    )
    if any(planting.woody for planting in border.plantings):
        found.append(
            Finding(
                "note",
                (),
                ("site",),
                apart=("defaults",),
                confidence="high",
                code="PLAN-04",
                message=f"Assumed: {assumed}.",
            )
        )
    return found


def _nothing(border: Border | None) -> list[Finding]:
    """A plan without a plant is never green, whatever was asked for."""
    if border is None or border.plantings:
        return []
    sentence = "No plant in this plan was recognised" if border.plan.lines else "There is no plant in this plan"
    return [
        Finding("error", (), ("plants",), apart=("nothing",), confidence="high", code="PLAN-05",
                message=f"{sentence}, so there was nothing to judge.")
    ]  # fmt: skip


def wanting(unjudged: Iterable[Unjudged], border: Border) -> dict[str, dict[str, list[str]]]:
    """Full name of each plant that could not be judged → word that is wanting → codes, all in order."""
    by_key: dict[str, dict[str, set[str]]] = {}
    for entry in unjudged:
        name = border.by_key[entry.key].title if entry.key in border.by_key else entry.key or "the plan"
        for word in entry.wanting:
            by_key.setdefault(name, {}).setdefault(word, set()).add(entry.code)
    return {
        name: {word: sorted(codes) for word, codes in sorted(words.items())} for name, words in sorted(by_key.items())
    }


def wanting_in_words(name: str, words: Mapping[str, Sequence[str]]) -> str:
    """``name: codes for want of word; codes for want of word``."""
    return f"{name}: " + "; ".join(f"{listed(codes)} for want of {word}" for word, codes in words.items())


def could_not(unjudged: Iterable[Unjudged], border: Border) -> list[Finding]:
    """The note on all that could not be judged, where there is anything."""
    by_name = wanting(unjudged, border)
    if not by_name:
        return []
    sentence = ". ".join(wanting_in_words(name, words) for name, words in by_name.items())
    return [
        Finding("note", (), ("plants",), by_name, confidence="high", code="PLAN-05",
                message=f"Could not be judged: {sentence}.")
    ]  # fmt: skip
