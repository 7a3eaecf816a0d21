"""SEASON-07 and -08: months without nectar, and fruit that never sets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.phenology import share_of_month
from bedfellow.rules.finding import UNRECOGNISED, Finding, Unjudged
from bedfellow.rules.words import listed

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

HUNGRY = ((3,), (9, 10))  # months in the north: early and late
FERTILE = ("male", "both", "mixed")


def no_nectar(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Nothing feeds insects in March, or in September and October, where the brief asks for it."""
    if not border.plan.brief or not border.plan.brief.pollinators:
        return
    if border.strangers:
        yield UNRECOGNISED
        return
    empty = []
    for months in HUNGRY:
        here = [border.month_here(number) for number in months]
        fed, unknown = False, []
        for planting in border.of_the_bed:
            window = border.window(planting, "flower")
            if window is None:
                continue
            span = window.start.typical, window.end.typical
            if any(share_of_month(span, number) >= limits["share_of_month"] for number in here):
                feeds = planting.traits.yes("nectar")
                fed = fed or bool(feeds)
                unknown += [planting] if feeds is None else []
        if not fed and unknown:
            yield from (Unjudged(planting.key, ("nectar",), planting.path) for planting in unknown)
        elif not fed:
            empty += here
    if empty:
        yield Finding("note", (), ("plants",), {"months": empty})


def no_partner(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Fruit that is counted on, on plants that need a partner which the plan does not have: one finding names all."""
    alone = []
    for planting in border.plantings:
        fruit = border.window(planting, "fruit")
        slight = fruit is None or fruit.strength < limits["strength"]
        if slight or planting.clipped or planting.traits.word("sex") == "male":
            continue
        needs = planting.traits.yes("needs_partner")
        if needs is None:
            yield Unjudged(planting.key, ("needs_partner",), planting.path)
        elif needs and border.strangers:
            yield replace(UNRECOGNISED, key=planting.key, at=planting.path)
        elif needs and not any(_fits(border, planting, p, limits["reach"]) for p in border.standing):
            alone.append(planting)
    if alone:
        yield Finding(
            "warning", tuple(sorted(planting.key for planting in alone)), alone[0].path,
            {"plants": listed([planting.title for planting in alone]), "reach": limits["reach"]},
            tuple((planting.path, planting.key) for planting in alone[1:]), case="one" if len(alone) == 1 else "several",
        )  # fmt: skip


def _fits(border: Border, planting: Planting, other: Planting, reach: float) -> bool:
    """The other would pollinate it: of the same genus, of another clone or sex, and near."""
    mine, its = planting.traits, other.traits
    if mine.name.split()[0] != its.name.split()[0] or planting.distance_to(other) > reach:
        return False
    if mine.word("sex") == "female":
        return its.word("sex") in FERTILE
    # Plants raised from seed are partners of one another; those of one cultivar are one clone.
    raised = mine.rank not in ("cultivar", "group") and len(planting.points) > 1
    return (
        mine.name != its.name or raised or (planting.number != other.number and mine.rank not in ("cultivar", "group"))
    )
