"""LAYER-01: a plant that nobody sees when it is at its best."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.crown import Crown, crown_of
from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.schema.values import FIRST_DAYS

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
MOST_MEMBERS = 9
# Flowers of climbers and trees are over everybody's head, bulbs are up before the others.
ABOVE = ("bulb", "climber", "tree")
COVERS = 2  # class of spread from which a low plant counts as ground cover


def hidden(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """In most months of its flowering too little of a plant is seen from the place that sees it best."""
    if not border.plan.borders:
        return
    flowering: dict[int, list[int]] = {}
    for planting in border.plantings:
        if not _judged(border, planting, limits["low"]):
            continue
        window = border.window(planting, "flower")
        if window is None:
            if not planting.flowerless:
                yield Unjudged(planting.key, (border.wanting(planting, "flower"),), planting.path)
        elif window.strength >= limits["strength"]:
            span = (window.start.typical, window.end.typical)
            flowering[planting.number] = [
                month for month in range(1, 13) if share_of_month(span, month) >= limits["share_of_month"]
            ]
    for season in SEASONS:
        poor = _poor_months(border, flowering, season, limits["seen"])
        for planting in border.plantings:
            months = poor.get(planting.number)
            if not months or 2 * len(months) < len(flowering[planting.number]):
                continue
            del flowering[planting.number]
            yield Finding(
                "warning", (planting.key,), planting.path,
                {"plant": planting.title, "key": planting.key, "months": list(months), "seen": max(months.values()),
                 "limit": limits["seen"], "season": season},
            )  # fmt: skip


def _judged(border: Border, planting: Planting, low: float) -> bool:
    # What the plan puts beneath others is meant to run there.
    if planting.life_form in ABOVE or planting.supported or planting.temporary or planting.line.under:
        return False
    leafy = border.foliage_height(planting, SEASONS[0])
    covers = planting.traits.word("habit") == "mat" or (planting.traits.step("spread_rate") or 0) >= COVERS
    return leafy is None or leafy > low or not covers


def _poor_months(
    border: Border, flowering: Mapping[int, Sequence[int]], season: int, least: float
) -> dict[int, dict[int, float]]:
    """By number of the planting the months in which too little is seen, with the share.

    A plant is looked at no more as soon as it is known to be well seen in more than half of its months.
    """
    shapes = {
        planting.number: (planting, shape)
        for planting in border.plantings
        if planting.number in flowering
        and border.present(planting, season)
        and (shape := _shape(border, planting, season))
    }
    poor: dict[int, dict[int, float]] = {number: {} for number in shapes}
    well = dict.fromkeys(shapes, 0)
    for month in range(1, 13):
        looked_at = [
            subject
            for number, subject in shapes.items()
            if month in flowering[number] and 2 * well[number] <= len(flowering[number])
        ]
        for number, seen in border.seen(looked_at, season, FIRST_DAYS[month - 1] + 14, MOST_MEMBERS).items():
            share = round(seen.best(), 2)
            if share < least:
                poor[number][month] = share
            else:
                well[number] += 1
    return poor


def _shape(border: Border, planting: Planting, season: int) -> Crown | None:
    """The plant in flower: its whole height counts, not the leaves alone."""
    size, leafy = border.size(planting, season), border.crown(planting, season)
    if size is None or leafy is None:
        return None
    height = max(size.height.typical, leafy.top)
    return crown_of(planting.traits.word("habit") or "clump", height, 2 * leafy.greatest_radius, leafy.base)
