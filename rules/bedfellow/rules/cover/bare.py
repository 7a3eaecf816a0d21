"""COVER-01: soil bare too long."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

SEASONS = (2, 3)


def bare_soil(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Ground still open in the month of greatest cover of the second and third seasons."""
    if border.plan.borders and all(bed.style == "gravel" for bed in border.plan.borders):
        return
    for planting in border.plantings:
        if border.crown(planting, SEASONS[0]) is None and not planting.supported:
            yield Unjudged(planting.key, border.wanting_size(planting), planting.path)
    covered = {season: border.greatest_cover(season) for season in SEASONS}
    mulch = border.plan.mulch
    depth = (mulch and mulch.depth) or 0.0
    enough = limits["mulched"] if depth >= limits["mulch"] else 1.0
    if all(round(covered[season][0], 2) >= round(enough * limits[f"season_{season}"], 2) for season in SEASONS):
        return
    (second, month), (third, _) = covered.values()
    yield Finding(
        "note" if depth >= limits["mulch"] else "warning", (), ("plants",),
        {"second": round(second, 2), "third": round(third, 2), "least_second": limits["season_2"], "least_third": limits["season_3"],
         "month": month, "mulch": depth},
    )  # fmt: skip
