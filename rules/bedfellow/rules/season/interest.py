"""SEASON-01: a month with nothing to look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.interest import of_interest
from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
GROWING = range(3, 11)  # March to October in the north


def empty_month(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A month that matters in which almost none of the frontage has anything of interest."""
    brief = border.plan.brief
    must = set(brief.must_have) if brief else set()
    for planting in border.plantings:
        if _unknown(border, planting):
            yield Unjudged(planting.key, (border.wanting(planting, "flower"),), planting.path)
    matters = sorted({border.month_here(m) for m in GROWING} | must)
    in_turn = {turn: of_interest(border, limits["share_of_month"], turn * limits["variation"]) for turn in (0, -1, 1)}
    at_risk = []
    for month in matters:
        poor = _poor(border, in_turn[0][month], limits["frontage"])
        if poor is not None:
            season, share = poor
            yield Finding(
                "error" if month in must else "warning", (), ("plants",),
                {"month": month, "share_of_frontage": share, "limit": limits["frontage"], "season": season},
                apart=(f"month-{month:02d}",), case="empty",
            )  # fmt: skip
        elif any(_poor(border, in_turn[turn][month], limits["frontage"]) for turn in (-1, 1)):
            at_risk.append(month)
    if at_risk:
        yield Finding(
            "note",
            (),
            ("plants",),
            {"months": at_risk, "days": limits["variation"]},
            apart=("at risk",),
            case="at_risk",
        )


def _poor(border: Border, holding: list[Planting], least: float) -> tuple[int, float] | None:
    """The first season in which these plantings take up too little of the frontage, with the share; None where they do in none."""
    shares = ((season, round(border.share_of_frontage(holding, season), 2)) for season in SEASONS)
    return next(((season, share) for season, share in shares if share < least), None)


def _unknown(border: Border, planting: Planting) -> bool:
    """Nothing says when it flowers, and it has no evergreen leaves to count in any month."""
    return (
        not planting.evergreen
        and not planting.flowerless
        and border.window(planting, "flower") is None
        and border.window(planting, "foliage_interest") is None
    )
