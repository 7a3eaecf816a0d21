"""SPACE-10 to SPACE-12: a slow plant overrun, a plant too big for its bed, a plant in a retained crown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import dist, pi
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.crown import lens, widest_together
from bedfellow.rules.finding import Finding, Unjudged, together
from bedfellow.rules.space.drift import ACCENTS
from bedfellow.rules.space.spacing import takes_no_room
from bedfellow.rules.words import metres
from bedfellow.schema.geometry import inside

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border
    from bedfellow.rules.border.planting import Planting

SEASON, YOUNG = 10, (1, 2, 3, 4)


def overtaken(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A slow plant under the leaves of a faster neighbour before it is established."""
    for pair in border.neighbours(YOUNG[-1]):
        for slow, fast in ((pair.first, pair.second), (pair.second, pair.first)):
            if not _slow(slow, limits) or _slow(fast, limits) or slow.line.mix or not _overruns(fast, slow):
                continue
            found = _covered(border, slow, fast, pair.distance, limits)
            if found is None:
                continue
            season, share = found
            yield Finding(
                "warning", tuple(sorted((slow.key, fast.key))), slow.place,
                {"slow": slow.title, "fast": fast.title, "slow_key": slow.key, "share": share, "season": season,
                 "distance": round(pair.distance, 2)},
                ((fast.path, f"{fast.key} stands here"),),
            )  # fmt: skip


def _slow(planting: Planting, limits: Mapping[str, Any]) -> bool:
    trait, least = ("years_to_ultimate", "slow_years") if planting.woody else ("seasons_to_establish", "slow_seasons")
    pace = planting.traits.measure(trait)
    return pace is not None and pace.typical >= limits[least] and not planting.temporary


def _overruns(fast: Planting, slow: Planting) -> bool:
    """It is no nurse, does no harm by its ways, and the plan does not set the slow plant amid its drift."""
    if fast.temporary or fast.line.purpose == "nurse" or takes_no_room(fast) or fast.traits.name == slow.traits.name:
        return False
    return not (fast.line.outline and any(inside(point, fast.line.outline) for point in slow.points))


def _covered(
    border: Border, slow: Planting, fast: Planting, apart: float, limits: Mapping[str, Any]
) -> tuple[int, float] | None:
    """The first young season in which too much of the slow plant lies under taller leaves, and the share."""
    for season in YOUNG:
        under, over = border.crown(slow, season), border.crown(fast, season)
        if under is None or over is None or over.top < under.top + limits["taller"]:
            continue
        share = lens(under.greatest_radius, over.greatest_radius, apart) / (pi * under.greatest_radius**2)
        if round(share, 2) > limits["share"]:
            return season, round(share, 2)
    return None


def too_big(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Wider than its bed is deep; or taller than two thirds of that, repeated, in one note."""
    tall: list[tuple[Planting, float]] = []
    for planting in border.plantings:
        bed = next((b for b in border.plan.borders for point in planting.points[:1] if inside(point, b.outline)), None)
        size = border.size(planting, SEASON)
        if bed is None or size is None or planting.supported or planting.line.hedge or planting.temporary:
            continue
        if planting.life_form == "tree" and planting.line.clear_stem:
            continue
        depth, spread, height = round(bed.depth, 2), round(size.spread.typical, 2), size.height.typical
        if spread > depth:
            yield Finding(
                "warning", (planting.key,), (*planting.path, "name"),
                {"plant": planting.title, "spread": spread, "depth": depth, "season": SEASON},
                ((bed.path, "the bed"),), case="wide",
            )  # fmt: skip
        elif (
            not planting.woody
            and height > limits["height"] * depth
            and len(planting.points) > 1
            and planting.line.purpose not in ACCENTS
        ):
            tall.append((planting, height))
    if tall:
        said = [f", {metres(height)}" for _, height in tall]
        at = (*tall[0][0].path, "name")
        yield together("note", [planting for planting, _ in tall], at, {"share": limits["height"]}, said, case="tall")


def in_retained_crown(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A new plant in the room that a retained one will fill."""
    for standing in border.retained:
        above = border.crown(standing, SEASON)
        if above is None:
            wanting = tuple(f"retained: {name}" for name in ("height", "crown") if not getattr(standing.kept, name))
            yield Unjudged(standing.kept.key, wanting, standing.kept.path)
            continue
        for planting in border.plantings:
            crown = border.crown(planting, SEASON)
            if (
                crown is None
                or not planting.points
                or planting.supported
                or planting.temporary
                or takes_no_room(planting)
            ):
                continue
            if not planting.woody and crown.top <= limits["skirt"]:
                continue
            meeting = widest_together(crown, above, limits["shared_height"])
            distance = min(dist(point, standing.kept.at) for point in planting.points)
            if meeting is None or meeting[0] <= 0 or round(distance / meeting[0], 2) >= limits["room"]:
                continue
            yield Finding(
                "warning", tuple(sorted((planting.key, standing.kept.key))), planting.place,
                {"plant": planting.title, "key": planting.key, "retained": standing.title, "distance": round(distance, 2),
                 "needed": round(meeting[0], 2), "q": round(distance / meeting[0], 2), "season": SEASON,
                 "move": round(0.95 * meeting[0] - distance, 2)},
                ((standing.kept.path, "it stands here"),),
            )  # fmt: skip
