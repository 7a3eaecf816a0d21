"""SEASON-01: a month with nothing to look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.finding import Finding, Level, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
ORGANS = ("flower", "foliage_interest", "autumn_colour", "fruit", "bark", "seedhead", "winter_outline")
GROWING = range(3, 11)  # March to October in the north
FLOWERLESS = ("fern", "bamboo")


def empty_month(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A month that matters in which almost none of the frontage has anything of interest."""
    brief = border.plan.brief
    must = set(brief.must_have) if brief else set()
    for planting in border.plantings:
        if _unknown(border, planting):
            yield Unjudged(planting.key, (border.wanting(planting, "flower"),), planting.path)
    holding = _by_month(border, limits["share_of_month"], 0)
    for month in sorted({border.month_here(m) for m in GROWING} | must):
        shares = [(season, round(border.share_of_frontage(holding[month], season), 2)) for season in SEASONS]
        poor = [(season, share) for season, share in shares if share < limits["frontage"]]
        if not poor:
            continue
        season, share = poor[0]
        level: Level = "error" if month in must else "warning"
        late_or_early = _by_month(border, limits["share_of_month"], limits["variation"])[month]
        nearly = round(border.share_of_frontage(late_or_early, season), 2) >= limits["frontage"]
        yield Finding(
            "note" if nearly else level, (), ("plants",),
            {"month": month, "share_of_frontage": share, "limit": limits["frontage"], "season": season},
            apart=(f"month-{month:02d}",), case="nearly" if nearly else "empty",
        )  # fmt: skip


def _by_month(border: Border, least: float, slack: float) -> dict[int, list[Planting]]:
    """The plantings of interest in each month, their dates off by so many days either way."""
    found: dict[int, list[Planting]] = {month: [] for month in range(1, 13)}
    for planting in border.plantings:
        windows = [window for organ in ORGANS if (window := border.window(planting, organ))]
        spans = [(window.start.typical - slack, window.end.typical + slack) for window in windows]
        for month, holding in found.items():
            if planting.evergreen or any(share_of_month(span, month) >= least for span in spans):
                holding.append(planting)
    return found


def _unknown(border: Border, planting: Planting) -> bool:
    """Nothing says when it flowers, and it has no evergreen leaves to count in any month."""
    return (
        not planting.evergreen
        and planting.life_form not in FLOWERLESS
        and border.window(planting, "flower") is None
        and border.window(planting, "foliage_interest") is None
    )
