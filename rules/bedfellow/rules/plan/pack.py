"""PLAN-08: what a plan that is on its way to handover still lacks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

MOST_NAMED = 4


def incomplete(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plan with a schedule, which the crew and the nursery cannot yet work from."""
    plan = border.plan
    if not plan.schedule:
        return
    lacking = ["when it is planted"] if plan.planted is None else []
    sizes = {entry.key for entry in plan.schedule if entry.supplied}
    unsized = [p.key for p in border.plantings if p.line.supplied is None and p.key not in sizes and not p.line.mix]
    if unsized:
        named = [*unsized[:MOST_NAMED], *([f"{len(unsized) - MOST_NAMED} more"] if len(unsized) > MOST_NAMED else [])]
        lacking.append(f"the size as bought of {listed(named)}")
    if any(entry.substitution is None for entry in plan.schedule):
        lacking.append("what may be sent in place of a plant that cannot be had")
    lacking += ["the tasks of aftercare"] if not plan.tasks else []
    if lacking:
        yield Finding("note", (), ("schedule",), {"lacking": listed(lacking)}, confidence="high")
