"""SEASON-01: a month with nothing to look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.rules.words import month

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 3
ORGANS = ("flower", "foliage_interest", "autumn_colour", "fruit", "bark", "seedhead", "winter_outline")
GROWING = tuple(range(3, 11))


def empty_month(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A month that matters in which almost none of the frontage has anything of interest."""
    brief = border.plan.brief
    must = tuple(brief.must_have) if brief and brief.must_have else ()
    matters = sorted(set(GROWING) | set(must))
    for number in matters:
        holding = [
            planting for planting in border.plantings if _of_interest(planting, number, limits["share_of_month"])
        ]
        share = border.share_of_frontage(holding, SEASON)
        if round(share, 2) >= limits["frontage"]:
            continue
        nearly = [p for p in border.plantings if _of_interest(p, number, limits["share_of_month"], 14)]
        level: Level = "error" if number in must else "warning"
        if round(border.share_of_frontage(nearly, SEASON), 2) >= limits["frontage"]:
            level = "note"
        yield Finding(
            "SEASON-01", level, (),
            f"Nothing holds the border in {month(number)}: {share:.0%} of its frontage has flower, coloured leaf, fruit, bark, "
            f"seedhead or evergreen leaf{'; in a late or early year something may' if level == 'note' else ''}.",
            ("plants",), (), {"month": number, "share_of_frontage": round(share, 2), "limit": limits["frontage"], "season": SEASON},
            apart=(f"month-{number:02d}",), mend=f"Add a plant that is at its best in {month(number)}, and repeat it along the front.",
        )  # fmt: skip


def _of_interest(planting: Planting, number: int, least: float, slack: float = 0) -> bool:
    if planting.evergreen:
        return True
    for organ in ORGANS:
        window = planting.traits.window(organ)
        if window and share_of_month((window.start.typical - slack, window.end.typical + slack), number) >= least:
            return True
    return False
