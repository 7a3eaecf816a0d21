"""Watering for the two summers in which plants root: how often in dry weather, and how much.

Litres and days are common practice, from memory: about a pot's own volume at a time, 3 L for each centimetre round a tree's
stem; in dry weather every so many days by how the plant bears drought. What is planted dry as a bulb and rests in summer is
not watered. Local restrictions on water come first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover import times
from bedfellow.linter.report.handover.jobs import Job
from bedfellow.linter.report.handover.orders import SELF_SOWN
from bedfellow.rules.border.supply import girth
from bedfellow.schema.values import middle_of

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.times import Month
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

CAUTION = (
    "Figures are common practice for ordinary soil, not a measurement of this garden: feel the soil a hand deep before watering. "
    "Local restrictions on the use of water come first."
)
WATER, UNSTATED = "water in dry weather", "not stated"
SUMMER = (4, 5, 6, 7, 8, 9)  # in the north
EVERY = {0: (3, 7), 1: (5, 10), 2: (7, 14), 3: (10, 28)}
"""Days between waterings in dry weather in the first and second summer, by the step of drought that a plant bears."""
UNKNOWN = 1
LATE = 8  # month in the north, from which a summer is too short to count
MONTHS = 48  # in which something may be planted and have its two summers
POT, SMALL, SHRUB, TREE = 1.0, 1.0, 5.0, 20.0  # L, where the size as bought is not known or not in litres
A_CM = 3.0  # L for each cm round a stem
CONTAINER = 2  # days


@dataclass(frozen=True, slots=True)
class Watered:
    """A line: litres a plant and time; days between times in the first and the second summer, None where it is not watered."""

    key: str
    name: str
    number: int
    supplied: str
    litres: float
    first: int | None
    second: int | None
    note: str


def watered(border: Border) -> tuple[Watered, ...]:
    """Every line that is planted, in the order of the plan."""
    return tuple(_row(border, planting) for planting in border.plantings if planting.line.status not in SELF_SOWN)


def _row(border: Border, planting: Planting) -> Watered:
    line, number = planting.line, planting.line.number
    litres = _litres(planting)
    text = planting.supplied.text if planting.supplied else UNSTATED
    notes = []
    if times.dry_bulb(planting) and not border.in_leaf(planting, middle_of(border.month_here(7))):
        return Watered(
            planting.key, planting.traits.name, number, text, 0.0, None, None, "rests in summer: not watered"
        )
    step = planting.traits.step("drought")
    if step is None:
        notes.append("how it bears drought is not known")
    first, second = EVERY[min(max(UNKNOWN if step is None else step, 0), 3)]
    if line.grown_in == "container":
        first = second = CONTAINER
        notes.append("in a container: for as long as it stands there")
    if irrigated(border, planting):
        notes.append("the plan says that its ground is irrigated: see that the pipes reach it")
    if planting.temporary and not border.present(planting, 2):
        return Watered(planting.key, planting.traits.name, number, text, litres, first, None, "; ".join(notes))
    return Watered(planting.key, planting.traits.name, number, text, litres, first, second, "; ".join(notes))


def _litres(planting: Planting) -> float:
    """Litres a plant and time."""
    size = planting.supplied
    around = girth(size) if planting.life_form == "tree" else None
    if around:
        return float(round(A_CM * 100 * around))
    if size is not None and size.litres:
        return max(POT, float(round(size.litres)))
    small = SMALL if planting.herbaceous else TREE if planting.life_form == "tree" else SHRUB
    return SMALL if planting.line.hedge or planting.life_form == "subshrub" else small


def irrigated(border: Border, planting: Planting) -> bool:
    """The plan says that the bed or the ground where it stands is irrigated."""
    line = planting.line
    beds = [bed for bed in border.plan.borders if not line.border or bed.name == line.border]
    return border.soil(planting).kind == "irrigated" or (
        bool(beds) and all(bed.irrigated or bed.soil == "irrigated" for bed in beds)
    )


def water_jobs(border: Border, start: Month) -> Iterator[Job]:
    """A job for each month of the summers in which plants root, from the day on which each is planted."""
    summer = [border.month_here(northern) for northern in SUMMER]
    plantings = {planting.key: planting for planting in border.plantings}
    rows = watered(border)
    for month in (times.after(start, count) for count in range(MONTHS)):
        if month[1] not in summer:
            continue
        by_days: dict[int, list[str]] = {}
        for row in rows:
            days = _due(border, plantings[row.key], row, start, month)
            if days:
                by_days.setdefault(days, []).append(row.key)
        if by_days:
            least, most = min(by_days), max(by_days)
            often = f"every {least} days" if least == most else f"every {least} to {most} days by plant"
            keys = tuple(key for days in sorted(by_days) for key in by_days[days])
            yield Job(f"{WATER}, {often} (see Watering)", keys, month, None, "common practice")


def _due(border: Border, planting: Planting, row: Watered, start: Month, month: Month) -> int | None:
    """Every how many days it is watered in a month; None before it is planted, after its second summer, or where it rests.

    What is planted late in a summer has its first in the year after, and is watered as in a first until then.
    """
    planted = times.planted_in(border, planting, start)
    if month < planted:
        return None
    begun, number = _northern(border, planted)
    summers = _northern(border, month)[0] - begun - (number >= LATE)
    return row.first if summers <= 0 else row.second if summers == 1 else None


def _northern(border: Border, month: Month) -> Month:
    """A month as the north has it, where a summer lies in one year."""
    return times.after(month, 6) if border.south else month
