"""SPACE-01 and SPACE-02: crowns that want the same room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import hypot, pi
from typing import TYPE_CHECKING, Any

from bedfellow.rules.border.crown import lens, widest_together
from bedfellow.rules.finding import Finding, Level, Unjudged
from bedfellow.rules.words import metres

if TYPE_CHECKING:
    from bedfellow.rules.border.border import Border, Pair
    from bedfellow.rules.border.planting import Planting

SEASON = 10
GROUP = 3  # plants; more are a drift, of which some may stand under a skirt


def too_close(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """Different plants whose crowns share height and want the same room at year 10."""
    for planting in border.plantings:
        if border.size(planting, SEASON) is None and not planting.supported:
            yield Unjudged(planting.key, border.wanting_size(planting), planting.path)
    for pair in border.neighbours(SEASON):
        if _may_touch(border, pair, limits["skirt"]):
            continue
        room = _room(border, pair, limits["shared_height"])
        if room is None:
            continue
        favourable, typical, needed = room
        a, b = pair.first, pair.second
        sourced = _sourced(a) and _sourced(b)
        level = _level(a.woody and b.woody, sourced, favourable, typical, limits)
        if level is None:
            continue
        spreads = [border.size(p, SEASON).spread.typical for p in (a, b)]  # type: ignore[union-attr]
        mover, other = (b, a) if len(b.points) <= len(a.points) else (a, b)
        yield Finding(
            level, tuple(sorted((a.key, b.key))), (*mover.path, "at"),
            {"first": a.title, "second": b.title, "distance": round(pair.distance, 2), "needed": round(needed, 2),
             "short": round(needed - pair.distance, 2), "q": typical, "season": SEASON, "first_spread": round(spreads[0], 1),
             "second_spread": round(spreads[1], 1), "mover": mover.title, "other": other.key,
             "move": round(0.95 * needed - pair.distance, 2)},
            ((other.path, f"{other.key} stands here"),), confidence="high" if sourced else "medium",
        )  # fmt: skip


def _may_touch(border: Border, pair: Pair, skirt: float) -> bool:
    """Cases in which plants are meant to touch."""
    a, b = pair.first, pair.second
    mix = a.line.mix
    if mix is not None and mix == b.line.mix:
        return True
    if a.traits.name == b.traits.name or a.temporary or b.temporary:
        return True
    if takes_no_room(a) or takes_no_room(b):
        return True
    low = min((border.foliage_height(p, SEASON) or 0.0 for p in (a, b) if not p.woody), default=99.0)
    return (a.woody != b.woody) and low <= skirt


def takes_no_room(planting: Planting) -> bool:
    """It closes up as a hedge, or grows through others without harm."""
    grows_through = planting.traits.yes("weaves") or planting.traits.yes("see_through")
    return bool(planting.line.hedge or planting.life_form == "bulb" or grows_through)


def _room(border: Border, pair: Pair, least_shared: float) -> tuple[float, float, float] | None:
    """(q at the favourable end, q at typical sizes, distance in metres that typical sizes need)."""
    found = []
    for end in ("low", "typical"):
        first, second = border.crown(pair.first, SEASON, end), border.crown(pair.second, SEASON, end)
        meeting = widest_together(first, second, least_shared) if first and second else None
        if meeting is None or meeting[0] <= 0:
            return None
        found.append(meeting[0])
    return round(pair.distance / found[0], 2), round(pair.distance / found[1], 2), found[1]


def _level(woody: bool, sourced: bool, favourable: float, typical: float, limits: Mapping[str, Any]) -> Level | None:
    if not woody:
        return "warning" if typical < limits["other_warning"] else None
    # Sizes from memory carry an error only when broken by half again at the favourable end.
    if favourable < limits["woody_error" if sourced else "woody_error_memory"]:
        return "error"
    return "warning" if typical < limits["woody_warning"] else None


def _sourced(planting: Planting) -> bool:
    """Height and spread in the tenth season rest on a published source or on the plan's word."""
    traits = planting.traits
    return bool(planting.line.clipped or planting.line.pruned_to) or all(
        traits.sourced(ten if traits.fact(ten) else ultimate)
        for ten, ultimate in (("height_10", "height"), ("spread_10", "spread"))
    )


def no_air(border: Border, limits: Mapping[str, Any]) -> Iterator[Finding | Unjudged]:
    """A plant under another's skirt without the air that both need."""
    for pair in border.neighbours(SEASON):
        high, low = border.crown(pair.first, SEASON), border.crown(pair.second, SEASON)
        if high is None or low is None:
            continue
        over, under = pair.first, pair.second
        if high.top < low.top:
            high, low, over, under = low, high, under, over
        # Only a woody canopy over a plant that is meant to live beneath it; equals are judged by SPACE-01.
        if not over.woody or under.life_form in ("bulb", "tree") or under.temporary or low.top > high.top / 2:
            continue
        if (
            over.traits.yes("light_skirt")
            or _shade_mat(under, low.top, limits["low"])
            or high.base - low.top >= limits["air"]
        ):
            continue
        shared = sum(
            lens(high.greatest_radius, low.greatest_radius, _apart(border, over, point)) for point in under.points
        )
        share = shared / (len(under.points) * pi * low.greatest_radius**2)
        if round(share, 2) <= limits["drift_overlap" if len(under.points) > GROUP else "overlap"]:
            continue
        lift = low.top + 0.2
        air = round(high.base - low.top, 2)
        yield Finding(
            "warning", tuple(sorted((over.key, under.key))), under.path,
            {"over": over.title, "under": under.title, "overlap": round(share, 2), "air": air, "gap": _gap(air),
             "top": round(low.top, 2), "base": round(high.base, 2), "lift": round(lift, 2), "season": SEASON},
            ((over.path, "the canopy above"),),
            case="raise" if over.traits.yes("can_be_raised") and lift <= high.top / 3 else "lower",
        )  # fmt: skip


def _gap(air: float) -> str:
    return "no air" if air <= 0 else f"only {metres(air)}"


def _shade_mat(planting: Planting, top: float, low: float) -> bool:
    return (
        top <= low
        and planting.traits.word("habit") in ("mat", "mound", "rosette", "clump")
        and bool({"part shade", "full shade"} & set(planting.traits.words("light")))
    )


def _apart(border: Border, over: Planting, point: tuple[float, float]) -> float:
    return min(hypot(x - point[0], y - point[1]) for x, y in over.points)
