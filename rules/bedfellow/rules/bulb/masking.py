"""BULB-01: dying bulb leaves left in view."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.border.crown import Crown, crown_of
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.schema.values import YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
MOST_MEMBERS = 12
MASKS = 0.8  # of the leaf height: common practice


class Dying(NamedTuple):
    """A drift whose leaves die: their solid, and the days of the year in the middles of the weeks in which they do."""

    planting: Planting
    leaves: Crown
    weeks: tuple[int, ...]


def unmasked(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Bulb leaves that die in view: week by week, by the sight lines of somebody walking along each side it is seen from."""
    dying: dict[int, Dying] = {}
    for planting in border.plantings:
        if planting.life_form != "bulb" or planting.temporary or planting.traits.yes("returns_yearly") is False:
            continue
        if planting.traits.step("die_back_tidiness") == 1:
            continue
        decline, leaf = border.window(planting, "die_back"), planting.traits.measure("leaf_height_in_decline")
        if leaf is not None and leaf.typical <= limits["low_leaves"]:
            continue
        if decline is None or leaf is None:
            wanting = [border.wanting(planting, "die_back")] if decline is None else []
            wanting += ["leaf_height_in_decline"] if leaf is None else []
            yield Unjudged(planting.key, tuple(wanting), planting.path)
            continue
        middle = (decline.start.typical + decline.end.typical) / 2
        if not border.in_months(middle, limits["from"], limits["to"]) or _planted_through(
            border, planting, leaf.typical, middle
        ):
            continue
        spread = planting.traits.measure("leaf_spread_in_decline") or planting.traits.measure("spread")
        leaves = crown_of("clump", leaf.typical, spread.typical if spread else leaf.typical, 0.0)
        dying[planting.number] = Dying(planting, leaves, weeks_of(decline.start.typical, decline.end.typical))
    for season in SEASONS:
        hidden = hidden_by_week(border, dying.values(), season)
        for number, by_week in hidden.items():
            planting, leaves, weeks = dying[number]
            poor = sum(share < limits["hidden"] for share in by_week)
            if 2 * poor < len(weeks):
                continue
            del dying[number]
            yield Finding(
                "warning", (planting.key,), planting.path,
                {"plant": planting.title, "key": planting.key, "height": leaves.top, "masker": round(MASKS * leaves.top, 2),
                 "from": month_of(weeks[0]), "to": month_of(weeks[-1]), "hidden": round(sum(by_week) / len(by_week), 2),
                 "hidden_by_week": by_week, "poor": poor, "weeks": len(weeks), "limit": limits["hidden"], "season": season},
            )  # fmt: skip


def _planted_through(border: Border, bulbs: Planting, leaf_height: float, day: float) -> bool:
    """The plan puts them under plants that stand nearly as high as their dying leaves by then."""
    return any(
        (over := border.by_key.get(key))
        and (crown := border.crown_on(over, SEASONS[0], day))
        and crown.top >= MASKS * leaf_height
        for key in bulbs.line.under
    )


def weeks_of(first: float, last: float) -> tuple[int, ...]:
    """The middles of the weeks of the year between two days, one at least."""
    weeks = [day for day in range(4, 2 * YEAR, 7) if first <= day <= last] or [round((first + last) / 2)]
    return tuple((day - 1) % YEAR + 1 for day in weeks)


def hidden_by_week(border: Border, dying: Iterable[Dying], season: int) -> dict[int, list[float]]:
    """By number of the drift and week the share of its dying leaf area that nobody sees, from the place that sees most."""
    here = [entry for entry in dying if border.present(entry.planting, season)]
    shares: dict[tuple[int, int], float] = {}
    for day in sorted({day for entry in here for day in entry.weeks}):
        subjects = [(entry.planting, entry.leaves) for entry in here if day in entry.weeks]
        for number, seen in border.seen(subjects, season, day, MOST_MEMBERS).items():
            # A walker along a side takes five places before each plant: their mean counts.
            shares[number, day] = round(1.0 - seen.walking(), 2)
    return {
        entry.planting.number: [shares[entry.planting.number, day] for day in entry.weeks]
        for entry in here
        if entry.planting.points
    }
