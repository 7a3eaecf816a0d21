"""TREE-01: digging or filling over the roots of a tree that stays."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import pi, sqrt
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.schema.geometry import inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border

CAP = 15.0  # m: BS 5837:2012 caps the circle at 15 m, 707 m²
WORKS: dict[str, Level] = {"level change": "error", "excavation": "error", "cultivation": "warning"}


def root_protection_radius(stems: Sequence[float]) -> float:
    """Radius in m of the root protection area for stem diameters in m, measured at 1.5 m.

    BS 5837:2012: 12 times the diameter, at most 15 m; two to five stems as √Σd², more than five as √(mean² · n), the
    last from memory.
    """
    if len(stems) > 5:
        mean = sum(stems) / len(stems)
        return min(CAP, 12 * sqrt(mean * mean * len(stems)))
    return min(CAP, 12 * sqrt(sum(stem * stem for stem in stems)))


def over_roots(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Level changes, excavation or cultivation within the root protection area of a retained tree."""
    works = [s for s in border.plan.surfaces if s.kind in WORKS and (s.outline or s.points)]
    for tree in border.plan.retained:
        if tree.action != "keep" or not works:
            continue
        if not tree.stems:
            yield Unjudged(tree.key, ("retained: stems",), tree.path)
            continue
        radius = round(root_protection_radius(tree.stems), 2)
        for work in works:
            near = 0.0 if work.outline and inside(tree.at, work.outline) else work.distance_to(tree.at)
            if round(near, 2) >= radius:
                continue
            level: Level = "error" if work.by == "machine" else WORKS[work.kind]
            yield Finding(
                level, (tree.key,), work.path,
                {"work": work.kind, "tree": f"{tree.name} ({tree.key})", "distance": round(near, 2), "radius": radius,
                 "area": round(pi * radius**2), "source": "BS 5837:2012"},
                ((tree.path, "the tree"),), apart=(work.kind,), confidence="high",
            )  # fmt: skip
