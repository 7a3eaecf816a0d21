"""What changes on the spot: a canopy, a quantity, a name, the support of a climber, seedheads taken off, mulch."""

from __future__ import annotations

from collections.abc import Iterator

from bedfellow.linter.repair.changes.repair import Repair, added, stated, subject
from bedfellow.linter.repair.edit import END, Edit
from bedfellow.rules.border.border import Border
from bedfellow.rules.finding import Finding
from bedfellow.rules.words import metres

MULCH, BESIDE = 0.05, 0.5  # m: common practice


def canopy(finding: Finding, border: Border) -> Iterator[Repair]:
    """The canopy of the upper of two, raised by what the finding says."""
    lift = finding.evidence.get("lift")
    over = next(
        (border.by_key[key] for key in finding.keys if border.by_key[key].title == finding.evidence.get("over")), None
    )
    if finding.case != "raise" or over is None or over.kept or not isinstance(lift, int | float):
        return
    words = f"Raise the canopy of {over.title} to {metres(float(lift))}, in stages as it grows"
    costs = ("the lowest branches come off over some winters; work at height is for those trained for it",)
    yield Repair(words, (Edit((*over.path, "clear_stem"), float(lift)),), True, (over.key,), costs)


def quantity(finding: Finding, border: Border) -> Iterator[Repair]:
    """The number that fits, is enough, or is drawn."""
    number = next(
        (finding.evidence[name] for name in ("fit", "enough", "drawn", "quantity") if name in finding.evidence), None
    )
    planting = subject(finding, border)
    if not isinstance(number, int) or planting is None or finding.at[-1] != "quantity":
        return
    where = " in the schedule" if finding.at[0] == "schedule" else ""
    words = f"Set the quantity of {planting.title}{where} to {number}"
    costs = _priced(border, planting.key, number - int(stated(border, finding.at) or number))
    edits = [Edit(finding.at, number)]
    if not where:  # the schedule says the same of the line
        edits += [
            Edit((*entry.path, "quantity"), number + planting.line.spare)
            for entry in border.plan.schedule
            if entry.key == planting.key and entry.quantity is not None
        ]
    yield Repair(words, tuple(edits), True, finding.keys, costs)


def _priced(border: Border, key: str, more: int) -> tuple[str, ...]:
    """So many plants more or fewer, and what they cost where the schedule says so."""
    if not more:
        return ()
    price = next((entry.price for entry in border.plan.schedule if entry.key == key and entry.price is not None), None)
    brief = border.plan.brief
    currency = f" {brief.currency}" if brief and brief.currency else ""
    sum_ = "" if price is None else f", {abs(more) * price:.2f}{currency} {'more' if more > 0 else 'less'}"
    plants = "plant" if abs(more) == 1 else "plants"
    return (f"{abs(more)} {plants} {'more' if more > 0 else 'fewer'}{sum_}",)


def scheduled(finding: Finding, border: Border) -> Iterator[Repair]:
    """A line of the drawing that the schedule leaves out."""
    planting = subject(finding, border)
    if finding.case != "unscheduled" or planting is None:
        return
    number = planting.line.number + planting.line.spare
    words = f"Add {planting.title} to the schedule, {number} of it"
    yield Repair(words, (Edit(("schedule", END), {"key": planting.key, "quantity": number}),), True, finding.keys)


def name(finding: Finding, border: Border) -> Iterator[Repair]:
    """The name as it is accepted, or the nearest one."""
    right = finding.evidence.get("accepted") or finding.evidence.get("right") or finding.evidence.get("nearest")
    if isinstance(right, str) and right:
        yield Repair(f"Write {right} for {finding.evidence['name']}", (Edit(finding.at, right),), True, finding.keys)


def support(finding: Finding, border: Border) -> Iterator[Repair]:
    """Wires on a bare wall or fence."""
    planting = subject(finding, border)
    if finding.case != "bare" or planting is None or not finding.related:
        return
    path = finding.related[0][0]
    words = f"Fix wires 30 to 45 cm apart on {finding.evidence['support']} for {planting.title}"
    yield Repair(words, (Edit((*path, "wires"), "yes"),), True, finding.keys, ("wires and their fixings",))


def deadheaded(finding: Finding, border: Border) -> Iterator[Repair]:
    """Seedheads taken off before they shed."""
    some = [p for key in finding.keys if (p := border.by_key.get(key)) and not p.kept and not p.line.mix]
    if not some or len(some) != len(finding.keys):
        return
    edits = tuple(Edit((*planting.path, "deadheaded"), "yes") for planting in some)
    words = f"Have the seedheads of {', '.join(planting.title for planting in some)} taken off"
    yield Repair(words, edits, True, finding.keys, ("work each year",))


def foothold(finding: Finding, border: Border) -> Iterator[Repair]:
    """A slab to step on, beside the plant that is farthest from any."""
    x, y = finding.evidence.get("x"), finding.evidence.get("y")
    if not isinstance(x, int | float) or not isinstance(y, int | float):
        return
    for by in ((0.0, -BESIDE), (0.0, BESIDE), (-BESIDE, 0.0), (BESIDE, 0.0)):
        at = [round(x + by[0], 2), round(y + by[1], 2)]
        item = {"kind": "foothold", "at": at, "width": "40 cm"}
        edits = (added(border, "surfaces", item),)
        yield Repair(f"Lay a slab to step on at ({at[0]:g}, {at[1]:g})", edits, True, (), ("a slab",))


def as_usual(finding: Finding, border: Border) -> Iterator[Repair]:
    """As many plants or bulbs as their ground usually takes."""
    number = finding.evidence.get("needed", finding.evidence.get("number"))
    planting = subject(finding, border)
    if not isinstance(number, int) or planting is None or planting.line.quantity is None:
        return
    words = f"Set the quantity of {planting.title} to {number}"
    costs = _priced(border, planting.key, number - planting.line.quantity)
    yield Repair(words, (Edit((*planting.path, "quantity"), number),), True, finding.keys, costs)


def mulch(finding: Finding, border: Border) -> Iterator[Repair]:
    """Five centimetres of mulch, clear of stems."""
    depth = metres(MULCH)
    unsaid = stated(border, ("mulch",)) is None
    edit = Edit(("mulch",), {"depth": depth}) if unsaid else Edit(("mulch", "depth"), depth)
    yield Repair(f"Mulch the ground {depth} deep, clear of stems", (edit,), True, (), ("the mulch",))
