"""BULB-01: dying bulb leaves left in view."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.crown import crown_of
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.schema.values import YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
MOST_MEMBERS = 12


def unmasked(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Bulb leaves that die in view: week by week, by the sight lines of somebody walking along each side it is seen from."""
    for planting in border.plantings:
        traits = planting.traits
        if planting.life_form != "bulb" or not planting.points or planting.temporary:
            continue
        if traits.yes("returns_yearly") is False or traits.step("die_back_tidiness") == 1:
            continue
        decline, leaf = border.window(planting, "die_back"), traits.measure("leaf_height_in_decline")
        if leaf is not None and leaf.typical <= limits["low_leaves"]:
            continue
        if decline is None or leaf is None:
            wanting = [border.wanting(planting, "die_back")] if decline is None else []
            yield Unjudged(
                planting.key, tuple(wanting + (["leaf_height_in_decline"] if leaf is None else [])), planting.path
            )
            continue
        first, last = round(decline.start.typical), round(decline.end.typical)
        weeks = [(day - 1) % YEAR + 1 for day in range(first, max(last, first + 1), 7)]
        for season in SEASONS:
            if not border.present(planting, season):
                continue
            hidden = [round(_hidden(border, planting, leaf.typical, season, day), 2) for day in weeks]
            poor = sum(share < limits["hidden"] for share in hidden)
            if 2 * poor < len(weeks):
                continue
            yield Finding(
                "warning", (planting.key,), planting.path,
                {"plant": planting.title, "key": planting.key, "height": leaf.typical, "masker": round(0.8 * leaf.typical, 2),
                 "from": month_of(weeks[0]), "to": month_of(weeks[-1]), "hidden": round(sum(hidden) / len(hidden), 2),
                 "hidden_by_week": hidden, "poor": poor, "weeks": len(weeks), "limit": limits["hidden"], "season": season},
            )  # fmt: skip
            break


def _hidden(border: Border, planting: Planting, leaf_height: float, season: int, day: float) -> float:
    """Share of the drift's dying leaf area that nobody sees on a day, from the viewing place that sees most of it."""
    spread = planting.traits.measure("leaf_spread_in_decline") or planting.traits.measure("spread")
    leaves = crown_of("clump", leaf_height, spread.typical if spread else leaf_height, 0.0)
    # A walker along a side takes five places before each plant: their mean counts.
    return 1.0 - border.seen([(planting, leaves)], season, day, MOST_MEMBERS)[planting.number].walking()
