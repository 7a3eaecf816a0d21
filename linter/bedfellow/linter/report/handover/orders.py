"""What is ordered, a row a line of the plan: plants, bulbs and temporary plants, with what the plan says of their purchase.

What the plan does not say is empty here, and told as lacking by `standing.py`; nothing is filled in for it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING, Any

from bedfellow.linter.report.handover import times
from bedfellow.linter.report.parts import in_order
from bedfellow.schema.geometry import ROWS

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.times import Month
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.plan import Line, ScheduleLine

PLANTS, BULBS, TEMPORARY = "plants", "bulbs", "temporary plants"
SELF_SOWN = ("allowed", "tolerated", "not wanted")
SUBSTITUTION = {"none": "none without asking", "ask": "ask first", "any of the group": "any of the group"}


@dataclass(frozen=True, slots=True)
class Ordered:
    """A line of the schedule.

    name: accepted, as the ICNCP has it; trade: its trade designation; written: as the plan has it, where that differs;
    quantity: on the drawing, spare: beside it, total: to order, as the schedule says or their sum; density: plants a m²;
    distance: m; distance_stated: by the plan, else reckoned from its ground; delivery: as the plan says; planting: when it
    is put in; time: months in which it can be; price, cost: None where the plan states no price.
    """

    kind: str
    key: str
    name: str
    trade: str
    common: str
    written: str
    quantity: int
    spare: int
    total: int
    supplied: str
    root_form: str
    density: float | None
    distance: float | None
    distance_stated: bool
    delivery: str
    planting: str
    time: str
    price: float | None
    cost: float | None
    substitution: str
    note: str


def ordered(border: Border, start: Month) -> tuple[Ordered, ...]:
    """Every line of the plan, plants that are not known too: by kind, name and key."""
    called = border.store.called(planting.traits.name for planting in border.plantings)
    entries = {entry.key: entry for entry in reversed(border.plan.schedule)}
    known = {planting.number: planting for planting in border.plantings}
    rows = []
    for number, line in enumerate(border.plan.lines):
        planting = known.get(number)
        names = called.get(planting.traits.name, ("", "")) if planting else ("", "")
        rows.append(_row(border, line, planting, entries.get(line.key), names, start))
    order = (PLANTS, BULBS, TEMPORARY)
    return tuple(sorted(rows, key=lambda row: (order.index(row.kind), row.name.casefold(), in_order(row.key))))


def _row(
    border: Border,
    line: Line,
    planting: Planting | None,
    entry: ScheduleLine | None,
    names: tuple[str, str],
    start: Month,
) -> Ordered:
    self_sown = line.status in SELF_SOWN
    drawn, spare = (0, 0) if self_sown else (line.number, line.spare or 0)
    total = drawn + spare if entry is None or entry.quantity is None else entry.quantity
    price = entry.price if entry else None
    supplied = planting.supplied if planting else line.supplied or (entry.supplied if entry else None)
    distance, stated = apart(line)
    put_in = times.planted_in(border, planting, start) if planting else line.planted or start
    said = border.plan.planted is not None or line.planted is not None
    window = border.window(planting, "planting_window") if planting else None
    time = times.window_months(window)
    mix_note = next((mix.note or "" for mix in border.plan.mixes if mix.key == line.mix), "")
    late = said and bool(time) and put_in[1] not in time and not self_sown
    name = planting.traits.name if planting else line.name
    return Ordered(
        kind=kind_of(line, planting),
        key=line.key,
        name=name,
        trade=line.trade_name or names[1],
        common=names[0],
        written="" if line.name in (name, f"{name} ({names[1]})") else line.name,
        quantity=drawn,
        spare=spare,
        total=total,
        supplied=supplied.text if supplied else "",
        root_form=line.root_form or "",
        density=round(line.number / line.ground, 1) if line.ground else line.per_m2,
        distance=distance,
        distance_stated=stated,
        delivery=times.told(line.delivery) if line.delivery else "",
        planting="" if self_sown or not said else times.told(put_in),
        time=times.spans(time),
        price=price,
        cost=None if price is None else round(price * total, 2),
        substitution=SUBSTITUTION.get(entry.substitution or "", "") if entry else "",
        note="; ".join(_notes(line, planting, total - drawn - spare, self_sown, late, mix_note)),
    )


def kind_of(line: Line, planting: Planting | None) -> str:
    """The list on which a line stands; a plant that is not known by what the line says of it."""
    passing = (
        planting.temporary if planting else bool(line.fills or line.until or line.out or line.grown_as == "annual")
    )
    if passing:
        return TEMPORARY
    return BULBS if (planting and planting.life_form == "bulb") or line.root_form == "bulb" else PLANTS


def apart(line: Line) -> tuple[float | None, bool]:
    """(m between plants, whether the plan states it): else of a drift as its number fills its ground on its grid."""
    if line.centres or line.group:
        return line.centres or line.group.centres, True  # type: ignore[union-attr]
    if line.hedge and line.per_m:
        return round(line.rows / line.per_m, 2), True
    if line.scattered:
        return line.scattered, True
    if not (line.outline and line.ground):
        return None, False
    return round(sqrt(line.ground / line.number / (1 if line.grid == "square" else ROWS)), 2), False


def _notes(
    line: Line, planting: Planting | None, over: int, self_sown: bool, late: bool, mix_note: str
) -> Iterable[str]:
    if planting is None:
        yield "name not recognised: nothing is known of this plant"
    if self_sown:
        yield f"self-sown ({line.status}): not bought"
    if over and not self_sown:
        yield f"the schedule orders {abs(over)} {'more' if over > 0 else 'fewer'} than the drawing has"
    if late:
        yield "planted outside its usual months"
    for said in (line.form, f"clear stem {line.clear_stem:.2f} m" if line.clear_stem else None):
        if said:
            yield said
    if line.clumps:
        yield f"in {line.clumps} clumps"
    if line.mix:
        yield f"in the mix {line.mix}" + (f": {mix_note}" if mix_note else "")
    depth: Any = planting.traits.measure("planting_depth") if planting else None
    if line.depth:
        yield f"{100 * line.depth:.0f} cm deep"
    elif depth:
        yield f"{100 * depth.typical:.0f} cm deep"
    if line.note:
        yield line.note
