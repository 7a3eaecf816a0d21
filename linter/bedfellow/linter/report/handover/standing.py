"""What the pack stands on: assumptions, what could not be judged, findings accepted and open, revisions, and what is lacking."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from bedfellow.linter.engine import wanting
from bedfellow.linter.report.handover.orders import PLANTS, Ordered
from bedfellow.rules.finding import LEVELS
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.linter.engine import Result
    from bedfellow.rules.finding import Finding

MOST_NAMED = 8
REVISIONS = "x-revisions"
HASHED = 16  # characters that are shown


@dataclass(frozen=True, slots=True)
class Revision:
    """An issue of the plan: when, by whom, and what changed; as the plan states it, or this one."""

    date: str
    by: str
    what: str


def revisions(result: Result, digest: str) -> tuple[Revision, ...]:
    """What the plan lists under ``x-revisions``, entries of {date, by, what}, and last this pack. digest: of the plan's bytes."""
    assert result.plan is not None
    stated = result.plan.extra.get(REVISIONS)
    told = [_revision(entry) for entry in (stated if isinstance(stated, list) else [])]
    data = f"plant data {result.data.told}" if result.data else "plant data not known"
    return (*told, Revision(result.today, "bedfellow", f"this pack; plan {digest}; {data}"))


def _revision(entry: Any) -> Revision:
    if not isinstance(entry, Mapping):
        return Revision("", "", str(entry))
    return Revision(*(str(entry.get(word) or "") for word in ("date", "by", "what")))


def digest_of(raw: bytes) -> str:
    """The beginning of the SHA-256 of a plan file, by which another version of it is told."""
    return sha256(raw).hexdigest()[:HASHED]


def lacking(result: Result, rows: Sequence[Ordered]) -> tuple[str, ...]:
    """What a pack needs and the plan does not say, in sentences: all that PLAN-08 looks for, and more, of every line."""
    return tuple(_lacking(result, rows))


def _lacking(result: Result, rows: Sequence[Ordered]) -> Iterator[str]:
    border = result.border
    assert border is not None
    plan = border.plan
    if plan.planted is None:
        yield "The plan does not say when it is planted: months are counted from the date of this pack."
    if border.unknown_names:
        yield f"Not recognised, so that nothing is known of them: {_named([f'{line.name} ({line.key})' for line in border.unknown_names])}."
    bought = [row for row in rows if row.total > 0]
    for word, missing in (
        ("The size as bought", [row.key for row in bought if not row.supplied]),
        ("A price", [row.key for row in bought if row.price is None]),
        ("A delivery date", [row.key for row in bought if not row.delivery]),
        ("What may be sent instead of a plant that cannot be had", [row.key for row in bought if not row.substitution]),
    ):
        if missing:
            every = len(missing) == len(bought)
            yield f"{word} is not stated for {'any line' if every else _named(missing)}."
    if not plan.tasks:
        yield "The plan states no tasks of aftercare: all that stand here come from the plants' traits and common practice."
    if not (plan.brief and plan.brief.currency) and any(row.price is not None for row in bought):
        yield "Prices are stated without a currency."
    if not plan.viewing:
        yield "From where the border is seen is not stated: it is taken to be seen from the front."
    if plan.mulch is None:
        yield "Mulch is not stated."
    if not any(row.kind == PLANTS for row in rows):
        yield "There are no lasting plants in it."


def _named(keys: Sequence[str]) -> str:
    more = len(keys) - MOST_NAMED
    return listed([*keys[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])])


def assumptions(result: Result) -> tuple[str, ...]:
    """What the judgement assumes (PLAN-04), data other than the plan asks for (PLAN-07), and traits that the plan sets itself."""
    assert result.border is not None
    told = [f.message for f in result.findings if f.code in ("PLAN-04", "PLAN-07")]
    for planting in result.border.plantings:
        for trait, stated in planting.line.traits.items():
            why = f": {stated.reason}" if stated.reason else ", without a reason"
            told.append(f"{planting.title}: its {trait.replace('_', ' ')} is as the plan states it{why}.")
    return tuple(told)


def unjudged(result: Result) -> tuple[tuple[str, str, str], ...]:
    """(plant, what is wanting, checks) of all that could not be judged, and checks that failed."""
    assert result.border is not None
    rows = [
        (name, word, listed(codes))
        for name, words in wanting(result.unjudged, result.border).items()
        for word, codes in words.items()
    ]
    return (*rows, *(("the plan", f"a check that works: {error}", code) for code, error in result.crashed))


def accepted(result: Result) -> tuple[tuple[str, str, str, str], ...]:
    """(code, what is accepted, why, until when) of every finding that the designer accepts."""
    return tuple(
        (entry.finding.code, entry.finding.message, entry.acceptance.reason, entry.acceptance.until or "")
        for entry in result.accepted
    )


def still_open(result: Result) -> tuple[Finding, ...]:
    """What was found and not accepted, the gravest first, without what is told under other headings."""
    told = ("PLAN-04", "PLAN-05", "PLAN-07")
    rest = [finding for finding in result.findings if finding.code not in told]
    return tuple(sorted(rest, key=lambda finding: (-LEVELS.index(finding.level), finding.code)))
