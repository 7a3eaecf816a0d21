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
    from bedfellow.schema.values import Window


def unwanted(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Pairs to be avoided, near in view, that will probably flower together for a week."""
    brief = border.plan.brief
    for number, (one, other) in enumerate(brief.avoid if brief else ()):
        for a, b in combinations(border.plantings, 2):
            if not ((_is(a, one) and _is(b, other)) or (_is(a, other) and _is(b, one))):
                continue
            first, second = a.traits.window("flower"), b.traits.window("flower")
            if first is None or second is None:
                unknown = a if first is None else b
                yield Unjudged("COLOUR-02", unknown.key, ("flower",), unknown.path)
                continue
            apart = round(a.distance_to(b), 2)
            chance = round(probability_together(_span(first), _span(second), limits["days"]), 2)
            if apart > limits["distance"] or chance <= limits["note"]:
                continue
            yield Finding(
                "COLOUR-02", "warning" if chance > limits["warning"] else "note", tuple(sorted((a.key, b.key))),
                f"{a.title} and {b.title}, a pair that the brief avoids, will flower together for a week or more in "
                f"{round(10 * chance) or 1} years out of ten, {apart:.1f} m apart.",
                ("brief", "avoid", number), ((a.path, a.key), (b.path, b.key)), {"chance": chance, "distance": apart},
                mend="Choose an earlier or later cultivar of one, or set them where they are not seen together.",
            )  # fmt: skip


def _span(window: Window) -> tuple[float, float]:
    return window.start.typical, window.end.typical


def _is(planting: Planting, word: str) -> bool:
    """A word of the brief names a plant by its key, or a colour of its flowers."""
    if planting.key == word:
        return True
    window = planting.traits.window("flower")
    return window is not None and any(word == colour or word in colour.split() for colour in window.colours)
