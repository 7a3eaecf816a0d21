"""What a plant takes from the rest of its border: light, and ground among its roots; and what stands within their reach."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import dist
from typing import TYPE_CHECKING, Any, NamedTuple

from bedfellow.schema.geometry import inside

if TYPE_CHECKING:
    from bedfellow.linter.engine import Options
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting
    from bedfellow.rules.finding import Finding

DARKER = 0.1  # of the open site's beam: ground that loses as much is in its shade (common practice)
CELL = 0.25  # m, of the map of the ground


class Lit(NamedTuple):
    """The sun of a planting with it and without: hours at midsummer, share of the open beam, codes of LIGHT findings."""

    planting: Planting
    june: tuple[float, float]
    share: tuple[float, float]
    codes: tuple[tuple[str, ...], tuple[str, ...]]


class Shading(NamedTuple):
    """Plantings whose sun it takes; shares of the beds' ground that lose a tenth of the beam or more by it, and under its crown."""

    plantings: tuple[Lit, ...]
    ground: float | None
    beneath: float | None


class Roots(NamedTuple):
    """The root protection area: radius in m, (planting, members in it), kinds of digging in it, and the share of the beds in it."""

    radius: float
    plantings: tuple[tuple[Planting, int], ...]
    works: tuple[str, ...]
    share: float | None


class Building(NamedTuple):
    """Within reach of its roots on soil that shrinks, or may: m to the building, and how far they may reach (TREE-02)."""

    distance: float
    zone: float


class State(NamedTuple):
    """A border and what is found in it; its light is worked out once however many plants are asked about."""

    border: Border
    findings: tuple[Finding, ...]
    light: Mapping[int, tuple[float, float, float, float]]
    ground: tuple[Sequence[float], Sequence[float], Sequence[Sequence[float | None]]] | None


def shading(stays: State, goes: State, planting: Planting, season: int) -> Shading | None:
    """What it shades, the plantings that lose most of the beam first; None where its size or the latitude is not known."""
    crown = stays.border.crown(planting, season)
    if crown is None or stays.border.plan.site.latitude is None:
        return None
    codes = _light_codes(stays.findings), _light_codes(goes.findings)
    lit = []
    for one in stays.border.plantings:
        if one.number not in stays.light or one.number not in goes.light:
            continue
        here, gone = stays.light[one.number], goes.light[one.number]
        row = Lit(one, (here[0], gone[0]), (here[3], gone[3]), (codes[0].get(one.key, ()), codes[1].get(one.key, ())))
        if (
            round(row.june[1] - row.june[0], 1) > 0
            or round(row.share[1] - row.share[0], 2) > 0
            or row.codes[0] != row.codes[1]
        ):
            lit.append(row)
    lit.sort(key=lambda row: (row.share[0] - row.share[1], row.planting.key))
    if stays.ground is None or goes.ground is None:
        return Shading(tuple(lit), None, None)
    xs, ys, here_ = stays.ground
    cells = [
        ((x, y), share, other)
        for y, row, row_without in zip(ys, here_, goes.ground[2], strict=True)
        for x, share, other in zip(xs, row, row_without, strict=True)
        if share is not None and other is not None
    ]
    whole = len(cells) or 1
    return Shading(
        tuple(lit),
        sum(other - share >= DARKER for _, share, other in cells) / whole,
        sum(dist(middle, planting.points[0]) <= crown.greatest_radius for middle, *_ in cells) / whole,
    )


def _light_codes(findings: Sequence[Finding]) -> dict[str, tuple[str, ...]]:
    codes: dict[str, set[str]] = {}
    for finding in findings:
        if finding.code.startswith("LIGHT-"):
            for key in finding.keys:
                codes.setdefault(key, set()).add(finding.code)
    return {key: tuple(sorted(some)) for key, some in codes.items()}


def roots(border: Border, planting: Planting) -> Roots | None:
    """What stands and is dug in its root protection area; None where its stem is not stated."""
    from bedfellow.rules.border.cover import covered, ground_of, share
    from bedfellow.rules.tree.protection import WORKS

    radius, stem = planting.root_radius, planting.points[0]
    if radius is None:
        return None
    near = [(p, sum(dist(point, stem) < radius for point in p.points)) for p in border.plantings]
    works = [
        s for s in border.plan.surfaces if s.kind in WORKS and (s.outline or s.points) and _reach(s, stem) < radius
    ]
    grounds = [ground_of(bed.outline) for bed in border.plan.borders]
    area = sum(ground.area for ground in grounds)
    taken = sum(ground.area * share(ground, covered(ground, [(*stem, radius)])) for ground in grounds)
    return Roots(
        radius, tuple((p, n) for p, n in near if n), tuple(work.kind for work in works), taken / area if area else None
    )


def _reach(work: Any, stem: tuple[float, float]) -> float:
    return 0.0 if work.outline and inside(stem, work.outline) else float(work.distance_to(stem))


def building(border: Border, planting: Planting, options: Options) -> Building | None:
    """As TREE-02 has it for a tree that is planted; a demand that is not known is taken as high, and a height as it is now."""
    from bedfellow.rules.tree.building import DEMAND

    buildings = [s for s in border.plan.structures if s.kind == "building" and len(s.points) >= 2]
    if not planting.is_tree or not buildings or border.plan.site.shrinkable is False:
        return None
    full, demand = planting.traits.measure("height"), planting.traits.step("water_demand")
    height = max(full.typical if full else 0.0, planting.kept.height or 0.0)
    zone = options.settings.limits_of(options.settings.checks["TREE-02"])[DEMAND[demand or 3]] * height
    stem = planting.points[0]
    distance = min(dist(stem, building.nearest_to(stem)) for building in buildings)
    return Building(distance, zone) if distance < zone else None
