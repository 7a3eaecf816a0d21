"""When things happen: months counted from planting, as (year, month)."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.words import month as name_of
from bedfellow.schema.values import MONTHS, YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.values import Window

Month = tuple[int, int]
WATCHED = 24  # months that are told one by one
SEASONS = 21


def beginning(border: Border, today: datetime.date) -> Month:
    """The month of planting; where the plan does not say it, this month."""
    return border.plan.planted or (today.year, today.month)


def after(start: Month, months: int) -> Month:
    """The month so many months later."""
    count = start[0] * 12 + start[1] - 1 + months
    return count // 12, count % 12 + 1


def between(first: Month, last: Month) -> int:
    """Months from one to another."""
    return (last[0] - first[0]) * 12 + last[1] - first[1]


def next_in(start: Month, month: int) -> Month:
    """The first such month (1 to 12) from a month on, that month included."""
    return after(start, (month - start[1]) % 12)


def in_season(border: Border, start: Month, season: int, month: int) -> Month:
    """The month (1 to 12) of a growing season, never before the start; without a date of planting counted from the start."""
    first = next_in(start, month)
    if border.plan.planted is not None:
        for year in range(first[0], first[0] + SEASONS):
            if (border.season_of((year, month)) or 0) >= season:
                return year, month
    return first[0] + max(0, season - 1), month


def planted_in(border: Border, planting: Planting, start: Month) -> Month:
    """When a line is planted: as it says, when it goes out, and of dry bulbs in their own time, where that is known."""
    line = planting.line
    if line.planted:
        return line.planted  # type: ignore[no-any-return]
    if line.out:
        return next_in(start, month_of(line.out))
    if dry_bulb(planting):
        months = window_months(border.window(planting, "planting_window"))
        if months and start[1] not in months:
            return min(next_in(start, month) for month in months)
    return start


def dry_bulb(planting: Planting) -> bool:
    """A bulb that comes without leaves and pot, which is planted in a time of its own."""
    potted = planting.supplied is not None and planting.supplied.litres
    return planting.life_form == "bulb" and planting.line.root_form in (None, "bulb") and not potted


def window_months(window: Window | None) -> tuple[int, ...]:
    """The months of a window in their order from its start; none where it is not known."""
    if window is None:
        return ()
    span = window.start.typical, window.end.typical
    first = month_of(int((span[0] - 1) % YEAR) + 1)
    months = [(first + n - 1) % 12 + 1 for n in range(12)]
    return tuple(month for month in months if share_of_month(span, month) > 0)


def month_at(day: float) -> int:
    """The month, 1 to 12, of a day that may lie past New Year."""
    return month_of(int((day - 1) % YEAR) + 1)


def told(month: Month) -> str:
    """``October 2026``."""
    return f"{name_of(month[1])} {month[0]}"


def spans(months: tuple[int, ...]) -> str:
    """Months as stretches: ``September to November``, ``May``, ``February, June to August``."""
    found: list[list[int]] = []
    for month in months:
        if found and month == found[-1][-1] % 12 + 1:
            found[-1].append(month)
        else:
            found.append([month])
    if len(found) > 1 and found[0][0] == found[-1][-1] % 12 + 1:
        found = [found[-1] + found[0], *found[1:-1]]
    if len(months) == 12:
        return "all year"
    return ", ".join(_stretch(run) for run in found)


def _stretch(run: list[int]) -> str:
    ends = [MONTHS[run[0] - 1], MONTHS[run[-1] - 1]]
    return ends[0] if len(run) == 1 else f"{ends[0]} to {ends[1]}"
