"""LIGHT-01 and LIGHT-02: the sun a plant gets against the sun it wants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
SUN, PART, SHADE = "full sun", "part shade", "full shade"


def sun_lover_in_shade(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants full sun and nothing else, where it does not get it."""
    if border.plan.site.latitude is None:
        yield Unjudged("LIGHT-01", "", ("site: latitude",), ("site",))
        return
    yield from _wanting("LIGHT-01", border)
    lovers = [p for p in border.plantings if set(p.traits.words("light") or ()) == {SUN} and _judged(p)]
    told: set[int] = set()
    for season in SEASONS:
        lit = border.light(lovers, season)
        for planting in lovers:
            if planting.number not in lit or planting.number in told:
                continue
            hours, _, _, share = (round(value, 2) for value in lit[planting.number])
            level = _shaded(round(hours, 1), share, limits)
            if level is None:
                continue
            told.add(planting.number)
            yield Finding(
                "LIGHT-01", level, (planting.key,),
                f"{planting.title} wants full sun and by year {season} gets {hours:.1f} hours on 21 June and "
                f"{share:.0%} of the sun from April to September.",
                (*planting.path, "at") if planting.line.at else planting.path, (),
                {"hours_21_june": round(hours, 1), "share": share, "season": season,
                 "limit_hours": limits["warning_hours"], "limit_share": limits["warning_share"]},
                mend=f"Move {planting.key} out of the shade, raise or thin what shades it, or choose a plant for part shade.",
            )  # fmt: skip


def shade_lover_in_sun(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants shade, in the full sun of a summer's day."""
    site = border.plan.site
    if site.latitude is None:
        yield Unjudged("LIGHT-02", "", ("site: latitude",), ("site",))
        return
    lovers = [p for p in border.plantings if (w := set(p.traits.words("light") or ())) and SUN not in w and _judged(p)]
    told: set[int] = set()
    for season in SEASONS:
        lit = border.light(lovers, season)
        for planting in lovers:
            if planting.number not in lit or planting.number in told:
                continue
            hours, midday, _, share = lit[planting.number]
            hours, midday, share = round(hours, 1), round(midday, 1), round(share, 2)
            if not (hours > limits["hours"] and share > limits["share"] and midday >= limits["midday_hours"]):
                continue
            shade_only = set(planting.traits.words("light")) == {SHADE}
            moist = site.moisture in ("moist", "wet") or bool(planting.traits.yes("sun_if_moist"))
            steps = 2 if shade_only else 1
            # Where summers are cool, or the soil keeps moist, sun does less harm; coolness is known only when stated.
            warmest = getattr(site, "hottest_month_maximum", None)
            cool = warmest is None or warmest < limits["cool_summer"]
            level = ("note", "warning", "error")[max(0, steps - cool - moist)] if steps - cool - moist >= 0 else None
            if level is None:
                continue
            told.add(planting.number)
            yield Finding(
                "LIGHT-02", level, (planting.key,),  # type: ignore[arg-type]
                f"{planting.title} wants shade and stands in {hours:.1f} hours of sun on 21 June, {midday:.1f} of them between "
                f"11 and 16 o'clock (year {season}).",
                (*planting.path, "at") if planting.line.at else planting.path, (),
                {"hours_21_june": hours, "midday_hours": midday, "share": share, "season": season},
                mend=f"Move {planting.key} to the shaded side of something taller, or choose a plant for sun.",
            )  # fmt: skip


def _judged(planting: Planting) -> bool:
    """Bulbs live by the light of spring, and a climber has its head in the sun."""
    return planting.life_form not in ("bulb", "climber") and not planting.temporary and not planting.supported


def _wanting(code: str, border: Border) -> Iterator[Unjudged]:
    for planting in border.plantings:
        if _judged(planting) and not planting.traits.words("light"):
            yield Unjudged(code, planting.key, ("light",), planting.path)


def _shaded(hours: float, share: float, limits: Mapping[str, Any]) -> Level | None:
    if hours < limits["error_hours"] and share < limits["error_share"]:
        return "error"
    return "warning" if hours < limits["warning_hours"] or share < limits["warning_share"] else None
