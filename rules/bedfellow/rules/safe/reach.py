"""SAFE-01: a harmful plant in reach of a child or an animal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
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
    """Plants known to harm those whom the brief says use the garden, or may use it for all that it says."""
    brief = border.plan.brief
    unstated = brief is None or brief.children is None
    who = _who(border, limits["child_age"])
    told: list[Planting] = []
    for planting in border.plantings:
        hazards = planting.traits.hazards()
        if hazards is None:
            yield Unjudged(planting.key, ("hazards",), planting.path)
            continue
        serious = [h for h in hazards if h.severity >= limits["severity"]]
        harmful = [h for h in serious if h.who in who]
        if unstated and any(h.who == "people" for h in serious):
            told.append(planting)
        if not harmful:
            continue
        worst = max(harmful, key=lambda hazard: hazard.severity)
        reach = distance_to(border, planting, REACHED_FROM)
        sourced = planting.traits.sourced("hazards")
        level: Level = "error" if worst.severity == 3 and sourced and reach <= limits["reach"] else "warning"
        if planting.line.client_informed and reach > limits["reach"]:
            level = "note"
        yield Finding(
            level, (planting.key,), (*planting.path, "name"),
            {"plant": planting.title, "harmed": listed(sorted({h.who for h in harmful})), "severity": SEVERITY[worst.severity],
             "how": _how(worst.how), "part": worst.part, "hazards": [list(h) for h in harmful],
             "reach": None if reach == inf else round(reach, 2), "source": border.source(planting, "hazards"),
             "near": f"It stands {metres(reach)} from a lawn, path or seat." if reach < inf else ""},
            confidence="high" if sourced else "medium", case="harmful",
        )  # fmt: skip
    if told:
        yield Finding(
            "warning", (), ("brief",) if brief else ("plants",),
            {"plants": listed([planting.title for planting in told])},
            tuple(((*planting.path, "name"), planting.key) for planting in told), apart=("children",), confidence="high", case="unstated",
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


def distance_to(border: Border, planting: Planting, kinds: Sequence[str]) -> float:
    """Metres from the nearest member to a surface of these kinds; infinite where there is none."""
    surfaces = [surface for surface in border.plan.surfaces if surface.kind in kinds]
    return min((surface.distance_to(point) for surface in surfaces for point in planting.points), default=inf)
