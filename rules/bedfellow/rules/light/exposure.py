"""LIGHT-01 and LIGHT-02: the sun a plant gets against the sun it wants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
SUN, SHADE = "full sun", "full shade"


def sun_lover_in_shade(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants full sun and nothing else, where it does not get it."""
    if border.plan.site.latitude is None:
        yield Unjudged("LIGHT-01", "", ("site: latitude",), ("site",))
        return
    yield from _wanting("LIGHT-01", border)
    lovers = [p for p in border.plantings if set(p.traits.words("light") or ()) == {SUN} and _judged(p)]
    for planting, years in _through_the_years(border, lovers):
        for season, hours, _, share in years:
            level = _shaded(hours, share, limits)
            if level is None:
                continue
            yield Finding(
                "LIGHT-01", level, (planting.key,),
                f"{planting.title} wants full sun and by year {season} gets {hours:.1f} hours on 21 June and "
                f"{share:.0%} of the sun from April to September.",
                (*planting.path, "at") if planting.line.at else planting.path, (),
                {"hours_21_june": hours, "share": share, "season": season,
                 "limit_hours": limits["warning_hours"], "limit_share": limits["warning_share"]},
                mend=f"Move {planting.key} out of the shade, raise or thin what shades it, or choose a plant for part shade.",
            )  # fmt: skip
            break


def shade_lover_in_sun(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants shade, in the full sun of a summer's day."""
    site = border.plan.site
    if site.latitude is None:
        yield Unjudged("LIGHT-02", "", ("site: latitude",), ("site",))
        return
    lovers = [p for p in border.plantings if (w := set(p.traits.words("light") or ())) and SUN not in w and _judged(p)]
    # Where summers are cool, or the soil keeps moist, sun does less harm; coolness is known only when stated.
    cool = site.hottest_month_maximum is None or site.hottest_month_maximum < limits["cool_summer"]
    for planting, years in _through_the_years(border, lovers):
        moist = site.moisture in ("moist", "wet") or bool(planting.traits.yes("sun_if_moist"))
        steps = (2 if set(planting.traits.words("light")) == {SHADE} else 1) - cool - moist
        if steps < 0:
            continue
        level: Level = ("note", "warning", "error")[steps]
        for season, hours, midday, share in years:
            if not (hours > limits["hours"] and share > limits["share"] and midday >= limits["midday_hours"]):
                continue
            yield Finding(
                "LIGHT-02", level, (planting.key,),
                f"{planting.title} wants shade and stands in {hours:.1f} hours of sun on 21 June, {midday:.1f} of them between "
                f"11 and 16 o'clock (year {season}).",
                (*planting.path, "at") if planting.line.at else planting.path, (),
                {"hours_21_june": hours, "midday_hours": midday, "share": share, "season": season},
                mend=f"Move {planting.key} to the shaded side of something taller, or choose a plant for sun.",
            )  # fmt: skip
            break


def _through_the_years(
    border: Border, plantings: Sequence[Planting]
) -> Iterator[tuple[Planting, list[tuple[int, float, float, float]]]]:
    """Each planting with (season, hours on 21 June, of these at midday, share of the open beam), rounded as messages say it."""
    lit = {season: border.light(plantings, season) for season in SEASONS}
    for planting in plantings:
        years = [(season, *found[planting.number]) for season, found in lit.items() if planting.number in found]
        yield (
            planting,
            [(season, round(h, 1), round(midday, 1), round(share, 2)) for season, h, midday, _, share in years],
        )


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
