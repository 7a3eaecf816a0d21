"""SITE-01 to SITE-03: reaction, moisture and winter cold against what the plant bears."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged, together

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border, Soil
    from bedfellow.rules.border.planting import Planting
    from bedfellow.schema.values import Tolerance

MOISTURE = ("", "dry", "well-drained", "moist well-drained", "moist", "wet")
HEAVY = ("clay", "silty clay", "sandy clay", "clay loam", "silty clay loam")
DRAINED = ("mound", "grit")


def wrong_reaction(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A soil reaction outside what the plant tolerates."""
    for planting in border.plantings:
        soil = border.soil(planting)
        if soil.ph is None:
            continue
        tolerated, lime = planting.traits.tolerance("ph_tolerated"), planting.traits.word("lime")
        if tolerated is None and lime is None:
            yield Unjudged(planting.key, ("ph_tolerated", "lime"), planting.path)
            continue
        found = _reaction(soil, planting.traits, tolerated, lime, limits)
        if found is None:
            continue
        level, case = found
        low, high = soil.ph
        trait = "lime" if case == "lime" else "ph_tolerated"
        yield Finding(
            level, (planting.key,), (*planting.path, "name"),
            {"plant": planting.title, "soil": f"pH {low:g}" if low == high else f"pH {low:g} to {high:g}",
             "low": tolerated.lower if tolerated else None, "high": tolerated.upper if tolerated else None,
             "source": border.source(planting, trait)},
            ((soil.ph_at, "the soil's reaction"),), case=case,
            confidence="high" if planting.traits.sourced(trait) else "medium",
        )  # fmt: skip
    if border.plan.site.ph is None and border.plantings:
        yield Unjudged("", ("site: ph",), ("site",))


def _reaction(
    soil: Soil, traits: Any, tolerated: Tolerance | None, lime: str | None, limits: Mapping[str, Any]
) -> tuple[Level, str] | None:
    # The end of the stated range that suits the plant best is the favourable one.
    low, high = soil.ph or (7.0, 7.0)
    if lime == "hates" and low >= limits["lime"]:
        return ("error" if traits.sourced("lime") else "warning"), "lime"
    if tolerated is not None:
        if round(low - tolerated.upper, 2) > limits["margin"]:
            return "warning", "above"
        if round(tolerated.lower - high, 2) > limits["margin"]:
            return "warning", "below"
    return None


def wrong_moisture(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Soil two steps wetter or drier than the plant bears, or winter-wet clay under one that rots in it."""
    for planting in border.plantings:
        soil = border.soil(planting)
        if soil.moisture is None:
            continue
        borne = planting.traits.tolerance("moisture")
        if borne is None:
            yield Unjudged(planting.key, ("moisture",), planting.path)
            continue
        off = _off(soil.moisture, borne)
        if off > 0 and soil.kind in DRAINED:
            continue
        rots = planting.traits.yes("bears_winter_wet") is False and soil.texture in HEAVY
        if abs(off) < limits["error_steps"] and not (off >= 1 and rots):
            continue
        sourced = planting.traits.sourced("moisture")
        yield Finding(
            "error" if abs(off) >= limits["error_steps"] and sourced else "warning", (planting.key,), (*planting.path, "name"),
            {"plant": planting.title, "moisture": soil.moisture, "borne": _words(borne), "steps": off, "texture": soil.texture or "",
             "source": border.source(planting, "moisture")},
            ((soil.moisture_at, "the soil's moisture"),), case="rots" if off > 0 and rots else "wet" if off > 0 else "dry",
            confidence="high" if sourced else "medium",
        )  # fmt: skip
    if border.plan.site.moisture is None and border.plantings:
        yield Unjudged("", ("site: moisture",), ("site",))


def _off(moisture: str, borne: Tolerance) -> int:
    """Steps by which a soil is wetter than what is borne; below 0 where it is drier."""
    step = MOISTURE.index(moisture)
    return int(step - borne.upper if step > borne.upper else min(0.0, step - borne.lower))


def steps_off(border: Border, planting: Planting) -> int:
    """Steps by which the soil is too wet or too dry for a plant; 0 where either is not known."""
    moisture, borne = border.soil(planting).moisture, planting.traits.tolerance("moisture")
    return abs(_off(moisture, borne)) if moisture and borne else 0


def _words(borne: Tolerance) -> str:
    low, high = MOISTURE[int(borne.lower)], MOISTURE[int(borne.upper)]
    return low if low == high else f"{low} to {high}"


def not_hardy(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A mean yearly minimum below the cold end of the plant's band; woody plants near that end in one note."""
    site = border.plan.site.minimum_temperature
    if site is None:
        yield Unjudged("", ("site: minimum_temperature",), ("site",))
        return
    near: list[tuple[Planting, float]] = []
    for planting in border.plantings:
        if not _winters(planting):
            continue
        band = planting.traits.tolerance("minimum_temperature")
        if band is None:
            yield Unjudged(planting.key, ("minimum_temperature",), planting.path)
            continue
        least = site + _milder(border, planting, limits)
        below = round(band.lower - least, 1)
        sourced = planting.traits.sourced("minimum_temperature")
        if below <= (0 if sourced else limits["memory_margin"]):
            if planting.life_form in ("tree", "shrub") and below > -limits["near_margin"]:
                near.append((planting, band.lower))
            continue
        yield Finding(
            "error" if below >= limits["error_margin"] and sourced else "warning", (planting.key,), (*planting.path, "name"),
            {"plant": planting.title, "minimum": round(least, 1), "hardy_to": band.lower, "below": below,
             "source": border.source(planting, "minimum_temperature")},
            ((("site", "minimum_temperature"), "mean of the yearly minima"),), case="below",
            confidence="high" if sourced else "medium",
        )  # fmt: skip
    if near:
        said = [f" to {lower:g} °C" for _, lower in near]
        plantings = [planting for planting, _ in near]
        yield together("note", plantings, ("site", "minimum_temperature"), {"minimum": site}, said, case="near")


def _winters(planting: Planting) -> bool:
    """It is meant to come through the winter where it stands."""
    if (
        planting.temporary
        or planting.life_form in ("annual", "biennial")
        or planting.line.winter not in (None, "stays")
    ):
        return False
    return not (planting.life_form == "bulb" and planting.traits.yes("returns_yearly") is False)


def _milder(border: Border, planting: Planting, limits: Mapping[str, Any]) -> float:
    """°C by which the plant's own place is milder than the site: a warm wall behind it, or colder: a container."""
    container = -limits["container"] if planting.line.grown_in == "container" else 0.0
    return container + (limits["warm_wall"] if border.warm_wall(planting, limits["wall_distance"]) else 0.0)
