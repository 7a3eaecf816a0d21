"""COVER-02 to -05: drifts that do not close, late winter, slopes and mulch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import UNRECOGNISED, Finding, Unjudged
from bedfellow.schema.geometry import inside
from bedfellow.schema.values import FIRST_DAYS

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

FAST = 3
LATE_WINTER = (2, 3, 4)
BARE_STYLES = ("gravel", "herbaceous", "meadow")
FIRST, GROWN = 1, 3


def underplanted(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Drifts with far fewer plants than close their ground: one finding a drift."""
    for planting in border.plantings:
        line = planting.line
        drift = line.outline and line.ground and not (line.scattered or line.mix or line.under)
        if not drift or planting.life_form in ("bulb", "tree") or planting.temporary:
            continue
        density = planting.traits.measure("density")
        if density is None:
            yield Unjudged(planting.key, ("density",), planting.path)
            continue
        runs = planting.traits.word("spread_mode") == "stolons" and (planting.traits.step("spread_rate") or 0) >= FAST
        share = round(line.number / (line.ground * density.low), 2)
        if runs or share >= limits["share"] or _shared(border, planting):
            continue
        yield Finding(
            "warning", (planting.key,), planting.path,
            {"plant": planting.title, "number": line.number, "ground": round(line.ground, 1), "low": density.low, "high": density.high,
             "needed": round(line.ground * density.typical), "share": share},
        )  # fmt: skip


def _shared(border: Border, planting: Planting) -> bool:
    """Another plant grows on the same ground, which the two close together."""
    return any(inside((x, y), planting.line.outline) for x, y, _ in border.strangers) or any(
        other.number != planting.number
        and other.life_form != "bulb"
        and not other.supported
        and any(inside(point, planting.line.outline) for point in other.points)
        for other in border.plantings
    )


def bare_winter(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Little of the ground is under leaves from February to April."""
    brief, beds = border.plan.brief, border.plan.borders
    styles = [bed.style or (brief.style if brief else None) for bed in beds]
    if not beds or all(style in BARE_STYLES for style in styles) or (brief and brief.winter_matters is False):
        return
    if border.strangers:
        yield UNRECOGNISED
        return
    by_month = [
        (border.cover_by_layer(GROWN, FIRST_DAYS[month - 1] + 14)["any"], month)
        for month in map(border.month_here, LATE_WINTER)
    ]
    share = round(sum(cover for cover, _ in by_month) / len(by_month), 2)
    if share < limits["share"]:
        yield Finding(
            "note",
            (),
            ("plants",),
            {"share": share, "limit": limits["share"], "months": [month for _, month in by_month]},
        )


def slope(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A steep bed whose soil is open in the first year."""
    steep, beds = border.plan.site.slope, border.plan.borders
    held = all(bed.matting for bed in beds)  # by matting, or there is no bed
    if held or steep is None or steep <= limits["slope"]:
        return
    cover, month = border.greatest_cover(FIRST)
    if round(cover, 2) < limits["cover"]:
        yield Finding(
            "warning", (), ("site", "slope"),
            {"run": round(1 / steep, 1), "cover": round(cover, 2), "limit": limits["cover"], "month": month},
        )  # fmt: skip


def no_mulch(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Nothing covers the soil until the plants do."""
    mulch, beds = border.plan.mulch, border.plan.borders
    if not beds or (mulch and (mulch.depth is None or mulch.depth > 0)) or all(bed.style == "gravel" for bed in beds):
        return
    cover, _ = border.greatest_cover(FIRST)
    if round(cover, 2) < limits["cover"]:
        yield Finding(
            "note",
            (),
            mulch.path if mulch else ("plants",),
            {"cover": round(cover, 2)},
            case="none" if mulch else "unsaid",
        )
