"""SAFE-01: a harmful plant in reach of a child or an animal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.rules.words import listed, metres

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEVERITY = ("", "minor", "marked", "severe")
REACHED_FROM = ("lawn", "path", "seat", "paving")
PETS = {"cat": "cats", "cats": "cats", "dog": "dogs", "dogs": "dogs", "horse": "horses", "horses": "horses"}


def harmful_in_reach(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Plants known to harm those whom the brief says use the garden."""
    who = _who(border, limits["child_age"])
    if not who:
        return
    for planting in border.plantings:
        hazards = planting.traits.hazards()
        if hazards is None:
            yield Unjudged("SAFE-01", planting.key, ("hazards",), planting.path)
            continue
        harmful = [h for h in hazards if h.who in who and h.severity >= limits["severity"]]
        if not harmful:
            continue
        worst = max(harmful, key=lambda hazard: hazard.severity)
        reach = _reach(border, planting)
        sourced = planting.traits.sourced("hazards")
        level: Level = "error" if worst.severity == 3 and sourced and reach <= limits["reach"] else "warning"
        harmed = listed(sorted({h.who for h in harmful}))
        near = f" It stands {metres(reach)} from a lawn, path or seat." if reach < inf else ""
        yield Finding(
            "SAFE-01", level, (planting.key,),
            f"{planting.title} is known to harm {harmed}: {SEVERITY[worst.severity]} if {_how(worst.how)} ({worst.part}).{near}",
            (*planting.path, "name"), (), {"hazards": [list(h) for h in harmful], "reach": None if reach == inf else round(reach, 2)},
            confidence="high" if sourced else "medium",
            mend="Choose another plant, or keep it at the back of a deep bed and tell the client.",
        )  # fmt: skip


def _how(how: str) -> str:
    return {"eaten": "eaten", "skin": "it touches the skin", "sap and sun": "its sap and the sun meet on the skin",
            "spines": "touched", "breathed": "breathed in"}[how]  # fmt: skip


def _who(border: Border, child_age: float) -> set[str]:
    brief = border.plan.brief
    if brief is None:
        return set()
    who = {PETS[pet] for pet in brief.pets if pet in PETS}
    if any(age < child_age for age in brief.children or ()):
        who.add("people")
    return who


def _reach(border: Border, planting: Planting) -> float:
    surfaces = [surface for surface in border.plan.surfaces if surface.kind in REACHED_FROM]
    return min((surface.distance_to(point) for surface in surfaces for point in planting.points), default=inf)
