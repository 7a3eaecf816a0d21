"""A card for each plant: when and how it is pruned or cut back, what size that keeps, and what to take care of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bedfellow.linter.report.handover.care import AT_HEIGHT
from bedfellow.linter.report.handover.orders import SELF_SOWN
from bedfellow.linter.report.handover.pruning import REACH, own_tasks, pruned
from bedfellow.linter.report.handover.times import spans
from bedfellow.rules.words import metres

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

GROWN = 10


@dataclass(frozen=True, slots=True)
class Card:
    """keys: of the lines that are treated alike; ways: (when, how, where from); size: kept or reached, in words."""

    name: str
    keys: tuple[str, ...]
    ways: tuple[tuple[str, str, str], ...]
    size: str
    care: tuple[str, ...]


def cards(border: Border) -> tuple[Card, ...]:
    """One for all lines of a plant that are treated alike, by name."""
    found: dict[tuple[object, ...], Card] = {}
    for planting in border.plantings:
        if planting.line.status in SELF_SOWN:
            continue
        ways, size, care = tuple(_ways(border, planting)), _size(border, planting), tuple(_care(border, planting))
        same = (planting.traits.name, ways, size, care)
        keys = (*found[same].keys, planting.key) if same in found else (planting.key,)
        found[same] = Card(planting.traits.name, keys, ways, size, care)
    return tuple(sorted(found.values(), key=lambda card: (card.name.casefold(), card.keys)))


def _ways(border: Border, planting: Planting) -> Iterator[tuple[str, str, str]]:
    for task in own_tasks(border, planting):
        often = "" if (task.every or 1) == 1 else f", every {task.every:g} years"
        yield (spans((task.month,)) if task.month else "when it is needed") + often, task.task, "the plan"
    for way in pruned(border, planting):
        when = spans(way.months) if way.months else "time not known"
        when += f", every {way.every} years" if way.every > 1 else ""
        when += f", from season {way.first}" if way.first > 1 else ""
        yield when, way.how, way.basis
    if planting.temporary:
        yield "at the end of its time", "take it out; it is not cut back", "the plan"


def _size(border: Border, planting: Planting) -> str:
    kept = planting.line.clipped or planting.line.pruned_to
    if kept and (kept.height or kept.width):
        sizes = [f"{metres(size)} {way}" for size, way in ((kept.height, "high"), (kept.width, "wide")) if size]
        return f"kept {' and '.join(sizes)}"
    season = GROWN if border.present(planting, GROWN) else 1
    size = border.size(planting, season)
    if size is None:
        return "its size is not known"
    return f"{metres(size.height.typical)} high and {metres(size.spread.typical)} wide in season {season}"


def _care(border: Border, planting: Planting) -> Iterator[str]:
    size = border.size(planting, GROWN)
    tall = size is not None and planting.woody and size.height.typical > REACH
    ways = pruned(border, planting)
    tall = tall and not (ways and all(way.low for way in ways))
    if planting.is_tree and (tall or size is None):
        yield "Pruning of trees above reach is for a qualified arborist; find out whether it is protected before it is cut."
    elif tall:
        yield AT_HEIGHT
    hazards = planting.traits.hazards()
    if hazards is None:
        yield "No entry on hazards, which does not mean safe: wear gloves."
    for how, words in (
        ("sap and sun", "Its sap burns the skin in sunlight: cover arms and legs, wear gloves and cut on a dull day."),
        ("skin", "Its sap can harm the skin: wear gloves, and keep it from the eyes."),
        ("spines", "It wounds: wear thick gloves and eye protection."),
        ("breathed", "Dust from it is harmful: wear a mask."),
    ):
        if any(hazard.how == how for hazard in hazards or ()):
            yield words
    if planting.traits.yes("thorns") and not any(hazard.how == "spines" for hazard in hazards or ()):
        yield "Thorny: wear thick gloves and eye protection."
    if any(hazard.how == "eaten" and hazard.severity >= 2 for hazard in hazards or ()):
        yield "Harmful if eaten: clear every cutting away, and keep them from children, pets and livestock."
