"""SWAP-01 to SWAP-04: a plan as it was delivered against the plan as it was ordered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from bedfellow.linter.acceptances import judge_acceptances
from bedfellow.linter.engine import Options, Result, could_not
from bedfellow.linter.repair.delivery import Arrived
from bedfellow.linter.repair.trial import compared, found
from bedfellow.rules.border.border import Border
from bedfellow.rules.border.planting import Planting
from bedfellow.rules.finding import LEVELS, Finding, Unjudged
from bedfellow.rules.swap.closure import SEASONS, apart, closes, wanting
from bedfellow.rules.swap.role import losses, role
from bedfellow.rules.words import listed
from bedfellow.schema.plan import Plan


def checked(ordered: Border, came: Sequence[Arrived], options: Options, result: Result) -> Result:
    """What is to be said of a delivery, in the place of what was said of the plan.

    result: of linting the plan; what could not be read of it is told again.
    """
    delivered = Border(_delivered(ordered.plan, came, True), ordered.store)
    same_stock = Border(_delivered(ordered.plan, came, False), ordered.store)
    checks, limits = options.settings.checks, options.settings.limits_of
    said: list[Finding | Unjudged] = []
    for code, judged in (
        ("SWAP-01", _broken(ordered, delivered, came, options)),
        ("SWAP-02", role_losses(ordered, delivered, came, limits(checks["SWAP-02"]))),
        ("SWAP-03", _smaller(same_stock, delivered, came, limits(checks["SWAP-03"]))),
        ("SWAP-04", _too_many(ordered, came, limits(checks["SWAP-04"]))),
    ):
        if code not in options.settings.without:
            said += [checks[code].worded(entry) for entry in judged]
    unjudged = tuple(entry for entry in said if isinstance(entry, Unjudged))
    told = [*(entry for entry in said if isinstance(entry, Finding)), *could_not(unjudged, delivered)]
    standing, accepted, _ = judge_acceptances(ordered.plan, told, options.today, checks)
    standing += [finding for finding in result.findings if id(finding) in result.faults]
    standing.sort(key=lambda f: (-LEVELS.index(f.level), result.span(f), f.code, f.keys, f.apart))
    return replace(
        result,
        border=delivered,
        findings=tuple(standing),
        accepted=accepted,
        unjudged=unjudged,
        notes_left_out=0,
    )


def _delivered(plan: Plan, came: Sequence[Arrived], of_list: bool) -> Plan:
    """The plan with what came; of_list: in the sizes and numbers of the list, which stand in the schedule then too."""
    lines = {id(arrived.planting.line): arrived.line(of_list) for arrived in came}
    numbers = {a.planting.key: a.quantity for a in came if of_list and a.quantity and a.planting.line.outline}
    schedule = tuple(
        replace(entry, quantity=numbers[entry.key]) if entry.key in numbers and entry.quantity is not None else entry
        for entry in plan.schedule
    )
    return replace(plan, lines=tuple(lines.get(id(line), line) for line in plan.lines), schedule=schedule)


def _broken(ordered: Border, delivered: Border, came: Sequence[Arrived], options: Options) -> Iterator[Finding]:
    changed = {arrived.planting.key: arrived for arrived in came if arrived.line() is not arrived.planting.line}
    if not changed:
        return
    for new in compared(found(ordered, options), found(delivered, options)).new:
        to_blame = [changed[key] for key in new.keys if key in changed] or list(changed.values())
        first = to_blame[0].planting
        names = [arrived.planting.title for arrived in to_blame]
        case = "together" if len(to_blame) > 1 else "one" if to_blame[0].swapped else "stock"
        elsewhere = ((new.at, f"{new.code} is found here"),) if new.at[: len(first.path)] != first.path else ()
        yield Finding(
            new.level, tuple(sorted({*new.keys, *(arrived.planting.key for arrived in to_blame)})), (*first.path, "name"),
            {"ordered": first.traits.name, "delivered": to_blame[0].name, "key": first.key, "plants": listed(names),
             "code": new.code, "message": new.message},
            (*elsewhere, *((arrived.planting.path, arrived.planting.key) for arrived in to_blame[1:])),
            (new.code, *new.apart), new.confidence, case,
        )  # fmt: skip


def role_losses(
    ordered: Border, delivered: Border, came: Sequence[Arrived], limits: Mapping[str, Any]
) -> Iterator[Finding | Unjudged]:
    """What each substitute does not do that the ordered plant did, where the schedule does not leave it open."""
    free = {entry.key for entry in ordered.plan.schedule if entry.substitution == "any of the group"}
    for arrived in came:
        planting = arrived.planting
        if not arrived.swapped or planting.key in free:
            continue
        old, new = role(ordered, planting), role(delivered, _in(delivered, planting))
        if unknown := tuple(dict.fromkeys((*old.wanting, *new.wanting))):
            yield Unjudged(planting.key, unknown, planting.path)
        if lost := [loss.said for loss in losses(old, new, limits)]:
            yield Finding(
                "warning", (planting.key,), (*planting.path, "name"),
                {"ordered": planting.traits.name, "delivered": arrived.name, "key": planting.key, "lost": "; ".join(lost)},
            )  # fmt: skip


def _smaller(
    same_stock: Border, delivered: Border, came: Sequence[Arrived], limits: Mapping[str, Any]
) -> Iterator[Finding]:
    for arrived in came:
        had, has = _in(same_stock, arrived.planting), _in(delivered, arrived.planting)
        in_drift = bool(had.line.outline)
        said = {
            "plant": has.title, "delivered": _stock(has, arrived.quantity), "ordered": _stock(had, had.line.number),
            "seasons": SEASONS,
        }  # fmt: skip
        if arrived.fewer and not in_drift:
            yield Finding("note", (has.key,), has.path, said, case="fewer", apart=("fewer",))
        wide, now_wide = apart(same_stock, had), apart(delivered, has) if in_drift else apart(same_stock, had)
        before = closes(same_stock, had, wide) if wide else None
        if before is None or now_wide is None:
            continue
        after = closes(delivered, has, now_wide)
        late = None if after is None else round(after - before, 1)
        if late is not None and late <= limits["years"]:
            continue
        more = wanting(delivered, has, before)
        yield Finding(
            "note", (has.key,), has.path,
            {**said, "closes": after, "late": late,
             "advice": f"Plant {more} more, or ask for larger stock." if more else "Ask for larger stock."},
            case="never" if after is None else "later",
        )  # fmt: skip


def _stock(planting: Planting, number: int | None) -> str:
    size = planting.supplied
    return f"{number or planting.line.number} of {size.text if size else 'the usual size'}"


def _too_many(ordered: Border, came: Sequence[Arrived], limits: Mapping[str, Any]) -> Iterator[Finding]:
    keys = tuple(sorted(arrived.planting.key for arrived in came if arrived.swapped))
    share = len(keys) / max(1, len(ordered.plantings))
    if share > limits["lines"]:
        evidence = {"swapped": len(keys), "all": len(ordered.plantings), "share": round(share, 3), "keys": listed(keys)}
        yield Finding("warning", keys, ("plants",), evidence)


def _in(border: Border, planting: Planting) -> Planting:
    """The planting of the same line in another border of the plan."""
    return next(one for one in border.plantings if one.path == planting.path and one.key == planting.key)
