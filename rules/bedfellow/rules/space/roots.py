"""SPACE-04: root balls that have no room on planting day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.growth import root_ball
from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

POT = 0.2  # m: a length of no more is that of a pot, not of the plant
BARE = ("bulb", "plug", "bare-root")


def root_balls_clash(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Two plants whose positions the plan states, nearer than their root balls are wide."""
    standing = sorted(
        (
            (x, y, ball / 2, planting)
            for planting in border.plantings
            if (ball := _ball(planting))
            for x, y in planting.line.at
        ),
        key=lambda one: one[:3],
    )
    widest = max((radius for _, _, radius, _ in standing), default=0.0)
    worst: dict[tuple[int, int], tuple[float, float, float, Planting, Planting]] = {}
    for index, (x, y, radius, planting) in enumerate(standing):
        for u, v, other_radius, other in standing[index + 1 :]:
            if u - x > radius + widest + limits["room"]:
                break
            apart, needed = round(dist((x, y), (u, v)), 2), round(radius + other_radius, 2)
            if apart >= needed + limits["room"]:
                continue
            first, second = sorted((planting, other), key=lambda one: one.number)
            pair = (first.number, second.number)
            if pair not in worst or apart - needed < worst[pair][0]:
                worst[pair] = (apart - needed, apart, needed, first, second)
    for pair in sorted(worst):
        _, apart, needed, first, second = worst[pair]
        yield Finding(
            "error" if apart < needed else "warning", tuple(sorted({first.key, second.key})), (*second.path, "at"),
            {"first": first.title, "second": second.title, "distance": apart, "needed": needed,
             "move": round(needed + limits["room"] - apart, 2)},
            () if first is second else (((*first.path, "at"), f"{first.key} stands here"),),
            confidence="high", case="group" if first is second else "pair",
        )  # fmt: skip


def _ball(planting: Planting) -> float | None:
    """Diameter in m of the root ball; None where the plan does not say how the plant is bought, and for what has none."""
    supplied = planting.line.supplied
    if supplied is None or planting.line.root_form in BARE or planting.life_form == "bulb" or "plug" in supplied.text:
        return None
    if supplied.litres:
        return root_ball(supplied.litres)
    return supplied.metres[1] if supplied.metres and supplied.metres[1] <= POT else None
