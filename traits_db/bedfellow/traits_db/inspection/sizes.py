"""Sizes and other measures that contradict one another, or that no plant has."""

from __future__ import annotations

from collections.abc import Iterator

from bedfellow.schema.traits import trait_table
from bedfellow.schema.values import Measure
from bedfellow.traits_db.inspection.remark import Plant, Verdict
from bedfellow.traits_db.inspection.seasons import LENGTHENING, leafless_in_flower

# A part and the whole that it cannot outgrow.
PARTS = (
    ("height_10", "height", "it would shrink after its tenth season"),
    ("spread_10", "spread", "it would shrink after its tenth season"),
    ("foliage_height", "height", "the height includes the leaves"),
    ("first_season_height", "height", "it would be tallest at first"),
    ("crown_base", "height", "the lowest leaves would be over its top"),
    ("pruned_height", "height", "pruning does not make it taller"),
    ("pruned_spread", "spread", "pruning does not make it wider"),
    ("spread_at_base", "spread", "the spread includes the base"),
)
SLACK = 1.02  # figures are rounded

# The tallest known plants: a coast redwood of 116 m; ages of about 5,000 years. The rest is common practice: a figure
# beyond these is a slip of unit or of the point.
BOUNDS = {
    "m": (0.0, 120.0), "years": (0.0, 5000.0), "seasons": (0.0, 20.0), "mm": (0.0, 1000.0), "1": (0.0, 1.0),
    "minutes a plant a year": (0.0, 6000.0), "plants a m²": (0.0, 1000.0),
}  # fmt: skip
OWN_BOUNDS = {"light_ellenberg": (1.0, 9.0), "planting_depth": (0.0, 0.6), "stem_diameter": (0.0, 12.0)}
HERBACEOUS = ("perennial", "grass", "fern", "bulb", "annual", "biennial")
TALLEST = {**dict.fromkeys(HERBACEOUS, 6.0), "subshrub": 2.0, "shrub": 15.0, "bamboo": 30.0, "climber": 40.0}


def sizes(plant: Plant) -> Iterator[Verdict]:
    """Verdicts on the measures of a plant."""
    yield from _bounds(plant)
    for spread, height in (("spread", "height"), ("spread_10", "height_10")):
        if spread in plant.own and plant.traits.measure(height) is None:
            yield "fault", f"{plant.said(spread)} without a {height.replace('_', ' ')}"
    yield from _parts(plant)
    yield from _age(plant)


def _bounds(plant: Plant) -> Iterator[Verdict]:
    table = trait_table().traits
    for trait in sorted(plant.own):
        value = plant.traits.measure(trait)
        unit = table[trait].unit
        if value is None or (trait not in OWN_BOUNDS and unit not in BOUNDS):
            continue
        least, most = OWN_BOUNDS.get(trait, BOUNDS.get(unit, (0.0, 0.0)))
        # The high end of a lone typical figure is a widening of ours, not a claim.
        if not (least <= value.low and value.typical <= most):
            yield "fault", f"{plant.said(trait)} is beyond {least:g} to {most:g}"
    height, form = plant.traits.measure("height"), plant.word("life_form")
    if height is None or "height" not in plant.own:
        return
    if height.typical < 0.01:
        yield "fault", f"{plant.said('height')} is under a centimetre"
    elif height.typical > TALLEST.get(form, 120):
        yield "fault", f"{plant.said('height')} is more than a {form} reaches"
    elif form == "tree" and height.high < 3 and plant.taxon.rank == "species":
        yield "look", f"{plant.said('height')} is little for a tree, which is over 4 m when grown"


def _parts(plant: Plant) -> Iterator[Verdict]:
    for part, whole, why in PARTS:
        if not plant.stands(part, whole):
            continue
        less, more = plant.traits.measure(part), plant.traits.measure(whole)
        if less is None or more is None:
            continue
        if part == "foliage_height" and _grows_on(plant):
            continue  # its leaves grow tall when the flowers are over: each has a height of its own
        said = f"{plant.said(part)} is over {plant.said(whole)}: {why}"
        apart = less.low > more.high and plant.own.issuperset((part, whole))  # no reading of the two agrees
        if apart or (plant.one_word(part, whole) and less.typical > more.typical * SLACK):
            yield "fault", said
        elif less.typical > more.high * SLACK:
            yield "look", said


def _grows_on(plant: Plant) -> bool:
    """Its leaves are taller when the flowers are over."""
    return (plant.word("life_form") == "bulb" and plant.genus in LENGTHENING) or leafless_in_flower(plant)


def _age(plant: Plant) -> Iterator[Verdict]:
    years, height, tenth = (plant.traits.measure(name) for name in ("years_to_ultimate", "height", "height_10"))
    if plant.stands("years_to_ultimate", "height", "height_10") and years and height and tenth:
        if years.high <= 10 and tenth.high < height.low:
            said = f"{plant.said('years_to_ultimate')}, but {plant.said('height_10')} is not yet {plant.said('height')}"
            yield plant.level("years_to_ultimate", "height", "height_10"), said
        if years.low > 15 and tenth.low >= height.typical:
            yield "look", f"{plant.said('years_to_ultimate')}, but it has its {plant.said('height')} in the tenth"
    life = plant.traits.measure("lifespan")
    if plant.stands("lifespan", "years_to_ultimate") and years and life and life.high < years.low:
        yield "look", f"{plant.said('lifespan')} ends before {plant.said('years_to_ultimate')}"
    open_crown, closed = (plant.traits.measure(f"transmittance_{state}") for state in ("bare", "in_leaf"))
    if plant.stands("transmittance_bare", "transmittance_in_leaf") and darker(open_crown, closed):
        yield "fault", f"{plant.said('transmittance_bare')} is less than {plant.said('transmittance_in_leaf')}"


def darker(one: Measure | None, other: Measure | None) -> bool:
    """One is typically less than the other."""
    return one is not None and other is not None and one.typical < other.typical
