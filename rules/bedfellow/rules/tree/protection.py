"""TREE-01 and TREE-08: work over the roots of a tree that stays, and on trees that the law protects."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import pi
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.roots import root_protection_radius
from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.schema.geometry import inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

WORKS: dict[str, Level] = {"level change": "error", "excavation": "error", "cultivation": "warning"}


def over_roots(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Level changes, excavation or cultivation within the root protection area of a retained tree."""
    works = _works(border)
    for standing in border.retained if works else ():
        tree = standing.kept
        if standing.root_radius is None:
            yield Unjudged(tree.key, ("retained: stems",), tree.path)
            continue
        radius = round(standing.root_radius, 2)
        for work in works:
            near = _reach(work, tree.at)
            if round(near, 2) >= radius:
                continue
            level: Level = "error" if work.by == "machine" else WORKS[work.kind]
            yield Finding(
                level, (tree.key,), work.path,
                {"work": work.kind, "tree": standing.title, "distance": round(near, 2), "radius": radius,
                 "area": round(pi * radius**2), "source": "BS 5837:2012"},
                ((tree.path, "the tree"),), apart=(work.kind,), confidence="high",
            )  # fmt: skip


def _works(border: Border) -> list[Any]:
    return [s for s in border.plan.surfaces if s.kind in WORKS and (s.outline or s.points)]


def _reach(work: Any, stem: tuple[float, float]) -> float:
    """Metres from a stem to some work."""
    return 0.0 if work.outline and inside(stem, work.outline) else float(work.distance_to(stem))


def without_consent(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A protected tree that is moved, removed or dug about, with no consent noted."""
    works = _works(border)
    for plant in border.plan.retained:
        radius = root_protection_radius(plant.stems) if plant.stems else 0.0
        done = {"move": "moved", "remove": "removed"}.get(plant.action, "")
        if not done and any(round(_reach(work, plant.at), 2) < round(radius, 2) for work in works):
            done = "dug about"
        if not done or plant.consent or plant.protected is False:
            continue
        if plant.protected is None:
            yield Unjudged(plant.key, ("retained: protected",), plant.path)
            continue
        yield Finding(
            "error",
            (plant.key,),
            plant.path,
            {"tree": f"{plant.name} ({plant.key})" if plant.key != plant.name else plant.name, "done": done},
            confidence="high",
        )
