"""SAFE-02 to SAFE-04: harm over a fence, sap and thorns beside a path."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import dist, inf
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.safe.reach import SEVERITY, distance_to
from bedfellow.rules.words import listed, metres
from bedfellow.schema.geometry import distance_to as away

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
WALLS, ALONG = ("wall", "fence", "building", "retaining wall"), 0.5  # m: a wall as near stands on the boundary
GRAZING = ("horses", "livestock")
BESIDE = ("path", "seat", "play area")
SAP = {"skin": "its sap burns or irritates the skin", "sap and sun": "its sap blisters the skin in the sun"}
SEVERE = 3


def near_livestock(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant that harms grazing animals, within their reach or that of its clippings."""
    open_lines = [b for b in border.plan.boundaries if b.beyond == "paddock" and not b.double_fenced]
    walls = [
        s
        for s in border.plan.structures
        if (s.height or 0.0) >= limits["wall"] and s.kind in WALLS and len(s.points) >= 2
    ]
    lesser: list[Planting] = []
    for planting in border.plantings:
        size = border.size(planting, SEASON)
        low = size is not None and size.height.typical <= limits["wall"]
        fields = [line for line in open_lines if not (low and _walled(line, walls))]
        distance = min(
            (away(point, line.ends, closed=False) for line in fields for point in planting.points), default=inf
        )
        distance = round(min(distance, distance_to(border, planting, ("paddock",))), 2)
        if distance > limits["distance"]:
            continue
        hazards = planting.traits.hazards()
        if hazards is None:
            yield Unjudged(planting.key, ("hazards",), planting.path)
            continue
        harmful = [h for h in hazards if h.who in GRAZING and h.severity >= limits["severity"]]
        if not harmful:
            continue
        worst = max(harmful, key=lambda hazard: hazard.severity)
        if worst.severity < SEVERE or not planting.traits.sourced("hazards"):
            lesser.append(planting)
            continue
        yield Finding(
            "error", (planting.key,), (*planting.path, "name"),
            {"plant": planting.title, "distance": distance, "severity": SEVERITY[worst.severity], "part": worst.part,
             "harmed": listed(sorted({h.who for h in harmful})), "source": border.source(planting, "hazards")},
            tuple((line.path, "the boundary") for line in fields[:1]), confidence="high", case="severe",
        )  # fmt: skip
    if lesser:
        yield together("warning", lesser, (*lesser[0].path, "name"), {"distance": limits["distance"]}, case="lesser")


def _walled(line: Any, walls: Sequence[Any]) -> bool:
    """A wall runs along a boundary from end to end."""
    return all(any(dist(end, wall.nearest_to(end)) <= ALONG for wall in walls) for end in line.ends)


def sap_beside_path(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant whose sap harms the skin, where people brush past or sit."""
    for planting, distance in _beside(border, limits["distance"]):
        hazards = planting.traits.hazards()
        if hazards is None:
            yield Unjudged(planting.key, ("hazards",), planting.path)
            continue
        sap = [h for h in hazards if h.who == "people" and h.how in SAP and h.severity >= limits["severity"]]
        if sap and not _accepted(border, planting):
            worst = max(sap, key=lambda hazard: hazard.severity)
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "distance": distance, "reach": _reach(distance), "harm": SAP[worst.how],
                 "source": border.source(planting, "hazards")},
            )  # fmt: skip


def thorns_beside_path(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Thorns or spines where people brush past or sit."""
    for planting, distance in _beside(border, limits["distance"]):
        thorns = planting.traits.yes("thorns")
        if thorns is None and planting.life_form in ("tree", "shrub", "climber"):
            yield Unjudged(planting.key, ("thorns",), planting.path)
        elif thorns and not _accepted(border, planting):
            evidence = {"plant": planting.title, "key": planting.key, "distance": distance, "reach": _reach(distance)}
            yield Finding("warning", (planting.key,), planting.place, evidence)


def _beside(border: Border, most: float) -> Iterator[tuple[Planting, float]]:
    """Plantings whose leaves come near a path, seat or play area when grown, and the distance in m, 0 for what hangs over."""
    for planting in border.plantings:
        crown = border.crown(planting, SEASON)
        reach = 0.0 if crown is None or planting.supported else crown.greatest_radius
        distance = round(distance_to(border, planting, BESIDE) - reach, 2)
        if distance <= most:
            yield planting, max(distance, 0.0)


def _reach(distance: float) -> str:
    return f"to {metres(distance)} from" if distance > 0 else "over"


def _accepted(border: Border, planting: Planting) -> bool:
    """Only adults use the garden, and the client has been told."""
    brief = border.plan.brief
    return bool(planting.line.client_informed and brief and brief.children == ())
