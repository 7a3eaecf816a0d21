"""SITE-04 and SITE-05: wind, salt and late frost against what the plant bears."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.words import listed
from bedfellow.schema.values import YEAR

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

# What a place asks for, in steps of the traits' scale; salt counts at the seafront, and less far from the sea.
WIND = {"sheltered": 0, "open": 2, "exposed": 3, "seafront": 3}
BEARS = ("no", "little", "some", "much")
PLACE = {"open": "open to the wind", "exposed": "exposed to the wind", "seafront": "on the seafront"}
SHELTERS = ("fence", "wall", "building", "hedge", "screen")
WINDWARD = 60  # degrees either side of the wind
SEASON = 5


def wind_or_salt(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A place windier or saltier than the plant bears."""
    site = border.plan.site
    seaside = site.coast is not None and site.coast <= limits["coast"]
    asked = {
        "wind": WIND.get(site.exposure or "", 0),
        "salt": 3 if site.exposure == "seafront" else 2 if seaside else 0,
    }
    least = {"wind": limits["open_steps"] if site.exposure == "open" else 1, "salt": 1}
    path = ("site", "exposure") if site.exposure else ("site", "coast")
    beside_sea = ["by the sea"] if seaside and site.exposure != "seafront" else []
    place = listed([*([PLACE[site.exposure]] if asked["wind"] and site.exposure else []), *beside_sea])
    near: list[tuple[Planting, str]] = []
    for planting in border.plantings:
        if planting.temporary:
            continue
        steps = {trait: planting.traits.step(trait) for trait, step in asked.items() if step}
        wanting = tuple(trait for trait, step in steps.items() if step is None)
        if wanting:
            yield Unjudged(planting.key, wanting, planting.path)
        short = {
            trait: asked[trait] - step
            for trait, step in steps.items()
            if step is not None and asked[trait] - step >= least[trait]
        }
        if not short or _sheltered(border, planting, limits["lee"]):
            continue
        bears = listed([f"{BEARS[steps[trait] or 0]} {trait}" for trait in short])
        off = max(short.values())
        if off < limits["error_steps"]:
            near.append((planting, bears))
            continue
        sourced = all(planting.traits.sourced(trait) for trait, by in short.items() if by == off)
        yield Finding(
            "error" if sourced else "warning", (planting.key,), (*planting.path, "name"),
            {"plant": planting.title, "bears": bears, "steps": off, "place": place,
             "source": border.source(planting, max(short, key=lambda trait: short[trait]))},
            ((path, "how exposed the site is"),), case="far", confidence="high" if sourced else "medium",
        )  # fmt: skip
    if near:
        said = [f" ({bears})" for _, bears in near]
        yield together(
            "warning", [planting for planting, _ in near], path, {"steps": 1, "place": place}, said, case="near"
        )


def _sheltered(border: Border, planting: Planting, heights: float) -> bool:
    """Every member stands within so many heights of something that breaks the wind, on the windward side where that is known."""
    site = border.plan.site
    bodies: list[tuple[float, Any]] = [
        (structure.height, structure.nearest_to)
        for structure in border.plan.structures
        if structure.kind in SHELTERS and structure.height and len(structure.points) >= 2
    ]
    for other in border.plantings:
        size = border.size(other, SEASON)
        if other is not planting and size and (other.line.hedge or other.line.purpose in ("windbreak", "screen")):
            bodies.append((size.height.typical, other.nearest_to))
    directed = site.prevailing_wind is not None and (site.faces is not None or site.north is not None)

    def behind(point: tuple[float, float]) -> bool:
        for height, nearest_to in bodies:
            body = nearest_to(point)
            if dist(point, body) > heights * height:
                continue
            if not directed or turn(border.bearing(point, body), site.prevailing_wind or 0.0) <= WINDWARD:
                return True
        return False

    return bool(planting.points) and all(behind(point) for point in planting.points)


def turn(first: float, second: float) -> float:
    """Degrees between two bearings."""
    return abs((first - second + 180) % 360 - 180)


def blossom_in_frost(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Blossom that frost spoils, open before the last frost in a frost pocket; all in one finding."""
    site = border.plan.site
    if not site.frost_pocket:
        return
    if site.last_frost is None:
        yield Unjudged("", ("site: last_frost",), ("site",))
        return
    spoilt: list[tuple[Planting, int]] = []
    for planting in border.plantings:
        prone, window = planting.traits.yes("frost_prone_blossom"), border.window(planting, "flower")
        if prone is False or planting.temporary:
            continue
        if prone is None or window is None:
            if not planting.flowerless:
                wanting = border.wanting(planting, "flower") if prone else "frost_prone_blossom"
                yield Unjudged(planting.key, (wanting,), planting.path)
            continue
        before = round((site.last_frost - window.start.typical) % YEAR)
        if limits["days"] < before <= limits["season"] and not border.warm_wall(planting, limits["wall"]):
            spoilt.append((planting, before))
    if spoilt:
        said = [f" by {before} days" for _, before in spoilt]
        earliest = {"before": max(before for _, before in spoilt)}
        yield together("warning", [planting for planting, _ in spoilt], ("site", "last_frost"), earliest, said)
