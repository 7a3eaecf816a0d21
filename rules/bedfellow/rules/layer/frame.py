"""LAYER-03, LAYER-04, LAYER-06 and LAYER-07: the framework of a border, what is repeated in it, and its feet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from math import dist
from typing import TYPE_CHECKING, Any

from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.layer.levels import styles
from bedfellow.schema.geometry import area

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON = 10
FRAME = ("tree", "shrub", "bamboo")
SOFT, LOW = {"herbaceous", "meadow"}, {"gravel", "meadow"}
Circle = tuple[float, float, float]


def too_thin(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Trees, shrubs and evergreens take up too little of the area, or leave a long run of the frontage without."""
    beds = border.plan.borders
    if styles(border) & SOFT:
        return
    from bedfellow.rules.border.cover import covered, ground_of, share

    frame = _circles(border, (p for p in border.plantings if p.life_form in FRAME or p.evergreen))
    grounds = [ground_of(bed.outline) for bed in beds]
    size = sum(ground.area for ground in grounds) or 1.0
    part = sum(ground.area * share(ground, covered(ground, frame)) for ground in grounds) / size
    start, end = _longest_gap(border, frame)
    if round(part, 2) < limits["share"]:
        case = "thin"
    elif round(end - start, 2) > limits["run"]:
        case = "gap"
    else:
        return
    yield Finding(
        "warning", (), beds[0].path,
        {"share": round(part, 2), "start": round(start, 1), "end": round(end, 1), "run": round(end - start, 1), "season": SEASON},
        case=case,
    )  # fmt: skip


def no_anchor(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A long run of the frontage without a tree, shrub or evergreen of some height."""
    if styles(border) & LOW:
        return
    tall = (
        planting
        for planting in border.plantings
        if (planting.life_form in FRAME or planting.evergreen)
        and (size := border.size(planting, SEASON))
        and size.height.typical >= limits["height"]
    )
    start, end = _longest_gap(border, _circles(border, tall))
    if round(end - start, 2) > limits["run"]:
        yield Finding(
            "note", (), border.plan.borders[0].path,
            {"start": round(start, 1), "end": round(end, 1), "run": round(end - start, 1), "height": limits["height"]},
        )  # fmt: skip


def _circles(border: Border, plantings: Iterable[Planting]) -> list[Circle]:
    """Where these plants stand and how wide they are; also what is retained, and plants that are not known."""
    circles = [
        (x, y, crown.greatest_radius)
        for planting in plantings
        if border.present(planting, SEASON) and (crown := border.crown(planting, SEASON))
        for x, y in planting.points
    ]
    retained = [(*standing.kept.at, standing.reach or 0.0) for standing in border.retained]
    return [*circles, *retained, *border.strangers]


def _longest_gap(border: Border, circles: Iterable[Circle]) -> tuple[float, float]:
    """The longest run of the frontage that no circle touches, in m from the left."""
    left, right = border.frontage()
    longest, reached = (left, left), left
    for start, end in [*sorted((x - radius, x + radius) for x, _, radius in circles), (right, right)]:
        if min(start, right) - reached > longest[1] - longest[0]:
            longest = (reached, min(start, right))
        reached = max(reached, end)
    return longest


def all_singles(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Most kinds of plant are there once only, and none comes again in another place."""
    beds = border.plan.borders
    if sum(area(bed.outline) for bed in beds) <= limits["least_area"]:
        return
    by_name: dict[str, list[Planting]] = defaultdict(list)
    for planting in border.plantings:
        by_name[planting.traits.name].append(planting)
    singles = [name for name, plantings in by_name.items() if sum(p.line.number for p in plantings) == 1]
    again = any(len(plantings) > 1 or _apart(plantings[0]) >= limits["apart"] for plantings in by_name.values())
    if again or len(by_name) < limits["least_kinds"] or len(singles) / len(by_name) <= limits["share"]:
        return
    yield Finding("note", (), beds[0].path, {"singles": len(singles), "kinds": len(by_name)})


def _apart(planting: Planting) -> float:
    """The greatest distance in m between members that the plan places itself."""
    at = planting.line.at
    return max((dist(at[0], point) for point in at), default=0.0)


def bare_legs(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Shrubs that go bare at the base with nothing before them, in one note."""
    bare = []
    sides = {view.side for view in border.views}
    for planting in border.plantings:
        if (
            planting.life_form != "shrub"
            or planting.supported
            or planting.line.clear_stem
            or planting.clipped
            or planting.temporary
        ):
            continue
        leggy = planting.traits.yes("leggy")
        if leggy is None:
            yield Unjudged(planting.key, ("leggy",), planting.path)
        elif leggy and any(not _skirted(border, planting, point, sides, limits) for point in planting.points):
            bare.append(planting)
    if bare:
        yield together("note", bare, bare[0].place)


def _skirted(
    border: Border, shrub: Planting, foot: tuple[float, float], sides: set[str], limits: Mapping[str, Any]
) -> bool:
    """Leaves of some height near its foot, on a side from which it is seen."""
    for other in border.plantings:
        crown = border.crown(other, SEASON)
        if (
            other is shrub
            or crown is None
            or other.temporary
            or other.life_form == "bulb"
            or crown.top < limits["skirt"]
        ):
            continue
        for point in other.points:
            before = point[1] <= foot[1] if sides == {"front"} else point[1] >= foot[1] if sides == {"back"} else True
            if before and dist(point, foot) - crown.greatest_radius <= limits["within"]:
                return True
    return any(dist(foot, (x, y)) - radius <= limits["within"] for x, y, radius in border.strangers)
