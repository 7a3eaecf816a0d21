"""SAFE-01: a harmful plant in reach of a child or an animal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import hypot, inf
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
    who = {PETS[pet] for pet in (brief.pets or ()) if pet in PETS}
    children = brief.children
    ages = children if isinstance(children, (tuple, list)) else ()
    if children is True or any(age < child_age for age in ages):
        who.add("people")
    return who


def _reach(border: Border, planting: Planting) -> float:
    points = [p for s in border.plan.surfaces if s.kind in REACHED_FROM for p in _along(s.outline or s.points)]
    return min((hypot(x - u, y - v) for x, y in planting.points for u, v in points), default=inf)


def _along(outline: Any, apart: float = 0.1) -> Iterator[tuple[float, float]]:
    ends = [*outline, outline[0]] if len(outline) > 2 else list(outline)
    if len(ends) == 1:
        yield ends[0]
    for (x0, y0), (x1, y1) in pairwise(ends):
        steps = max(1, int(hypot(x1 - x0, y1 - y0) / apart))
        for step in range(steps + 1):
            yield x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps
