"""A check's examples: small plans in its file, each with what must be found in it and what must not.

- shows: a sentence on what this example is for
  plan: the plan's text; site and border are those of HEAD unless it states its own
  finds: [{level, keys, at, case, values: {name: number}, within: tolerance}, ...]; none where it must stay silent
  could_not: [{key, wanting}, ...]
  limit: a setting of which this is one side        right_when: the exception that this shows
  but_for: the text without which the exception is none and the finding appears, or {text: its replacement}
  unknown: a trait that is not known here
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bedfellow.linter.engine import Options, Result, lint_document
from bedfellow.linter.settings import Settings
from bedfellow.rules.declaration import Declaration, declarations
from bedfellow.rules.finding import Finding
from bedfellow.schema.reader import read_text

if TYPE_CHECKING:
    from bedfellow.traits_db.snapshot import Store

HEAD = {
    "format": "format: 1\n",
    "site": "site: {latitude: 51.6, faces: S, ph: 6.8, texture: loam, moisture: moist well-drained, minimum_temperature: -9}\n",
    "border": "border: {outline: [[0, 0], [10, 0], [10, 10], [0, 10]]}\n",
}
WITHIN = 0.011
MARKS = ("limit", "right_when", "but_for", "unknown")
WORDS = {"shows", "plan", "finds", "could_not", *MARKS}


def plan_text(example: Mapping[str, Any]) -> str:
    """The whole plan of an example: its own text under the parts of HEAD that it does not state."""
    own = str(example["plan"])
    return "".join(text for name, text in HEAD.items() if not re.search(rf"^{name}s?:", own, re.MULTILINE)) + own


def wrong(check: Declaration, example: Mapping[str, Any], store: Store) -> Iterator[str]:
    """What a check says of an example otherwise than the example says it must, a sentence each."""
    code = check.code
    for word in sorted(set(example) - WORDS):
        yield f"an example has no '{word}'"
    result = _linted(check, plan_text(example), store)
    yield from (f"the check failed: {error}" for _, error in result.crashed)
    yield from (
        f"the plan is at fault: {f.message}" for f in result.findings if f.code in ("PLAN-01", "PLAN-02", "PLAN-03")
    )
    found = [f for f in result.findings if f.code == code]
    wanted = list(example.get("finds") or ())
    if len(found) != len(wanted):
        yield f"{len(wanted)} to be found and {len(found)} were: {[f.message for f in found]}"
    else:
        for finding, want in zip(found, wanted, strict=True):
            yield from _differs(finding, want)
    could_not = sorted((entry.key, *entry.wanting) for entry in result.unjudged if entry.code == code)
    expected = sorted((entry.get("key", ""), *entry["wanting"]) for entry in example.get("could_not") or ())
    if could_not != expected:
        yield f"could not judge {expected} was expected, not {could_not}"
    if example.get("right_when"):
        yield from _idle(check, example, store)


def missing(check: Declaration, examples: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """What a check's examples do not show and must: both outcomes, both sides of each limit, each exception and case, an unknown trait."""
    found, silent = [e for e in examples if e.get("finds")], [e for e in examples if not e.get("finds")]
    if not found:
        yield "nothing is found in any example"
    if not silent:
        yield "something is found in every example"
    for setting in check.settings:
        sides = {str([f["level"] for f in e.get("finds") or ()]) for e in examples if e.get("limit") == setting}
        if len(sides) < 2:
            yield f"only one side of the limit {setting} is shown"
    shown = {e.get("right_when") for e in silent}
    yield from (f"no example shows when it is right: {name}" for name in check.right_when if name not in shown)
    told = {f.get("case", "") for e in found for f in e["finds"]}
    cases = {case for words in (check.says, check.advises) if not isinstance(words, str) for case in words}
    yield from (f"no example tells the case {case}" for case in sorted(cases - told))
    if check.traits and not any(e.get("unknown") for e in examples):
        yield "no example has an unknown trait"
    for example in examples:
        for mark, known in (("limit", check.settings), ("right_when", check.right_when), ("unknown", check.traits)):
            if example.get(mark) and example[mark] not in known:
                yield f"{mark}: {example[mark]} is not in the check's file"


def _linted(check: Declaration, text: str, store: Store) -> Result:
    settings = Settings({**declarations(), check.code: check})
    return lint_document(read_text(text, "example.plan.yaml"), store, Options(only=(check.code,), settings=settings))


def _idle(check: Declaration, example: Mapping[str, Any], store: Store) -> Iterator[str]:
    """An exception that silences nothing shows nothing: without it the finding must appear."""
    if example.get("finds"):
        yield "an exception leaves nothing to be found"
    but_for = example.get("but_for") or ""
    changes = but_for if isinstance(but_for, dict) else {but_for: ""}
    text = plan_text(example)
    for old, new in changes.items():
        if not old or old not in text:
            yield f"but_for: '{old}' is not in the plan"
        text = text.replace(old, new)
    result = _linted(check, text, store)
    if not any(f.code == check.code for f in result.findings):
        yield f"without '{but_for}' nothing is found either: {[f.message for f in result.findings]}"


def _differs(finding: Finding, want: Mapping[str, Any]) -> Iterator[str]:
    for name, found in (
        ("level", finding.level),
        ("keys", list(finding.keys)),
        ("at", _dotted(finding.at)),
        ("case", finding.case),
    ):
        if name in want and want[name] != found:
            yield f"{name} {want[name]!r} was expected, not {found!r}: {finding.message}"
    if not {"level", "keys", "at"} <= set(want):
        yield "finds states level, keys and at"
    if re.search(r"\bNone\b|[{}]|\bnan\b", finding.message + finding.mend):
        yield f"the message is not filled: {finding.message} {finding.mend}"
    for name, number in (want.get("values") or {}).items():
        value = finding.evidence.get(name)
        close = abs(value - number) <= want.get("within", WITHIN) if isinstance(value, int | float) else value == number
        if not close:
            yield f"{name} {number!r} was expected, not {value!r}: {finding.message}"


def _dotted(path: Sequence[str | int]) -> str:
    """``plants[1].at``."""
    return "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path).lstrip(".")
