"""LAYER-01: a plant that nobody sees when it is at its best."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.words import month
from bedfellow.schema.values import FIRST_DAYS, YEAR

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
LOW = 0.35
MOST_MEMBERS = 9


def hidden(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """In the middle of its flowering less than a third of a plant is seen from the place that sees it best."""
    if not border.plan.borders:
        return
    for planting in border.plantings:
        window = planting.traits.window("flower")
        if window is None or planting.life_form in ("bulb", "climber", "tree") or planting.supported:
            continue
        # What the plan puts beneath others is meant to run there, and a slight flower is not why a plant is there.
        if planting.line.more.get("under") or window.strength < 2:
            continue
        day = round((window.start.typical + window.end.typical) / 2 - 1) % YEAR + 1
        for season in SEASONS:
            crown = border.crown(planting, season)
            if crown is None or crown.top <= LOW or _gone(planting, season):
                continue
            seen = round(_seen(border, planting, season, day), 2)
            if seen >= limits["seen"]:
                continue
            when = month(next(number for number in range(1, 13) if day < FIRST_DAYS[number]))
            yield Finding(
                "LAYER-01", "warning", (planting.key,),
                f"{planting.title} flowers in {when} behind taller plants: by year {season} {seen:.0%} of it is seen from the best "
                f"place along the front.",
                planting.path, (), {"seen": seen, "limit": limits["seen"], "day_of_year": day, "season": season},
                mend=f"Move {planting.key} forward, or change places with what stands before it.",
            )  # fmt: skip
            break


def _gone(planting: Planting, season: int) -> bool:
    """A short-lived plant is not there any more."""
    life = planting.traits.measure("lifespan")
    return planting.temporary or (life is not None and life.typical < season)


def _seen(border: Border, planting: Planting, season: int, day: int) -> float:
    import numpy as np
    from bedfellow.rules.border.crown import crown_of
    from bedfellow.rules.border.sight import eyes_facing, silhouette, visible_share

    size = border.size(planting, season)
    leafy = border.crown(planting, season)
    assert size is not None and leafy is not None
    # In flower the whole height counts, not the leaves alone.
    shape = crown_of(
        planting.traits.word("habit") or "clump",
        max(size.height.typical, leafy.top),
        2 * leafy.greatest_radius,
        leafy.base,
    )
    step = max(1, len(planting.points) // MOST_MEMBERS)
    drawn = [silhouette(x, y, shape) for x, y in planting.points[::step]]
    targets = np.concatenate([points for points, _ in drawn])
    weights = np.concatenate([shares for _, shares in drawn])
    left, right = border.frontage()
    front = min(y for bed in border.plan.borders for _, y in bed.outline)
    solids, passes = border.solids(season, [day], risen=True)
    seen = visible_share(
        targets, np.full(len(targets), planting.number), eyes_facing(targets, left, right, front), solids, passes[:, 0]
    )
    return float((seen * weights[:, None]).sum(axis=0).max() / weights.sum())
