"""Soil and climate values that contradict one another."""

from __future__ import annotations

from collections.abc import Iterator

from bedfellow.schema.values import Tolerance
from bedfellow.traits_db.facts import MEMORY
from bedfellow.traits_db.inspection.remark import Plant, Verdict

SOURCES_APART = 12.0  # °C: two bands of the USDA zones and a little; authorities often differ by one
SOIL_SLACK = 0.3  # pH: within this, two sources mean the same
LIME = 7.0  # pH: free lime is found above neutral (common practice)


def site(plant: Plant) -> Iterator[Verdict]:
    """Verdicts on what a plant bears."""
    yield from _reaction(plant)
    yield from _cold(plant)
    if plant.stands("bears_winter_wet", "moisture"):
        moisture = plant.traits.tolerance("moisture")
        if moisture and moisture.lower >= 5 and plant.traits.yes("bears_winter_wet") is False:
            yield plant.level("bears_winter_wet", "moisture"), "a plant of wet ground that does not bear winter wet"
    shade = plant.stands("bears_dry_shade", "light") and plant.traits.yes("bears_dry_shade")
    if shade and plant.traits.words("light") == ("full sun",):
        yield plant.level("bears_dry_shade", "light"), "it bears dry shade, but grows in full sun only"
    if plant.stands("lime", "ph_tolerated"):
        yield from _lime(plant)


def _reaction(plant: Plant) -> Iterator[Verdict]:
    for trait in ("ph_preferred", "ph_tolerated"):
        limits = plant.traits.tolerance(trait)
        if trait in plant.own and limits is not None and not 3 <= limits.lower <= limits.upper <= 10:
            yield "fault", f"{plant.said(trait)} is no soil reaction: 3 to 10 is what soils have"
    preferred, tolerated = plant.traits.tolerance("ph_preferred"), plant.traits.tolerance("ph_tolerated")
    if preferred is None or tolerated is None or not plant.stands("ph_preferred", "ph_tolerated"):
        return
    slack = 0.0 if plant.one_word("ph_preferred", "ph_tolerated") else SOIL_SLACK
    if preferred.lower < tolerated.lower - slack or preferred.upper > tolerated.upper + slack:
        said = f"{plant.said('ph_preferred')} is outside {plant.said('ph_tolerated')}"
        yield plant.level("ph_preferred", "ph_tolerated"), said


def _lime(plant: Plant) -> Iterator[Verdict]:
    limits, lime = plant.traits.tolerance("ph_tolerated"), plant.word("lime")
    if limits is not None and lime == "hates" and limits.upper > LIME + 0.5:
        yield plant.level("lime", "ph_tolerated"), f"it hates lime, but {plant.said('ph_tolerated')}"
    elif limits is not None and lime == "likes" and limits.upper < LIME:
        yield plant.level("lime", "ph_tolerated"), f"it likes lime, but {plant.said('ph_tolerated')}"


def _cold(plant: Plant) -> Iterator[Verdict]:
    stated = [s for s in plant.taxon.statements if s.trait == "minimum_temperature" and isinstance(s.value, Tolerance)]
    for statement in stated:
        band = statement.value
        if isinstance(band, Tolerance) and not -50 <= band.lower <= band.upper <= 20:
            yield "fault", f"minimum temperature {band.lower:g} to {band.upper:g} °C is no winter that a garden has"
    ends = {s.source: s.value.lower for s in stated if isinstance(s.value, Tolerance) and s.method != MEMORY}
    if ends and max(ends.values()) - min(ends.values()) > SOURCES_APART:
        told = ", ".join(f"{source} {end:g} °C" for source, end in ends.items())
        yield "look", f"its sources disagree on the winter that it survives: {told}"
    band_in_use = plant.traits.tolerance("minimum_temperature")
    tender = plant.stands("half_hardy", "minimum_temperature") and plant.traits.yes("half_hardy")
    if tender and band_in_use and band_in_use.lower < -10:
        said = f"half-hardy, but {plant.said('minimum_temperature')}"
        yield plant.level("half_hardy", "minimum_temperature"), said
