"""SITE-01 to SITE-03: reaction, moisture and winter cold against what the plant bears."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

MOISTURE = ("", "dry", "well-drained", "moist well-drained", "moist", "wet")
HEAVY = ("clay", "silty clay", "sandy clay", "clay loam", "silty clay loam")


def wrong_reaction(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A soil reaction outside what the plant tolerates, or only outside what it prefers."""
    site = border.plan.site
    if site.ph is None:
        yield Unjudged("SITE-01", "", ("site: ph",), ("site",))
        return
    low, high = site.ph
    for planting in border.plantings:
        tolerated, lime = planting.traits.tolerance("ph_tolerated"), planting.traits.word("lime")
        if tolerated is None and lime is None:
            yield Unjudged("SITE-01", planting.key, ("ph_tolerated", "lime"), planting.path)
            continue
        found = _reaction(low, high, planting.traits, tolerated, lime, limits)
        if found is None:
            continue
        level, why = found
        soil = f"pH {low:g}" if low == high else f"pH {low:g} to {high:g}"
        yield Finding(
            "SITE-01", level, (planting.key,), f"{planting.title} {why}; the soil here has {soil}.",
            (*planting.path, "name"), ((("site", "ph"), "the soil's reaction"),),
            {"ph": [low, high], "tolerated": list(tolerated) if tolerated else None, "source": _source(planting, "ph_tolerated")},
            confidence="high" if planting.traits.sourced("lime") or planting.traits.sourced("ph_tolerated") else "medium",
            mend="Choose a plant for this soil; a raised bed of ericaceous soil serves a lime-hater. Chalk cannot be made acid.",
        )  # fmt: skip


def _reaction(
    low: float, high: float, traits: Any, tolerated: Any, lime: str | None, limits: Mapping[str, Any]
) -> tuple[Level, str] | None:
    # The end of the stated range that suits the plant best is the favourable one.
    if lime == "hates" and low >= limits["lime"]:
        return ("error" if traits.sourced("lime") else "warning"), "hates lime"
    if tolerated is not None:
        if round(low - tolerated.upper, 2) > limits["margin"]:
            return "warning", f"tolerates up to pH {tolerated.upper:g}"
        if round(tolerated.lower - high, 2) > limits["margin"]:
            return "warning", f"tolerates no less than pH {tolerated.lower:g}"
    return None


def wrong_moisture(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Soil two steps wetter or drier than the plant bears, or winter-wet clay under one that rots in it."""
    site = border.plan.site
    if site.moisture is None:
        yield Unjudged("SITE-02", "", ("site: moisture",), ("site",))
        return
    step = MOISTURE.index(site.moisture)
    for planting in border.plantings:
        borne = planting.traits.tolerance("moisture")
        if borne is None:
            yield Unjudged("SITE-02", planting.key, ("moisture",), planting.path)
            continue
        off = step - borne.upper if step > borne.upper else step - borne.lower if step < borne.lower else 0
        rots = planting.traits.yes("bears_winter_wet") is False and site.texture in HEAVY
        level: Level
        if abs(off) >= limits["error_steps"]:
            level = "error" if planting.traits.sourced("moisture") else "warning"
        elif off >= 1 and rots:
            level = "warning"
        else:
            continue
        wants = MOISTURE[int(borne.lower)] + (f" to {MOISTURE[int(borne.upper)]}" if borne.upper != borne.lower else "")
        yield Finding(
            "SITE-02", level, (planting.key,),
            f"{planting.title} grows in {wants} soil; the soil here is {site.moisture}"
            f"{' on heavy ' + site.texture if rots and off > 0 else ''}.",
            (*planting.path, "name"), ((("site", "moisture"), "the soil's moisture"),),
            {"moisture": site.moisture, "borne": [MOISTURE[int(s)] for s in borne], "steps": int(off)},
            mend="Plant it on a mound or crest, or choose a plant for this soil." if off > 0 else "Choose a plant for drier soil.",
        )  # fmt: skip


def not_hardy(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A mean yearly minimum below the cold end of the plant's band."""
    least = border.plan.site.minimum_temperature
    if least is None:
        yield Unjudged("SITE-03", "", ("site: minimum_temperature",), ("site",))
        return
    for planting in border.plantings:
        if planting.temporary or planting.traits.word("life_form") in ("annual", "biennial"):
            continue
        if planting.traits.word("life_form") == "bulb" and planting.traits.yes("returns_yearly") is False:
            continue
        band = planting.traits.tolerance("minimum_temperature")
        if band is None:
            yield Unjudged("SITE-03", planting.key, ("minimum_temperature",), planting.path)
            continue
        below = round(band.lower - least, 1)
        slow = planting.life_form in ("tree", "shrub")
        sourced = planting.traits.sourced("minimum_temperature")
        level: Level
        if below >= limits["error_margin"] and sourced:
            level = "error"
        elif below > 0:
            level = "warning"
        elif slow and below > -limits["near_margin"]:
            level = "note"
        else:
            continue
        yield Finding(
            "SITE-03", level, (planting.key,),
            f"{planting.title} is hardy to {band.lower:g} °C; the winter minimum here is {least:g} °C"
            f"{', close to its limit' if level == 'note' else ''}.",
            (*planting.path, "name"), ((("site", "minimum_temperature"), "mean of the yearly minima"),),
            {"minimum": least, "hardy_to": band.lower, "source": _source(planting, "minimum_temperature")},
            confidence="high" if sourced else "medium",
            mend="Choose a hardier plant, or plan to protect or lift it each winter.",
        )  # fmt: skip


def _source(planting: Any, trait: str) -> str:
    fact = planting.traits.fact(trait)
    return fact.source if fact else "memory"
