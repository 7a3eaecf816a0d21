"""COVER-01: soil bare too long."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

MID_JULY = 196


def bare_soil(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Ground still open at the height of the second and third seasons."""
    found = {season: border.cover(season, MID_JULY) for season in (2, 3)}
    poor = [season for season in (2, 3) if round(found[season], 2) < limits[f"season_{season}"]]
    if not poor:
        return
    mulch = border.plan.mulch
    depth = (mulch and mulch.depth) or 0.0
    yield Finding(
        "COVER-01", "note" if depth >= limits["mulch"] else "warning", (),
        f"Leaves cover {found[2]:.0%} of the ground at the height of the second summer and {found[3]:.0%} in the third; "
        f"{limits['season_2']:.0%} and {limits['season_3']:.0%} close a border in time.",
        ("plants",), (), {"cover": {str(season): round(share, 2) for season, share in found.items()}},
        mend="Plant the ground cover closer, or fill the gaps with annuals for two summers.",
    )  # fmt: skip
