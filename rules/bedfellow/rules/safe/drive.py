"""SAFE-05 and SAFE-06: what hides a drive, and what falls on paving."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.schema.geometry import distance_to, inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
WALKED = ("path", "paving", "deck", "seat", "drive")
DROPS = ("tree", "shrub", "climber")


def hides_drive(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that grows too tall in the splay of a drive."""
    for surface in border.plan.surfaces:
        splay = surface.splay
        if splay is None:
            continue
        most = splay.height or limits["height"]
        for planting in border.plantings:
            size, crown = border.size(planting, SEASON), border.crown(planting, SEASON)
            # What is trained on a structure beside the splay stays there.
            if not _over(planting, crown.greatest_radius if crown and not planting.supported else 0.0, splay.outline):
                continue
            if size is None:
                yield Unjudged(planting.key, border.wanting_size(planting), planting.path)
                continue
            if round(size.height.typical, 2) <= most or (planting.line.clear_stem or 0.0) >= limits["clear"]:
                continue
            sure = planting.traits.sourced("height") or planting.clipped or size.height.low > 1.5 * most
            yield Finding(
                "error" if sure and size.height.low > most else "warning", (planting.key,), planting.place,
                {"plant": planting.title, "height": round(size.height.typical, 2), "most": most, "season": SEASON},
                ((splay.path, "the sight line"),), confidence="high" if sure else "medium",
            )  # fmt: skip


def _over(planting: Planting, radius: float, ground: tuple[tuple[float, float], ...]) -> bool:
    """Some of its leaves are over an area."""
    return any(inside(point, ground) or distance_to(point, ground) < radius for point in planting.points)


def falls_on_paving(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Fruit over paving, in one note."""
    grounds = [surface.ground for surface in border.plan.surfaces if surface.kind in WALKED and surface.ground]
    found = [
        planting
        for planting in border.plantings
        if planting.life_form in DROPS
        and (fruit := planting.traits.window("fruit"))
        and fruit.strength >= limits["strength"]
        and not (planting.clipped or planting.traits.yes("sterile"))
        and (crown := border.crown(planting, SEASON))
        and any(_over(planting, crown.greatest_radius - limits["over"], ground) for ground in grounds)
    ]
    if found:
        yield together("note", found, found[0].place)
