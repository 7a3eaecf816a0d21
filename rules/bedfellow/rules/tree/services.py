"""TREE-04 and TREE-05: stems and roots against what they can break or cover."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.schema.geometry import distance_to

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
PIPES, COVERS = ("drain", "sewer"), ("drain", "sewer", "chamber")
WORDS = {"building": "a building", "drain": "a shallow drain", "wall": "a garden wall"}
WALLS = ("wall", "retaining wall")


def direct_damage(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A stem that will grow too thick for its distance to a building, a shallow drain or a garden wall."""
    for planting in border.plantings:
        if planting.life_form not in ("tree", "shrub") or not planting.points or planting.clipped:
            continue
        near = _nearest(border, planting, limits["shallow"])
        stem = planting.traits.measure("stem_diameter")
        if stem is None:
            if planting.life_form == "tree" and any(d < limits[f"{kind}_large"] for d, kind, _ in near):
                yield Unjudged(planting.key, ("stem_diameter",), planting.path)
            continue
        size = "small" if stem.typical < limits["medium"] else "medium" if stem.typical <= limits["large"] else "large"
        short = [(limits.get(f"{kind}_{size}", 0.0) - distance, distance, kind, path) for distance, kind, path in near]
        worst = max(short, key=lambda one: one[0], default=None)
        if worst is None or round(worst[0], 2) <= 0:
            continue
        lack, distance, kind, path = worst
        yield Finding(
            "warning", (planting.key,), planting.place,
            {"plant": planting.title, "key": planting.key, "what": WORDS[kind], "distance": round(distance, 2),
             "needed": round(distance + lack, 2), "stem": round(100 * stem.typical), "move": round(lack, 2)},
            ((path, WORDS[kind]),),
        )  # fmt: skip


def _nearest(border: Border, planting: Planting, shallow: float) -> list[tuple[float, str, Any]]:
    """Distance in m, kind and path of each building, shallow drain and garden wall."""
    found: list[tuple[float, str, Any]] = []
    for structure in border.plan.structures:
        kind = "building" if structure.kind == "building" else "wall" if structure.kind in WALLS else ""
        if kind and len(structure.points) >= 2:
            near = min(dist(point, structure.nearest_to(point)) for point in planting.points)
            found.append((near, kind, structure.path))
    shallow_pipes = (
        service
        for service in border.plan.services
        if service.kind in PIPES and service.ends and (service.depth is None or service.depth <= shallow)
    )
    return [*found, *((_away(planting, pipe), "drain", pipe.path) for pipe in shallow_pipes)]


def _away(planting: Planting, service: Any) -> float:
    """Metres from its nearest member to a service."""
    return min(distance_to(point, service.ends, closed=False) for point in planting.points)


def over_service(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A woody plant close by a drain, or spread over the cover of a chamber."""
    services = [s for s in border.plan.services if s.kind in COVERS and s.ends and not s.lift_out_tray]
    for planting in border.plantings:
        if not planting.woody or not planting.points or planting.temporary:
            continue
        for service in services:
            away, crown = _away(planting, service), border.crown(planting, SEASON)
            covered = (
                service.kind == "chamber"
                and crown is not None
                and crown.base < limits["headroom"]
                and crown.greatest_radius > away
            )
            if round(away, 2) > limits["distance"] and not covered:
                continue
            yield Finding(
                "warning", (planting.key,), planting.place,
                {"plant": planting.title, "key": planting.key, "service": service.kind, "distance": round(away, 2), "season": SEASON},
                ((service.path, f"the {service.kind}"),), case="roots" if round(away, 2) <= limits["distance"] else "cover",
            )  # fmt: skip
            break
