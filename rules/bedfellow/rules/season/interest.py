"""SEASON-01: a month with nothing to look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.interest import ORGANS, STANDING
from bedfellow.rules.border.phenology import Varying, chance_of_none, early_and_late, share_of_month
from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
GROWING = range(3, 11)  # March to October in the north
ONE_IN_TEN = 0.1


def empty_month(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A month that matters in which almost none of the frontage has anything of interest."""
    brief = border.plan.brief
    must = set(brief.must_have) if brief else set()
    for planting in border.plantings:
        if _unknown(border, planting):
            yield Unjudged(planting.key, (border.wanting(planting, "flower"),), planting.path)
    matters = sorted({border.month_here(m) for m in GROWING} | must)
    interest = {planting.number: _windows(border, planting) for planting in border.of_the_bed}
    at_risk: dict[int, float] = {}
    for month in matters:
        holding = [
            p for p in border.of_the_bed if _holds(border, p, interest[p.number], month, limits["share_of_month"])
        ]
        poor = _poor(border, holding, limits["frontage"])
        if poor is not None:
            season, share = poor
            yield Finding(
                "error" if month in must else "warning", (), ("plants",),
                {"month": month, "share_of_frontage": share, "limit": limits["frontage"], "season": season},
                apart=(f"month-{month:02d}",), case="empty",
            )  # fmt: skip
            continue
        chance = round(max(_chance_empty(border, interest, month, season, limits) for season in SEASONS), 2)
        if chance > limits["risk"]:
            at_risk[month] = chance
    if at_risk:
        yield Finding(
            "note", (), ("plants",), {"months": list(at_risk), "chance": max(at_risk.values()), "limit": limits["risk"]},
            apart=("at risk",), case="at_risk",
        )  # fmt: skip


def _poor(border: Border, holding: list[Planting], least: float) -> tuple[int, float] | None:
    """The first season in which these plantings take up too little of the frontage, with the share; None where they do in none."""
    shares = ((season, round(border.share_of_frontage(holding, season), 2)) for season in SEASONS)
    return next(((season, share) for season, share in shares if share < least), None)


def _windows(border: Border, planting: Planting) -> dict[str, Varying]:
    """By organ of interest its window, with how it varies."""
    found = ((organ, border.window(planting, organ)) for organ in ORGANS)
    return {organ: border.varying(window) for organ, window in found if window}


def _left(border: Border, planting: Planting, windows: Mapping[str, Varying], month: int) -> tuple[bool, list[Varying]]:
    """What the shears have left by a month: whether evergreen leaves, and which windows."""
    cut = border.cut_down(planting, month)
    leafy = planting.evergreen and not (cut and planting.rises_yearly)
    return leafy, [dated for organ, dated in windows.items() if not (cut and organ in STANDING)]


def _holds(border: Border, planting: Planting, windows: Mapping[str, Varying], month: int, least: float) -> bool:
    """The planting is of interest in a month of an average year."""
    leafy, left = _left(border, planting, windows, month)
    return leafy or any(share_of_month(span, month) >= least for span, _ in left)


def _chance_empty(
    border: Border, interest: Mapping[int, Mapping[str, Varying]], month: int, season: int, limits: Mapping[str, Any]
) -> float:
    """Probability over the years that too little of the frontage is of interest in a month.

    Plants of one name are early or late together. Those that take up too little alone are left out, unless all do: then
    they count as one, with the windows of all.
    """
    least = limits["share_of_month"]
    if border.share_of_frontage((), season) >= limits["frontage"]:
        return 0.0  # plants that nobody knows may hold it
    together: dict[str, list[Planting]] = {}
    for planting in border.of_the_bed:
        together.setdefault(planting.traits.name, []).append(planting)
    strong = [group for group in together.values() if border.share_of_frontage(group, season) >= limits["frontage"]]
    plants = []
    for group in strong or [list(border.of_the_bed)]:
        left = [_left(border, planting, interest[planting.number], month) for planting in group]
        windows = [dated for _, some in left for dated in some]
        # One that holds the month in an early year and in a late one fails it in one of ten at most.
        sure = any(all(share_of_month(turn, month) >= least for turn in early_and_late(dated)) for dated in windows)
        if any(leafy for leafy, _ in left) or (sure and limits["risk"] >= ONE_IN_TEN):
            return 0.0
        plants.append(windows)
    return chance_of_none(plants, month, least)


def _unknown(border: Border, planting: Planting) -> bool:
    """Nothing says when it flowers, and it has no evergreen leaves to count in any month."""
    return (
        not planting.evergreen
        and not planting.flowerless
        and border.window(planting, "flower") is None
        and border.window(planting, "foliage_interest") is None
    )
