"""COLOUR-02: two plants that the brief does not want in flower together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.phenology import probability_together
from bedfellow.rules.finding import Finding, Unjudged

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting


def unwanted(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Pairs to be avoided, near in view, that will probably flower together for a week."""
    brief = border.plan.brief
    for number, (one, other) in enumerate(brief.avoid if brief else ()):
        for a, b in combinations(border.plantings, 2):
            if not ((_is(a, one) and _is(b, other)) or (_is(a, other) and _is(b, one))):
                continue
            apart = round(a.distance_to(b), 2)
            if apart > limits["distance"]:
                continue
            first, second = border.window(a, "flower"), border.window(b, "flower")
            if first is None or second is None:
                unknown = a if first is None else b
                yield Unjudged(unknown.key, (border.wanting(unknown, "flower"),), unknown.path)
                continue
            (one_span, (one_spread, _)), (other_span, (other_spread, _)) = border.varying(first), border.varying(second)
            together = probability_together(one_span, other_span, limits["days"], deviations=(one_spread, other_spread))
            chance = round(together, 2)
            if chance <= limits["note"]:
                continue
            yield Finding(
                "warning" if chance > limits["warning"] else "note", tuple(sorted((a.key, b.key))), ("brief", "avoid", number),
                {"first": a.title, "second": b.title, "chance": chance, "years": round(10 * chance) or 1, "distance": apart,
                 "days": limits["days"]},
                ((a.path, a.key), (b.path, b.key)),
            )  # fmt: skip


def _is(planting: Planting, word: str) -> bool:
    """A word of the brief names a plant by its key, or a colour of its flowers."""
    if planting.key == word:
        return True
    window = planting.traits.window("flower")
    return window is not None and any(word == colour or word in colour.split() for colour in window.colours)
