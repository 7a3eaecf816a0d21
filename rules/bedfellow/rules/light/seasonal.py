"""LIGHT-04 and LIGHT-05: the light that bulbs have in spring, and the sun of frosty mornings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.seasons import within
from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.light.exposure import FIRST_OF_MAY, SHADE
from bedfellow.schema.values import YEAR

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASONS = (3, 10)
SPRING = tuple(range(15, 196, 15))  # mid-January to mid-July
AUTUMN, AUGUST = 213, 213
FROSTY = (31, 59, 90, 120)  # days from the end of January to that of April on which the morning sun is taken
MID_MAY = FIRST_OF_MAY + 14


def no_light_window(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Spring bulbs whose leaves get too little light between the leaves of what stands over them."""
    if border.plan.site.latitude is None:
        return  # LIGHT-01 says so
    days = [(day + border.later - 1) % YEAR + 1 for day in SPRING]
    windows: dict[int, list[int]] = {}
    bulbs = [
        p
        for p in border.plantings
        if p.life_form == "bulb" and not p.temporary and p.traits.yes("returns_yearly") is not False
    ]
    for planting in bulbs:
        leaf, decline = border.window(planting, "in_leaf"), border.window(planting, "die_back")
        if leaf is None:
            yield Unjudged(planting.key, (border.wanting(planting, "in_leaf"),), planting.path)
            continue
        start = (leaf.start.typical - border.later) % YEAR
        end = start + (decline.start.typical if decline else leaf.end.typical) - leaf.start.typical
        # Leaves of autumn and winter have the bare months; those of summer are judged by LIGHT-01.
        if start < AUTUMN and end < AUGUST:
            windows[planting.number] = [index for index, day in enumerate(SPRING) if start <= day <= end]
    judged = [planting for planting in bulbs if windows.get(planting.number)]
    for season in SEASONS:
        lit = border.sun(judged, season, days, crowns_only=True)
        for planting in list(judged):
            suns = [lit[planting.number][index] for index in windows[planting.number]] if planting.number in lit else []
            share = round(sum(sun.share for sun in suns) / len(suns), 2) if suns else 1.0
            kind = _kind(planting)
            if share >= limits[kind] or not border.present(planting, season):
                continue
            judged.remove(planting)
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "share": share, "wanted": limits[kind], "season": season},
            )  # fmt: skip


def _kind(planting: Planting) -> str:
    """woodland, part_shade or sun, by Ellenberg's L where that is known, else by the words of labels."""
    light, ellenberg = planting.traits.words("light"), planting.traits.measure("light_ellenberg")
    if SHADE in light or (ellenberg is not None and ellenberg.typical <= 5):
        return "woodland"
    return "part_shade" if "part shade" in light else "sun"


def morning_sun(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Buds and shoots that frost spoils, in the first sun of a border that faces east, in one note."""
    site = border.plan.site
    if site.latitude is None or site.faces is None:
        return
    northern = (180 - site.faces) % 360 if border.south else site.faces
    if not limits["from"] <= northern <= limits["to"]:
        return
    mild = site.minimum_temperature is not None and site.minimum_temperature >= limits["mild"]
    if mild or (site.coast is not None and site.coast <= limits["coast"]):
        return
    prone = []
    for planting in border.plantings:
        if not planting.woody or planting.supported or planting.temporary:
            continue
        buds, shoots = planting.traits.yes("frost_prone_blossom"), planting.traits.yes("frost_prone_shoots")
        if buds is None and shoots is None:
            yield Unjudged(planting.key, ("frost_prone_blossom", "frost_prone_shoots"), planting.path)
        elif (buds and _opens_early(border, planting, "flower")) or (
            shoots and _opens_early(border, planting, "in_leaf")
        ):
            prone.append(planting)
    days = [(day + border.later - 1) % YEAR + 1 for day in FROSTY]
    lit = border.sun(prone, SEASONS[0], days)
    hurt = [
        p for p in prone if p.number in lit and sum(sun.morning for sun in lit[p.number]) / len(days) >= limits["hours"]
    ]
    if hurt:
        yield together("note", hurt, hurt[0].place)


def _opens_early(border: Border, planting: Planting, trait: str) -> bool:
    """It flowers in the frosts from January to April, or comes into leaf before the middle of May."""
    window = border.window(planting, trait)
    if window is None:
        return False
    if trait == "flower":
        return any(within(window, (day + border.later - 1) % YEAR + 1) for day in FROSTY)
    return (window.start.typical - border.later - 1) % YEAR < MID_MAY
