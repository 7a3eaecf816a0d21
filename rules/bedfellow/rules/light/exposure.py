"""LIGHT-01 and LIGHT-02: the sun a plant gets against the sun it wants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.rules.finding import LEVELS, Finding, Level, Unjudged
from bedfellow.schema.values import YEAR

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

PLANTED, SEASONS = 1, (3, 10)
SUN, SHADE = "full sun", "full shade"
# A plant that bears sun on moist soil is content with soil that is moist below a hand's depth.
MOIST = ("moist well-drained", "moist", "wet")
MIDSUMMER, FIRST_OF_MAY, FIRST_OF_JULY = 172, 121, 182


class Year(NamedTuple):
    """What a planting gets in a season, rounded as messages say it: hours on 21 June (of these from 11 to 16 h) and on
    15 March, share of the open site's beam from April to September; in the south half a year later."""

    season: int
    june: float
    midday: float
    march: float
    share: float


def sun_lover_in_shade(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants full sun and nothing else, where it does not get it."""
    if border.plan.site.latitude is None:
        yield Unjudged("", ("site: latitude",), ("site",))
        return
    yield from _wanting(border)
    lovers = [p for p in border.plantings if set(p.traits.words("light")) == {SUN} and judged(p)]
    for planting, years in through_the_years(border, lovers, SEASONS):
        summer, spring = in_leaf_at_midsummer(border, planting), early(border, planting)
        for year in years:
            level, case = _shaded(year, summer, spring, limits)
            if level is None or not border.present(planting, year.season):
                continue
            yield Finding(
                level, (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "hours": year.june, "spring_hours": year.march, "share": year.share,
                 "season": year.season, "midsummer": "21 December" if border.south else "21 June",
                 "half_year": "October to March" if border.south else "April to September",
                 "spring": "15 September" if border.south else "15 March"},
                case=case,
            )  # fmt: skip
            break


def shade_lover_in_sun(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that wants shade, in the full sun of a summer's day."""
    site = border.plan.site
    if site.latitude is None:
        yield Unjudged("", ("site: latitude",), ("site",))
        return
    yield from _wanting(border)
    lovers = [p for p in border.plantings if (w := set(p.traits.words("light"))) and SUN not in w and judged(p)]
    # Where summers are cool, or the soil keeps moist, sun does less harm; coolness is known only when stated.
    cool = site.hottest_month_maximum is None or site.hottest_month_maximum < limits["cool_summer"]
    for planting, years in through_the_years(border, lovers, (PLANTED, *SEASONS)):
        if not in_leaf_at_midsummer(border, planting):
            continue
        moist = border.soil(planting).moisture in (MOIST if planting.traits.yes("sun_if_moist") else MOIST[1:])
        steps = (2 if set(planting.traits.words("light")) == {SHADE} else 1) - cool - moist
        sunny = [year for year in years if _in_sun(year, limits) and border.present(planting, year.season)]
        # What stands in the sun only until its neighbours have grown is a lesser matter.
        passing = bool(sunny) and sunny[-1].season == PLANTED and len(years) > 1
        if not sunny or steps - passing < 0:
            continue
        year = sunny[0]
        yield Finding(
            LEVELS[steps - passing], (planting.key,), planting.place,
            {"plant": planting.title, "key": planting.key, "hours": year.june, "midday_hours": year.midday, "share": year.share,
             "season": year.season, "midsummer": "21 December" if border.south else "21 June"},
            case="passing" if passing else "lasting",
        )  # fmt: skip


def through_the_years(
    border: Border, plantings: Sequence[Planting], seasons: Sequence[int]
) -> Iterator[tuple[Planting, list[Year]]]:
    lit = {season: border.light(plantings, season) for season in seasons}
    for planting in plantings:
        yield (
            planting,
            [
                Year(season, round(june, 1), round(midday, 1), round(march, 1), round(share, 2))
                for season, found in lit.items()
                if planting.number in found
                for june, midday, march, share in (found[planting.number],)
            ],
        )


def judged(planting: Planting) -> bool:
    """A climber has its head in the sun, and a filler is gone before the shade closes."""
    return planting.life_form != "climber" and not planting.temporary and not planting.supported


def in_leaf_at_midsummer(border: Border, planting: Planting) -> bool:
    """It has leaves then that live on: bulbs in decline need no light any more."""
    day = MIDSUMMER + border.later
    decline = border.window(planting, "die_back") if planting.life_form == "bulb" else None
    lives = decline is None or (decline.start.typical - border.later) % YEAR > MIDSUMMER
    return border.in_leaf(planting, day) and lives


def early(border: Border, planting: Planting) -> bool:
    """It flowers before May, or has its leaves in spring and loses them by July."""
    later = border.later
    flower, leaf = border.window(planting, "flower"), border.window(planting, "in_leaf")
    flowers = flower is not None and later + 32 <= flower.start.typical < FIRST_OF_MAY + later
    return flowers or (leaf is not None and leaf.end.typical < FIRST_OF_JULY + later and not planting.evergreen)


def _wanting(border: Border) -> Iterator[Unjudged]:
    for planting in border.plantings:
        if not judged(planting):
            continue
        if not planting.traits.words("light"):
            yield Unjudged(planting.key, ("light",), planting.path)
        elif border.crown(planting, SEASONS[0]) is None:
            yield Unjudged(planting.key, border.wanting_size(planting), planting.path)


def _shaded(year: Year, summer: bool, spring: bool, limits: Mapping[str, Any]) -> tuple[Level | None, str]:
    if summer and year.june < limits["error_hours"] and year.share < limits["error_share"]:
        return "error", "summer"
    if summer and (year.june < limits["warning_hours"] or year.share < limits["warning_share"]):
        return "warning", "summer"
    if spring and year.march < limits["spring_hours"]:
        return "warning", "spring"
    return None, ""


def _in_sun(year: Year, limits: Mapping[str, Any]) -> bool:
    return bool(year.june > limits["hours"] and year.share > limits["share"] and year.midday >= limits["midday_hours"])
