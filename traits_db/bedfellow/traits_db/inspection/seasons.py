"""Dates that contradict one another: leaves, flowers, dying down."""

from __future__ import annotations

from collections.abc import Iterator

from bedfellow.schema.values import YEAR, Day, Window
from bedfellow.traits_db.inspection.remark import Plant, Verdict

# Bulbs and perennials known to flower without leaves, or as the leaves go. From memory.
NAKED = frozenset(
    {
        "Acis", "Allium", "Amaryllis", "Amarine", "Arum", "Biarum", "Brunsvigia", "Colchicum", "Crocus", "Cyclamen", "Eranthis",
        "Galanthus", "Habranthus", "Leucojum", "Lycoris", "Nerine", "Petasites", "Prospero", "Scilla", "Sternbergia", "Tussilago",
        "Zephyranthes",
    }
)  # fmt: skip
WOODY = ("tree", "shrub", "subshrub", "climber", "bamboo")
LENGTHENING = NAKED | {"Iris"}  # bulbs whose leaves grow on when the flowers are over; from memory
SLACK = 15  # days: a published month is good to a fortnight
ALWAYS = 345  # days in leaf that leave no time for a bare season


def _around(day: float, days: float) -> Window:
    return Window(Day(day, day, day), Day(day + days, day + days, day + days))


MIDSUMMER = _around(165, 14)
LATE_SUMMER = _around(235, 7)


def seasons(plant: Plant) -> Iterator[Verdict]:
    """Verdicts on the dates of a plant."""
    yield from _flower(plant)
    yield from _leaves(plant)
    yield from _dying(plant)


def days_apart(one: Window, other: Window) -> float:
    """Days from the end of one window to the start of the other, the shorter way round the year; 0 where they overlap."""
    starts_after = (other.start.typical - one.start.typical) % YEAR
    starts_before = (one.start.typical - other.start.typical) % YEAR
    if starts_after <= one.length or starts_before <= other.length:
        return 0
    return min(starts_after - one.length, starts_before - other.length)


def leafless_in_flower(plant: Plant) -> bool:
    """It flowers when it has no leaves, as colchicum and nerine do."""
    flower, leaf = plant.traits.window("flower"), plant.traits.window("in_leaf")
    return flower is not None and leaf is not None and days_apart(flower, leaf) > 0


def _flower(plant: Plant) -> Iterator[Verdict]:
    flower, leaf = plant.traits.window("flower"), plant.traits.window("in_leaf")
    form = plant.word("life_form")
    if flower is None or leaf is None or not plant.stands("flower", "in_leaf") or form in WOODY:
        return
    apart = days_apart(flower, leaf)
    if apart <= SLACK or plant.genus in NAKED:
        return
    wrong = form == "bulb" and apart > 2 * SLACK
    yield (
        "fault" if wrong else "look",
        f"{plant.said('flower')}, {apart:.0f} days from its leaves: {plant.said('in_leaf')}",
    )


def _leaves(plant: Plant) -> Iterator[Verdict]:
    leaf, kind = plant.traits.window("in_leaf"), plant.word("foliage")
    if leaf is None or not plant.stands("in_leaf", "foliage"):
        return
    if kind == "evergreen" and leaf.length < ALWAYS:
        yield "fault", f"evergreen, but its leaves fall: {plant.said('in_leaf')}"
    elif kind in ("deciduous", "summer-dormant", "wintergreen") and leaf.length >= ALWAYS:
        yield "fault", f"{kind}, but never without leaves: {plant.said('in_leaf')}"
    elif kind == "deciduous" and days_apart(leaf, MIDSUMMER) > 0:
        yield "look", f"deciduous, but without leaves at midsummer: {plant.said('in_leaf')}"
    elif kind == "summer-dormant" and days_apart(leaf, LATE_SUMMER) == 0:
        yield "look", f"summer-dormant, but in leaf in August: {plant.said('in_leaf')}"


def _dying(plant: Plant) -> Iterator[Verdict]:
    leaf, dying = plant.traits.window("in_leaf"), plant.traits.window("die_back")
    if leaf is None or dying is None or not plant.stands("die_back", "in_leaf"):
        return
    if days_apart(leaf, dying) > SLACK:
        yield "fault", f"{plant.said('die_back')}, when it has no leaves: {plant.said('in_leaf')}"
        return
    off = (dying.end.typical - leaf.end.typical + YEAR / 2) % YEAR - YEAR / 2
    if abs(off) > 35:
        yield (
            "look",
            f"{plant.said('die_back')} does not end with its leaves, {abs(off):.0f} days off: {plant.said('in_leaf')}",
        )
