"""What schedules add up to: each plant once as a nursery is asked for it, and what a list costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bedfellow.linter.report.handover.orders import Ordered


@dataclass(frozen=True, slots=True)
class Sum:
    """All of a plant that is bought in one size and form, with the keys of its lines."""

    name: str
    trade: str
    common: str
    total: int
    supplied: str
    root_form: str
    keys: tuple[str, ...]


def by_plant(rows: Sequence[Ordered]) -> tuple[Sum, ...]:
    """What a nursery is asked for: each plant once in each size and form, by name."""
    found: dict[tuple[str, ...], list[Ordered]] = {}
    for row in rows:
        if row.total:
            found.setdefault((row.name, row.trade, row.supplied, row.root_form), []).append(row)
    sums = [
        Sum(same[0].name, same[0].trade, same[0].common, sum(row.total for row in same), same[0].supplied, same[0].root_form,
            tuple(row.key for row in same))
        for same in found.values()
    ]  # fmt: skip
    return tuple(sorted(sums, key=lambda entry: (entry.name.casefold(), entry.supplied, entry.root_form)))


@dataclass(frozen=True, slots=True)
class Total:
    """What a list costs. unpriced: rows without a price, whose cost comes on top."""

    cost: float
    unpriced: int


def total(rows: Sequence[Ordered]) -> Total:
    """The sum of some rows; those that are not bought have no price to lack."""
    return Total(
        round(sum(row.cost or 0.0 for row in rows), 2), sum(row.cost is None and row.total > 0 for row in rows)
    )
