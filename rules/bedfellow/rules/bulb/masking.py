"""BULB-01: dying bulb leaves left in view."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.crown import crown_of
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import metres, month
from bedfellow.schema.values import YEAR, month_of

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 3
MOST_MEMBERS = 12


def unmasked(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Bulb leaves that die in view: week by week, by the sight lines of somebody walking along the front."""
    for planting in border.plantings:
        traits = planting.traits
        if (
            planting.life_form != "bulb"
            or not planting.points
            or planting.temporary
            or traits.yes("returns_yearly") is False
        ):
            continue
        decline, leaf = traits.window("die_back"), traits.measure("leaf_height_in_decline")
        if leaf is not None and leaf.typical <= limits["low_leaves"]:
            continue
        if decline is None or leaf is None:
            wanting = [n for n, v in (("die_back", decline), ("leaf_height_in_decline", leaf)) if v is None]
            yield Unjudged("BULB-01", planting.key, tuple(wanting), planting.path)
            continue
        if traits.step("die_back_tidiness") == 1:
            continue
        first, last = round(decline.start.typical), round(decline.end.typical)
        weeks = [(day - 1) % YEAR + 1 for day in range(first, max(last, first + 1), 7)]
        hidden = [_hidden(border, planting, leaf.typical, day) for day in weeks]
        poor = [week for week, share in zip(weeks, hidden, strict=True) if round(share, 2) < limits["hidden"]]
        if 2 * len(poor) < len(weeks):
            continue
        mean = sum(hidden) / len(hidden)
        yield Finding(
            "BULB-01", "warning", (planting.key,),
            f"The leaves of {planting.title}, {metres(leaf.typical)} tall, die back in view from {month(month_of(weeks[0]))} to "
            f"{month(month_of(weeks[-1]))}: on average {mean:.0%} of them is hidden, and {len(poor)} of {len(weeks)} weeks "
            f"stay under {limits['hidden']:.0%}.",
            planting.path, (), {"hidden_by_week": [round(share, 2) for share in hidden], "limit": limits["hidden"], "season": SEASON},
            mend=f"Put something leafy by {month(month_of(weeks[0]))}, at least {metres(0.8 * leaf.typical)} tall, within "
            f"60 cm in front of {planting.key}, or move the drift back.",
        )  # fmt: skip


def _hidden(border: Border, planting: Planting, leaf_height: float, day: float) -> float:
    """Share of the drift's dying leaf area that nobody walking along the front sees on a day."""
    spread = planting.traits.measure("leaf_spread_in_decline") or planting.traits.measure("spread")
    leaves = crown_of("clump", leaf_height, spread.typical if spread else leaf_height, 0.0)
    seen, weights = border.seen_from_front(planting, leaves, SEASON, day, MOST_MEMBERS)
    # Hidden means hidden from all five places that a walker takes before the plant: their mean.
    return 1.0 - float((seen.mean(axis=1) * weights).sum() / weights.sum())
